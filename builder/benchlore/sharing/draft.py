"""A new entry to fill in: every field with its explanation, what is known already filled in, the rest marked TODO."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import Any

from benchlore.entries.fields import Choice, Field, FieldType, Flag, Many, Part, Table, table_of
from benchlore.entries.kinds import FOLDER_OF, KINDS
from benchlore.reading.scalars import TO_DO
from benchlore.sharing.house import WIDTH, field_lines, scalar

NO_EXAMPLE = ("", "...", "[]", "{}")
SCHEMAS = ".schemas"


def draft(kind: str, given: Mapping[str, Any] | None = None, examples: bool = False) -> str:
    """The text of a new entry of ``kind``, each field explained in a comment.

    ``given`` maps top-level fields to what is known (text, lists, records as JSON holds them); required fields that are
    not given say TODO, or with ``examples`` the example of the field table. Optional ones stand behind a ``#``.
    Raises KeyError for a field that the kind does not have.
    """
    given = given or {}
    table = table_of(KINDS[kind])
    if unknown := [name for name in given if name not in table]:
        raise KeyError(unknown[0])
    lines = [*_head(kind)]
    for field in table.values():
        lines += ["", *_explained(field)]
        if field.name in given:
            lines += field_lines(field.name, given[field.name], field.type)
        elif field.need == "optional":
            lines += _behind_a_mark(_written(field, 0, examples=True))
        else:
            lines += _written(field, 0, examples)
    return "\n".join(lines) + "\n"


def questions(kind: str) -> tuple[Field, ...]:
    """The fields that a terminal asks for, one line each: what is required or asked and fits on a line."""
    fields = table_of(KINDS[kind]).values()
    return tuple(field for field in fields if field.need != "optional" and not _is_record(field.type))


def place_of(kind: str, id: str) -> str:
    """Where the entry goes on a shelf: ``faults/grid-leak-open.yaml``; the shop is ``shop.yaml``."""
    return f"{FOLDER_OF[kind]}/{id}.yaml" if kind in FOLDER_OF else "shop.yaml"


def _head(kind: str) -> list[str]:
    """What to do with the file, and where an editor finds its schema."""
    up = "../" if kind in FOLDER_OF else ""
    where = place_of(kind, "ID")
    return [
        f"# yaml-language-server: $schema={up}{SCHEMAS}/{kind}.schema.json",
        f"# A new {kind}. Save it on your shelf as {where}"
        + ("; the file's name is its id (small letters, digits, hyphens)." if kind in FOLDER_OF else "."),
        f"# Fill in every {TO_DO}. What stands behind a # may be left out; to use it, take the # away.",
        "# Then run: benchlore audit",
    ]


def _explained(field: Field, indent: int = 0) -> list[str]:
    """A field's help, the words it takes and an example, as comment lines."""
    words = [field.help if field.help.endswith("?") else field.help.rstrip(".") + "."]
    innermost = field.type.of if isinstance(field.type, Many | Table) else field.type
    if isinstance(innermost, Choice):
        words.append("One of: " + ", ".join(innermost.words) + ".")
    elif isinstance(innermost, Flag):
        words.append("yes or no.")
    elif field.need != "optional" and field.example not in NO_EXAMPLE:
        words.append(f"For example: {field.example}")
    if isinstance(field.type, Many) and field.type.least > 1:
        words.append(f"At least {field.type.least}.")
    mark = " " * indent + "# "
    return textwrap.wrap(
        " ".join(words), WIDTH - 20, initial_indent=mark, subsequent_indent=mark, break_on_hyphens=False
    )


def _written(field: Field, indent: int, examples: bool) -> list[str]:
    """The lines of a field that is not known yet; records inside it with their own explanations."""
    pad = " " * indent
    if isinstance(field.type, Part):
        return [f"{pad}{field.name}:", *_record(field.type.record, indent + 2, examples)]
    if isinstance(field.type, Table) and isinstance(field.type.of, Part):
        return [f"{pad}{field.name}:", f"{pad}  name:", *_record(field.type.of.record, indent + 4, examples)]
    if isinstance(field.type, Many) and isinstance(field.type.of, Part):
        if field.example not in NO_EXAMPLE and field.type.of.shorthand:
            return [f"{pad}{field.name}: {field.example if examples else f'[{TO_DO}]'}"]
        lines = _record(field.type.of.record, indent + 4, examples)
        first = next(number for number, line in enumerate(lines) if not line.lstrip().startswith("#"))
        lines[first] = f"{pad}  - {lines[first].lstrip()}"
        return [f"{pad}{field.name}:", *(line[2:] for line in lines[:first]), *lines[first:]]
    return [f"{pad}{field.name}: {_value(field, examples)}"]


def _record(record: type[Any], indent: int, examples: bool) -> list[str]:
    """The fields of a record: required ones first to be filled in, optional ones behind a mark."""
    lines: list[str] = []
    for field in table_of(record).values():
        lines += _explained(field, indent)
        written = _written(field, indent, examples or field.need == "optional")
        lines += written if field.need != "optional" else _behind_a_mark(written, indent)
    return lines


def _value(field: Field, examples: bool) -> str:
    """The example of a field, or TODO in the field's shape."""
    if examples and field.example not in NO_EXAMPLE:
        return field.example if _shaped(field.type) else scalar(field.example)
    word = "..." if examples else TO_DO
    if isinstance(field.type, Many):
        return f"[{', '.join([word] * max(1, field.type.least))}]"
    return f"{{name: {word}}}" if isinstance(field.type, Table) else word


def _behind_a_mark(lines: list[str], indent: int = 0) -> list[str]:
    """Lines turned into comments; comments among them stay what they are."""
    pad = " " * indent
    return [f"{pad}# {line[indent:]}" for line in lines]


def _shaped(type: FieldType) -> bool:
    """Is the example written as YAML itself (a list or a mapping)?"""
    return isinstance(type, Many | Table)


def _is_record(type: FieldType) -> bool:
    """A record, or a list of records that have no short form."""
    inner = type.of if isinstance(type, Many | Table) else type
    return isinstance(inner, Part) and inner.shorthand is None
