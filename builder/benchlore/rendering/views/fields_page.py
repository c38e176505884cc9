"""The reference of fields, made from the same tables by which entries are read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from markupsafe import Markup, escape

from benchlore.entries.fields import (
    Amount,
    Choice,
    Code,
    Date,
    Field,
    FieldType,
    Flag,
    Many,
    Part,
    Prose,
    Real,
    Ref,
    Slug,
    Table,
    Text,
    Whole,
    table_of,
)
from benchlore.entries.kinds import FOLDER_OF, KINDS
from benchlore.rendering.views.blocks import Block, Cell, Heading, Row, Section
from benchlore.rendering.views.blocks import Prose as ProseBlock
from benchlore.rendering.views.blocks import Table as TableBlock
from benchlore.rendering.views.page import Here, PageView
from benchlore.rendering.views.parts import cells

NEED_WORDS = {"required": "required", "asked": "asked for", "optional": ""}


def fields_page(here: Here) -> PageView:
    """Every field of every kind: what it holds, whether it is required, and an example."""
    lede = Markup(
        "<p>One entry is one file: its name is the id, its folder the kind. These are the fields that each kind may hold; "
        "an unknown field, a wrong unit or a repeated key is reported with its file, line and column.</p>"
    )
    told: set[type[Any]] = set()
    made = tuple(_kind_section(kind, record, told) for kind, record in KINDS.items())
    return PageView(here.path, "Fields", "fields", lede=lede, sections=made)


def _kind_section(kind: str, record: type[Any], told: set[type[Any]]) -> Section:
    """A kind's own fields, then the records inside it that no kind before it has told of."""
    folder = FOLDER_OF.get(kind)
    where = f"{folder}/ID.yaml" if folder else f"{kind}.yaml at the shelf's root"
    blocks: list[Block] = [
        ProseBlock(Markup("<p>{} File: <code>{}</code></p>").format(_first_line(record), where)),
        _table(kind, record),
    ]
    for name, part in _records_in(record):
        if part in told:
            continue
        told.add(part)
        blocks.append(Heading(part.__name__, f"record-{name}"))
        blocks.append(ProseBlock(Markup("<p>{}</p>").format(_first_line(part))))
        blocks.append(_table(f"record-{name}", part))
    return Section(kind, kind.capitalize(), tuple(blocks))


def _first_line(record: type[Any]) -> str:
    return (record.__doc__ or "").strip().splitlines()[0]


def _records_in(record: type[Any]) -> Iterator[tuple[str, type[Any]]]:
    """Records inside a record, each once, in the order in which they are met."""
    seen: dict[type[Any], str] = {}
    waiting = [record]
    while waiting:
        for field in table_of(waiting.pop(0)).values():
            part = _record_of(field.type)
            if part is not None and part not in seen:
                seen[part] = part.__name__.lower()
                waiting.append(part)
    return iter((name, part) for part, name in seen.items())


def _record_of(type_: FieldType) -> type[Any] | None:
    if isinstance(type_, Many | Table):
        return _record_of(type_.of)
    return type_.record if isinstance(type_, Part) else None


def _table(prefix: str, record: type[Any]) -> TableBlock:
    rows = tuple(_row(prefix, field) for field in table_of(record).values())
    return TableBlock(f"Fields of {record.__name__.lower()}", cells("Field", "Holds", "What for", "Example"), rows, "stack")


def _row(prefix: str, field: Field) -> Row:
    need = (
        Markup('<span class="under">{}</span>').format(NEED_WORDS[field.need]) if NEED_WORDS[field.need] else Markup()
    )
    example = (
        Markup("<code>{}</code>").format(field.example) if field.example not in ("", "...", "[]", "{}") else Markup()
    )
    head = Markup("<code>{}</code>").format(field.name) + need
    return Row(
        Cell(head),
        (Cell(type_html(field.type)), Cell(escape(field.help)), Cell(example)),
        f"{prefix}-{field.anchor}-field",
    )


def type_html(type_: FieldType) -> Markup:
    """What a field holds, in words; a record leads to its own table."""
    if isinstance(type_, Part):
        name = type_.record.__name__
        short = Markup(", or just its <code>{}</code>").format(type_.shorthand) if type_.shorthand else Markup()
        return Markup('<a href="#{}">{}</a>').format(f"record-{name.lower()}", name.lower()) + short
    if isinstance(type_, Many):
        least = f", at least {type_.least}" if type_.least else ""
        return Markup("list of {}{}").format(type_html(type_.of), least)
    if isinstance(type_, Table):
        return Markup("{} to {}").format("pin number" if type_.keys == "pin" else "short name", type_html(type_.of))
    return escape(_scalar_words(type_))


def _scalar_words(type_: FieldType) -> str:
    match type_:
        case Text():
            return f"one line of words, at most {type_.longest} characters"
        case Prose():
            return "paragraphs in Markdown"
        case Code():
            return "words kept letter by letter"
        case Choice():
            return "one of: " + ", ".join(type_.words)
        case Flag():
            return "yes or no"
        case Whole():
            return f"whole number, {type_.least} to {type_.most}"
        case Real():
            return "plain number"
        case Amount():
            extra = [*(["a range is allowed"] if type_.range_ok else []), *(["or unknown"] if type_.unknown_ok else [])]
            what = "quantity with its unit" if type_.dimension == "any" else f"{type_.dimension} with its unit"
            return ", ".join([what, *extra])
        case Date():
            return "day as 2025-03-14"
        case Slug():
            return "short key of small letters, digits and hyphens"
        case Ref():
            return f"id of a {type_.kind}"
        case _:
            return type(type_).__name__.lower()
