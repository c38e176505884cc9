"""What the tests of the forms share: entries as what would be typed, the typing of it, and the builder's word on the same."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from benchlore.auditing.rules import audit_entry
from benchlore.entries.fields import Choice, FieldType, Flag, Many, Part, Table, table_of
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
    found = [*linked.problems, *(p for p in audit_entry(entry, linked.library, {}) if p.severity == "error")]
    return {problem.where for problem in found if problem.place.file == f"{id}.yaml"}


def single(label: str) -> str:
    """One of several: ``Checks`` to ``Check``, as the forms name their items."""
    return label[:-1] if len(label) > 3 and label.endswith("s") and not label.endswith("ss") else label


def fill_record(place: Any, record: type[Any], raw: dict[str, Any]) -> None:
    """Type a record into its fields, opening what is folded away."""
    form = place.locator("xpath=./div[contains(@class,'form')]").last
    more = form.locator("xpath=./details")
    if more.count() and not more.evaluate("(e) => e.open"):
        more.locator("xpath=./summary").click()
    for name, value in raw.items():
        field = table_of(record)[name]
        fill_field(form, field.label, field.type, value)


def fill_field(form: Any, label: str, type: FieldType, value: Any) -> None:
    """Type one field, found by its label or its legend."""
    within = "./{0} | ./details/div/{0}"
    if isinstance(type, Many | Table | Part):
        path = f"fieldset[./legend[normalize-space()='{label}']]"
        fill_rows(form.locator(f"xpath={within.format(path)}"), label, type, value)
    else:
        path = f"div[normalize-space(./label/text()[1])='{label}']"
        fill_input(form.locator(f"xpath={within.format(path)}").locator("input, select, textarea"), type, value)


def fill_input(input_: Any, type: FieldType, value: str) -> None:
    """Type into a field or choose in a list."""
    if isinstance(type, Choice | Flag):
        input_.select_option(value)
    else:
        input_.fill(value)


def fill_rows(group: Any, label: str, type: FieldType, value: Any) -> None:
    """Type the items of a list, adding as many as are wanted."""
    if isinstance(type, Part):
        if group.locator("xpath=./button").count():  # a record that may be left out
            group.locator("xpath=./button").click()
            fill_record(group.locator("xpath=./ol/li/fieldset"), type.record, value)
        else:
            fill_record(group, type.record, value)
        return
    rows = list(value.items()) if isinstance(type, Table) else value
    inner: Any = type
    for at, item in enumerate(rows):
        if group.locator("xpath=./ol/li").count() <= at:
            group.locator("xpath=./button").click()
        row = group.locator("xpath=./ol/li").nth(at)
        if isinstance(type, Table):
            row.get_by_label(f"{single(label)} {at + 1}: name").fill(item[0])
            row.get_by_label(f"{single(label)} {at + 1}: value").fill(item[1])
        elif isinstance(inner.of, Part):
            fill_record(row.locator("xpath=./fieldset"), inner.of.record, item)
        else:
            fill_input(row.get_by_label(f"{single(label)} {at + 1}", exact=True), inner.of, item)
