"""A record's values with their paths and fields, in the order of the field tables."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from benchlore.entries.fields import Field, FieldType, Many, Part, Table, table_of


class Value(NamedTuple):
    """One written value: its path in the entry, its type, and the top-level field in which it stands."""

    path: str
    type: FieldType
    value: Any
    top: Field


def walk(record: Any) -> Iterator[Value]:
    """Every written scalar of an entry or record; absent fields and empty lists give nothing."""
    for name, field in table_of(type(record)).items():
        yield from _walk(getattr(record, name), field.type, name, field)


def _walk(value: Any, type_: FieldType, path: str, top: Field) -> Iterator[Value]:
    if value is None:
        return
    if isinstance(type_, Many):
        for index, item in enumerate(value):
            yield from _walk(item, type_.of, f"{path}[{index}]", top)
    elif isinstance(type_, Table):
        for key, item in value.items():
            yield from _walk(item, type_.of, f"{path}.{key}", top)
    elif isinstance(type_, Part):
        for name, field in table_of(type(value)).items():
            yield from _walk(getattr(value, name), field.type, f"{path}.{name}", top)
    else:
        yield Value(path, type_, value, top)
