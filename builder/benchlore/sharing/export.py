"""Entries of one kind as rows, for a spreadsheet or another program: one column per value, units in the headers.

A column's number is in the SI unit that its header names (``idle.plate_volts (V)``).  Ranges make two columns, low and high.
Lists and records inside an entry are one cell each, written as JSON, so that nothing is lost.
"""

from __future__ import annotations

import csv
import datetime
import io
import json
from collections.abc import Iterator, Mapping
from typing import Any

from benchlore.entries.common import Entry
from benchlore.entries.fields import Amount, Field, Part, table_of
from benchlore.entries.kinds import KINDS
from benchlore.quantity import Quantity, Unknown
from benchlore.units import DIMENSIONS

Row = dict[str, Any]
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def columns(kind: str) -> list[str]:
    """Stable column names of a kind, in the order of its field table."""
    return ["id", *(name for name, _, _ in _columns(table_of(KINDS[kind])))]


def rows(kind: str, entries: Mapping[str, Entry]) -> list[Row]:
    """One row per entry, in order of id; absent values are None, unknown ones the word ``unknown``."""
    table = table_of(KINDS[kind])
    return [
        {"id": id, **{name: _cell(entry, path, part) for name, path, part in _columns(table)}}
        for id, entry in entries.items()
    ]


def _columns(table: Mapping[str, Field], before: tuple[str, ...] = ()) -> Iterator[tuple[str, tuple[str, ...], str]]:
    """Column name, path of attributes, and which part of the value (``low``, ``high`` or all of it)."""
    for field in table.values():
        path = (*before, field.name)
        dotted = ".".join(path)
        if isinstance(field.type, Part):
            yield from _columns(table_of(field.type.record), path)
        elif isinstance(field.type, Amount) and field.type.dimension in DIMENSIONS:
            unit = f" ({DIMENSIONS[field.type.dimension].base})"
            if field.type.range_ok:
                yield f"{dotted} low{unit}", path, "low"
                yield f"{dotted} high{unit}", path, "high"
            else:
                yield dotted + unit, path, "low"
        else:
            yield dotted, path, ""


def _cell(entry: Any, path: tuple[str, ...], part: str) -> Any:
    value = entry
    for name in path:
        value = getattr(value, name, None)
    if isinstance(value, Unknown):
        return "unknown"
    if part:
        return getattr(value, part, None)
    return value if isinstance(value, str | int | float | bool | None) else _plain(value)


def _plain(value: Any) -> Any:
    """A value as JSON holds it."""
    if isinstance(value, Quantity | Unknown):
        return value.text
    if isinstance(value, datetime.date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if hasattr(type(value), "__dataclass_fields__"):
        return {
            name: _plain(getattr(value, name))
            for name in table_of(type(value))
            if getattr(value, name) not in (None, ())
        }
    return value


def as_csv(kind: str, entries: Mapping[str, Entry]) -> str:
    """A table in CSV (RFC 4180).  A text that a spreadsheet would take for a formula begins with an apostrophe, and one that
    begins with an apostrophe gets a second: taking the first away gives every text back as it was."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    names = columns(kind)
    writer.writerow(names)
    for row in rows(kind, entries):
        writer.writerow([_inert(row[name]) for name in names])
    return stream.getvalue()


def _inert(value: Any) -> Any:
    if isinstance(value, list | dict):
        value = json.dumps(value, ensure_ascii=False) if value else ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value.startswith(STARTS_A_FORMULA):
        return "'" + value
    return value
