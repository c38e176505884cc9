"""Entries as lines of plain data and back, by the field tables: what is kept of an entry between two runs.

An entry's text is one line for each field that was written: its name, a tab, its value as JSON.  So one field can be
read without the others, and two texts tell which fields differ.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Mapping
from typing import Any

from benchlore.entries.fields import Amount, Date, FieldType, Many, Part, Table, table_of
from benchlore.quantity import UNKNOWN, Quantity, Unknown

Decoder = Callable[[Any], Any]


def lines_of(record: Any) -> dict[str, str]:
    """The written fields of an entry, each as JSON; what was left out gives no line."""
    made = {}
    for name, field in table_of(type(record)).items():
        value = getattr(record, name)
        if value is not None and value != () and value != {}:
            made[name] = json.dumps(_plain(field.type, value), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return made


def lines_in(text: str) -> dict[str, str]:
    """The lines of a kept entry, field to JSON."""
    return dict(line.split("\t", 1) for line in text.split("\n")) if text else {}


def _plain(type_: FieldType, value: Any) -> Any:
    if isinstance(type_, Many):
        return [_plain(type_.of, item) for item in value]
    if isinstance(type_, Table):
        return {key: _plain(type_.of, item) for key, item in value.items()}
    if isinstance(type_, Part):
        table = table_of(type_.record)
        written = ((name, getattr(value, name)) for name in table)
        return {name: _plain(table[name].type, of) for name, of in written if of is not None and of != () and of != {}}
    if isinstance(type_, Amount):
        return None if isinstance(value, Unknown) else [value.low, value.high, value.unit, value.text]
    return value.isoformat() if isinstance(type_, Date) else value


def decoder_of(type_: FieldType) -> Decoder | None:
    """What turns a field's plain data into its value; None where it is the value already."""
    if isinstance(type_, Many):
        inner = decoder_of(type_.of)
        return tuple if inner is None else lambda items: tuple([inner(item) for item in items])
    if isinstance(type_, Table):
        of = decoder_of(type_.of)
        return None if of is None else lambda pairs: {key: of(item) for key, item in pairs.items()}
    if isinstance(type_, Part):
        return _record_decoder(type_.record)
    if isinstance(type_, Amount):
        return lambda parts: UNKNOWN if parts is None else Quantity(*parts)
    return datetime.date.fromisoformat if isinstance(type_, Date) else None


def _record_decoder(record: type[Any]) -> Decoder:
    decoders: Mapping[str, Decoder] = {
        name: decoder for name, field in table_of(record).items() if (decoder := decoder_of(field.type)) is not None
    }

    def decode(data: dict[str, Any]) -> Any:
        for name in decoders.keys() & data.keys():
            data[name] = decoders[name](data[name])
        return record(**data)

    return decode
