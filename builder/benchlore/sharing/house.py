"""House form: how values are written as YAML, so that every tool here writes them alike."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from benchlore.entries.fields import FieldType, Many, Part, Prose, Table, table_of

WIDTH = 140
SIGNS = "?:,[]{}#&*!|>'\"%@`"
EMPTY_WORDS = {"", "~", "null", "Null", "NULL"}


def scalar(text: str, in_flow: bool = False) -> str:
    """One line of text as a YAML scalar: plain where that is safe, else in single quotes."""
    text = " ".join(text.split())
    awkward = (
        text in EMPTY_WORDS
        or text[0] in SIGNS
        or (text[0] == "-" and not re.match(r"-[\w.]", text))
        or text.startswith(("---", "..."))
        or ": " in text
        or " #" in text
        or text.endswith(":")
        or (in_flow and re.search(r"[,\[\]{}]", text) is not None)
    )
    return "'" + text.replace("'", "''") + "'" if awkward else text


def block(text: str, indent: int) -> list[str]:
    """Paragraphs as the lines of a literal block after ``name: |``, indented by ``indent``."""
    lines = [line.rstrip() for line in text.strip("\n").splitlines()]
    return [" " * indent + line if line else "" for line in lines]


def field_lines(name: str, value: Any, type: FieldType, indent: int = 0) -> list[str]:
    """The lines of one field: ``value`` is text, a number, a list or a mapping, as JSON would hold it."""
    pad = " " * indent
    if isinstance(type, Many) and isinstance(value, Sequence) and not isinstance(value, str):
        return _list_lines(name, value, type, indent)
    if isinstance(type, Part) and isinstance(value, Mapping):
        return [f"{pad}{name}:", *record_lines(value, type.record, indent + 2)]
    if isinstance(type, Table) and isinstance(type.of, Part) and isinstance(value, Mapping):
        return [f"{pad}{name}:", *(line for key, item in value.items() for line in field_lines(key, item, type.of, indent + 2))]
    if isinstance(type, Table) and isinstance(value, Mapping):
        inside = ", ".join(f"{scalar(str(key), True)}: {scalar(_plain(item), True)}" for key, item in value.items())
        return [f"{pad}{name}: {{{inside}}}"]
    text = _plain(value)
    if isinstance(type, Prose) and ("\n" in text.strip() or len(text) > WIDTH - indent - len(name) - 2):
        head = "|2" if text.lstrip("\n").startswith(" ") else "|"
        return [f"{pad}{name}: {head}", *block(text, indent + 2)]
    return [f"{pad}{name}: {scalar(text)}"]


def record_lines(values: Mapping[str, Any], record: type[Any], indent: int = 0) -> list[str]:
    """The lines of a record, its fields in the order of its table. Raises KeyError for a field it does not have."""
    table = table_of(record)
    if unknown := [name for name in values if name not in table]:
        raise KeyError(unknown[0])
    lines: list[str] = []
    for name, field in table.items():
        if name in values and values[name] is not None:
            lines += field_lines(name, values[name], field.type, indent)
    return lines


def _list_lines(name: str, items: Sequence[Any], type: Many, indent: int) -> list[str]:
    """A list: short texts on one line in brackets, records one below the other."""
    pad = " " * indent
    if not any(isinstance(item, Mapping) for item in items):
        line = f"{pad}{name}: [{', '.join(scalar(_plain(item), True) for item in items)}]"
        if len(line) <= WIDTH and all(len(_plain(item)) <= 60 for item in items):
            return [line]
    lines = [f"{pad}{name}:"]
    for item in items:
        if isinstance(item, Mapping) and isinstance(type.of, Part):
            first, *rest = record_lines(item, type.of.record, indent + 4)
            lines += [f"{pad}  - {first.lstrip()}", *rest]
        else:
            lines.append(f"{pad}  - {scalar(_plain(item))}")
    return lines


def _plain(value: Any) -> str:
    """A value as the text that its field reads."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
