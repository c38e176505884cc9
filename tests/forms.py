"""What the tests of the forms share: entries as what would be typed, and the builder's word on the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from benchlore.auditing.rules import RULES
from benchlore.entries.fields import FieldType, Many, Part, Table, table_of
from benchlore.entries.kinds import KINDS
from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.reading.nodes import compose
from benchlore.reading.records import BAD, Converter
from benchlore.sharing.meaning import value_of


def typed(path: Path, kind: str) -> dict[str, Any]:
    """An entry's file as it would be typed into its form: short forms written out, flags as yes and no."""
    return retyped(path.read_text("utf-8"), kind)


def retyped(text: str, kind: str) -> dict[str, Any]:
    """The same of an entry's text."""
    made: dict[str, Any] = _typed(value_of(compose(text, "entry.yaml")), Part(KINDS[kind]))
    return made


def _typed(value: Any, type: FieldType) -> Any:
    if isinstance(type, Many):
        return [_typed(item, type.of) for item in value]
    if isinstance(type, Table):
        return {key: _typed(item, type.of) for key, item in value.items()}
    if isinstance(type, Part):
        if isinstance(value, str) and type.shorthand:
            value = {type.shorthand: value}
        table = table_of(type.record)
        return {name: _typed(item, table[name].type) for name, item in value.items()}
    return {"true": "yes", "false": "no"}.get(value, value.strip())


def problems_of(text: str, kind: str, id: str, library: Library) -> set[str]:
    """Where the builder finds anything wrong with an entry of this text, standing beside those of the library."""
    converter = Converter()
    node = compose(text, f"{id}.yaml")
    entry = converter.record(
        node, KINDS[kind], "", {"id": id, "kind": kind, "shelf": "here", "located": converter.places}
    )  # type: ignore[arg-type]
    if entry is BAD:
        return {problem.where for problem in converter.problems}
    others = [other for of in library.entries.values() for other in of.values()]
    linked = link([*others, entry])
    found = [*linked.problems, *(p for rule in RULES for p in rule(linked.library) if p.severity == "error")]
    return {problem.where for problem in found if problem.place.file == f"{id}.yaml"}
