"""The field tables as data for the forms of ``add.html``: what each field holds, the patterns it is checked by, the ids it may name.

Everything here is stated elsewhere, once: fields in ``entries``, patterns in ``reading`` and ``auditing``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from benchlore.auditing import no_owner_data, no_placeholders
from benchlore.entries.common import Entry
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
from benchlore.entries.mentions import MENTION
from benchlore.linking.library import Library
from benchlore.reading import characters, files, records, scalars

FORMS = ("finding", "fault", "family")
"""Kinds that the site has a form for."""

SCRIPTS = ("grammar", "quantity", "naming", "add-tables", "add-check", "add-write", "add-fields", "add-likes", "add")
LISTS = {("CheckResult", "check"): "check", ("Finding", "technician"): "technician"}
"""Fields without a type of their own for which there is a list to choose from."""


FORM_FILES = ("assets/js/add-tables.js",)


def form_scripts(library: Library) -> dict[str, bytes]:
    """``assets/js/add-tables.js``: all that the forms know."""
    data = {
        "forms": {kind: {"record": KINDS[kind].__name__, "folder": FOLDER_OF[kind]} for kind in FORMS},
        "tables": {
            record.__name__: [_field(record, field) for field in table_of(record).values()] for record in _records()
        },
        "common": list(table_of(Entry)),
        "rules": _rules(),
        "ids": {
            kind: {id: entry.title for id, entry in of.items()}
            for kind, of in library.entries.items()
            if kind != "shop"
        },
        "lists": {
            "check": [f"{fault.id}/{check.key}" for fault in library.faults.values() for check in fault.checks],
            "technician": [signer.initials for signer in library.shop.technicians] if library.shop else [],
        },
        "revisions": {
            family.id: [v.key for v in family.variants] for family in library.families.values() if family.variants
        },
    }
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    script = (
        "// Made by the builder from its field tables and this book's entries.\n"
        f'(function (B) {{\n"use strict";\n(B.add ??= {{}}).data = {text};\n}})(globalThis.Benchlore ??= {{}});\n'
    )
    return {"assets/js/add-tables.js": script.encode("ascii")}


def _records() -> Iterable[type[Any]]:
    """The records of the forms and all records inside them, each once."""
    seen: dict[type[Any], None] = {}
    waiting: list[type[Any]] = [KINDS[kind] for kind in FORMS]
    while waiting:
        record = waiting.pop(0)
        if record not in seen:
            seen[record] = None
            waiting += [inner for field in table_of(record).values() if (inner := _record_of(field.type)) is not None]
    return seen


def _record_of(type: FieldType) -> type[Any] | None:
    if isinstance(type, Many | Table):
        return _record_of(type.of)
    return type.record if isinstance(type, Part) else None


def _field(record: type[Any], field: Field) -> dict[str, Any]:
    example = field.example if field.example not in ("", "...", "[]", "{}") else ""
    made = {"name": field.name, "label": field.label, "help": field.help, "need": field.need, "example": example}
    listed = LISTS.get((record.__name__, field.name))
    return {**made, "type": _type(field.type), **({"list": listed} if listed else {})}


def _type(type: FieldType) -> dict[str, Any]:
    """A type as plain data: what it is, and its limits."""
    match type:
        case Text() | Prose() | Code():
            return {"is": type.__class__.__name__.lower(), "longest": type.longest}
        case Choice():
            return {"is": "choice", "words": list(type.words)}
        case Whole() | Real():
            return {"is": type.__class__.__name__.lower(), "least": type.least, "most": type.most}
        case Amount():
            limits = {"least": type.least, "most": type.most, "range": type.range_ok, "unknown": type.unknown_ok}
            return {"is": "amount", "dimension": type.dimension, **limits}
        case Ref():
            return {"is": "ref", "kind": type.kind}
        case Many():
            return {"is": "many", "of": _type(type.of), "least": type.least, "most": type.most, "key": type.key}
        case Table():
            return {"is": "table", "of": _type(type.of), "keys": type.keys}
        case Part():
            return {"is": "part", "record": type.record.__name__, "shorthand": type.shorthand}
        case Flag() | Date() | Slug():
            return {"is": type.__class__.__name__.lower()}


def _rules() -> Mapping[str, Any]:
    """The patterns by which the builder reads and audits, as JavaScript reads them."""
    patterns = {
        "forbidden": characters.FORBIDDEN,
        "whole": scalars.WHOLE,
        "real": scalars.REAL,
        "date": scalars.DATE,
        "id": files.NAME,
        "pin": records.PIN,
        "name": records.NAME,
        "mention": MENTION,
        "mail": no_owner_data.MAIL,
        "phone": no_owner_data.PHONE,
        "left": no_placeholders.LEFT,
    }
    return {
        "patterns": {name: _javascript(pattern) for name, pattern in patterns.items()},
        "reserved": sorted(files.RESERVED),
    }


def _javascript(pattern: re.Pattern[str]) -> str:
    """The pattern's text with every sign outside printable ASCII written out, for a RegExp with the flag ``u``."""
    return "".join(c if " " <= c <= "~" else f"\\u{{{ord(c):x}}}" for c in pattern.pattern)
