"""Whatever an entry says stands on its page: every text, figure, word of a list and reference, field by field."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import html5lib

from benchlore.addresses import LISTED, PLURALS, page_of
from benchlore.entries.fields import Amount, Choice, FieldType, Many, Part, Prose, Ref, Table, Text, Whole, table_of
from benchlore.linking.library import Library
from benchlore.rendering.figures import dressed, shown
from benchlore.rendering.prose import scribe

ELSEWHERE = {
    ("calculator", "summary"), ("calculator", "inputs"), ("calculator", "results"), ("calculator", "solve"),  # live; tests of their own
    ("calculator", "drawing"), ("family", "views"),  # drawn
    ("family", "hardware[].spots"), ("family", "lead_dress[].ends"),  # drawn
    ("fault", "checks[].setup"), ("fault", "checks[].power"), ("procedure", "steps[].power"),  # said in other words
    ("fault", "checks[].speaks_to[].sensitivity"), ("fault", "checks[].speaks_to[].specificity"),  # for the order of checks
    ("family", "supply[].spread"),  # as its two ends in volts
    ("term", "asked"), ("fastener", "asked"), ("finding", "asked"),  # for the search; lists that many entries share stay light
    ("term", "sources"),  # common practice goes without saying in a glossary
    ("term", "synonyms[].way"),  # for the search
}  # fmt: skip
KINDS = (*PLURALS, *(kind for kind in LISTED if kind != "shop"))


def plain(text: str) -> str:
    """Text without regard to white space and capitals."""
    return re.sub(r"[\s\u00a0]+", " ", text).strip().lower()


def leaves(record: Any, path: str = "") -> Iterator[tuple[str, FieldType, Any]]:
    """Every single value of a record, with its path and type."""
    for name, field in table_of(type(record)).items():
        yield from _inside(getattr(record, name), field.type, f"{path}.{name}" if path else name)


def _inside(value: Any, type_: FieldType, path: str) -> Iterator[tuple[str, FieldType, Any]]:
    if value is None:
        return
    if isinstance(type_, Many | Table):
        for item in value.values() if isinstance(type_, Table) else value:
            yield from _inside(item, type_.of, f"{path}[]")
    elif isinstance(type_, Part):
        yield from leaves(value, path)
    else:
        yield path, type_, value


def wanted(library: Library, type_: FieldType, value: Any, pen: Any) -> list[str]:
    """What must be read on the page; for prose each run of words between its marks."""
    if isinstance(type_, Prose):
        runs = re.split(r"[*_`#|\[\]()]|\n|^ *[-0-9.]+ ", re.sub(r"\]\([^)]*\)", "]", value))
        return [run for run in runs if len(run.strip(" -.")) > 3]
    if isinstance(type_, Text):
        return [pen.plain(value)]
    if isinstance(type_, Amount):
        return [shown(value)]
    if isinstance(type_, Ref):
        entry = library.get(type_.kind, value)
        return [entry.title if entry else value]
    return [str(value)] if isinstance(type_, Choice | Whole) else []


def left_out(library: Library, files: dict[str, bytes]) -> list[str]:
    """Values that cannot be read on the page of their entry."""
    missing, writer = [], scribe(library.entries)
    texts = {
        path: plain("".join(html5lib.parse(content.decode(), namespaceHTMLElements=False).itertext()))
        for path, content in files.items()
        if path.endswith(".html")
    }
    for kind in KINDS:
        for id, entry in library.entries[kind].items():
            page = page_of(kind, id)
            for path, type_, value in leaves(entry):
                if any((kind, path[:n]) in ELSEWHERE for n in range(len(path) + 1)):
                    continue
                for words in wanted(library, type_, value, writer.pen(page)):
                    if plain(words) not in texts[page] and plain(dressed(words)) not in texts[page]:
                        missing.append(f"{kind}/{id}: {path}: {words}")
    return missing


def test_small_shelf(small_library: Library, small_files: dict[str, bytes]) -> None:
    """The small shelf has a value in nearly every field."""
    assert left_out(small_library, small_files) == []


def test_shipped_shelves(whole_library: Library, whole_files: dict[str, bytes]) -> None:
    """The shipped shelves."""
    assert left_out(whole_library, whole_files) == []
