"""JSON Schemas (draft 2020-12) of every kind, made from the field tables, for editors.

A schema knows shapes, words, ranges of numbers, units and ids; whether an entry is *true* is the checker's business.
Editors read YAML 1.2 and older programs 1.1, in which ``no``, ``5881`` and ``on`` are not text: so a text may look
like a number or a flag here, as it may for the builder.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

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
from benchlore.units import ALIASES, BARE, DIMENSIONS, MARKS, UNITS

Json = dict[str, Any]
Ids = Mapping[str, Sequence[str]]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
ID = "^[a-z0-9]+(-[a-z0-9]+)*$"
NUMBER = r"[+\-\u2212]?([0-9]{1,15}(\.[0-9]{1,15})?|\.[0-9]{1,15})"
SCALAR = ["string", "number", "boolean"]
LOOKS = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}
"""Words that YAML 1.1 takes for a flag."""


def schema_files(ids: Ids) -> dict[str, bytes]:
    """File name to content, one schema for each kind; ``ids`` lists the known ids of each kind for references."""
    return {f"{kind}.schema.json": _bytes(schema_of(kind, ids)) for kind in KINDS}


def editor_settings(folder: str) -> bytes:
    """Settings for editors that speak to yaml-language-server: which schema goes with which files."""
    files = {f"{folder}/{kind}.schema.json": f"{FOLDER_OF[kind]}/*.yaml" for kind in FOLDER_OF}
    files[f"{folder}/shop.schema.json"] = "shop.yaml"
    return _bytes({"yaml.schemas": files, "yaml.format.enable": False, "files.eol": "\n"})


def schema_of(kind: str, ids: Ids) -> Json:
    """The schema of one kind of entry: a whole one, or an amendment of a lower shelf's."""
    maker = _Maker(ids)
    entry = maker.record(KINDS[kind])
    return {
        "$schema": DIALECT,
        "title": f"Benchlore {kind}",
        "description": (KINDS[kind].__doc__ or kind).strip().splitlines()[0],
        "if": {"type": "object", "required": ["amends"]},
        "then": _amendment(entry["properties"]),
        "else": entry,
        "$defs": dict(sorted(maker.records.items())),
    }


def _amendment(fields: Json) -> Json:
    """What an upper shelf may write instead of a whole entry: any field under ``set``, lists under ``add`` and ``retire``."""
    lists = {name: field for name, field in fields.items() if field.get("type") == "array"}
    retired: Json = {name: {"type": "array", "items": {"type": SCALAR}} for name in lists}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["amends"],
        "properties": {
            "amends": {"type": SCALAR, "description": "yes, or the digest of the text that this was written against"},
            "set": {"type": "object", "properties": fields, "additionalProperties": False},
            "add": {"type": "object", "properties": lists, "additionalProperties": False},
            "retire": {
                "type": "object",
                "properties": {**retired, "entry": {"type": "string", "description": "why the whole entry is retired"}},
                "additionalProperties": False,
            },
            "why": {"type": "string", "minLength": 1, "description": "Why this shelf says otherwise"},
        },
    }


class _Maker:
    """Makes the schema of each type; records used in several places are kept once, under ``$defs``."""

    def __init__(self, ids: Ids) -> None:
        self.ids = ids
        self.records: dict[str, Json] = {}

    def record(self, record: type[Any]) -> Json:
        """An object with exactly the fields of the record."""
        table = table_of(record)
        return {
            "type": "object",
            "additionalProperties": False,
            "required": [field.name for field in table.values() if field.need == "required"],
            "properties": {field.name: self.field(field) for field in table.values()},
        }

    def field(self, field: Field) -> Json:
        """A field's type with its help and example."""
        schema = self.type(field.type)
        asked = {"required": "", "asked": " Asked for.", "optional": " May be left out."}[field.need]
        schema["description"] = field.help.rstrip(".") + "." + asked
        if field.example not in ("", "...", "[]", "{}"):
            schema["examples"] = [field.example]
        return schema

    def type(self, type: FieldType) -> Json:
        """The schema of a type."""
        if isinstance(type, Many):
            schema = {"type": "array", "items": self.type(type.of), "minItems": type.least, "maxItems": type.most}
            return schema | ({"uniqueItems": True} if isinstance(type.of, Ref | Slug) else {})
        if isinstance(type, Table):
            names = "^([0-9]{1,2}|cap|top)$" if type.keys == "pin" else "^[A-Za-z][A-Za-z0-9_-]{0,39}$"
            return {"type": "object", "propertyNames": {"pattern": names}, "additionalProperties": self.type(type.of)}
        if isinstance(type, Part):
            name = type.record.__name__
            if name not in self.records:
                self.records[name] = {}  # stands for itself while it is made
                self.records[name] = self.record(type.record)
            whole = {"$ref": f"#/$defs/{name}"}
            if type.shorthand is None:
                return whole
            return {"anyOf": [self.type(table_of(type.record)[type.shorthand].type), whole]}
        if isinstance(type, Ref):
            return _reference(self.ids.get(type.kind, ()))
        return _SCALARS[type.__class__](type)


def _reference(ids: Sequence[str]) -> Json:
    """An id; where the known ones are given, one of them (``5881`` may look like a number)."""
    if not ids:
        return {"type": ["string", "integer"], "pattern": ID, "maxLength": 60}
    return {"enum": [*sorted(ids), *(int(id) for id in sorted(ids) if re.fullmatch("[1-9][0-9]{0,9}", id))]}


def _text(type: Text | Prose | Code) -> Json:
    return {"type": SCALAR, "minLength": 1, "maxLength": type.longest}


def _choice(type: Choice) -> Json:
    return {"enum": [*type.words, *dict.fromkeys(LOOKS[word] for word in type.words if word in LOOKS)]}


def _flag(_: Flag) -> Json:
    return {"enum": ["yes", "no", "true", "false", True, False]}


def _whole(type: Whole) -> Json:
    return {"type": ["integer", "string"], "minimum": type.least, "maximum": type.most, "pattern": "^-?[0-9]{1,9}$"}


def _real(type: Real) -> Json:
    pattern = r"^-?([0-9]{1,15}(\.[0-9]{0,15})?|\.[0-9]{1,15})([eE][+\-]?[0-9]{1,2})?$"
    return {"type": ["number", "string"], "minimum": type.least, "maximum": type.most, "pattern": pattern}


def _date(_: Date) -> Json:
    return {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}


def _slug(_: Slug) -> Json:
    return {"type": ["string", "integer"], "pattern": ID, "maxLength": 60}


def _amount(type: Amount) -> Json:
    """Number and unit in one text, as the grammar of quantities reads it; the unit is one of the dimension's."""
    dimensions = DIMENSIONS if type.dimension == "any" else {type.dimension: DIMENSIONS[type.dimension]}
    names = {unit.name for dimension in dimensions.values() for unit in dimension.units} - {"1"}
    names |= {alias for alias, name in ALIASES.items() if name in names} | set(BARE.get(type.dimension, {}))
    units = "|".join(_unit(name) for name in sorted(names, key=lambda name: (-len(name), name)))
    plain = type.dimension in ("any", "number", "ratio")
    unit = f" ?({units}){'?' if plain else ''}" if units else ""
    forms = [f"{NUMBER}{unit}", rf"([0-9]{{1,3}} )?[0-9]{{1,4}}/[0-9]{{1,4}}{unit}"]
    if type.range_ok:
        forms.append(rf"{NUMBER}\.\.{NUMBER}{unit}")
    if marks := "".join(MARKS.get(type.dimension, {})):
        forms.append(rf"[+\-\u2212]?[0-9]{{0,9}}[{marks}\u00b5\u03bc][0-9]{{1,9}}( ?({units}))?")
    if plain:
        forms.append(r"[0-9]{1,9}(\.[0-9]{1,9})?:1")
    if type.unknown_ok:
        forms.append("unknown")
    return {"type": ["string", "number"] if plain else "string", "pattern": f"^({'|'.join(forms)})$"}


def _unit(name: str) -> str:
    """A unit's name as a pattern, with the signs that people write for ``u``, ``ohm`` and a space."""
    signs = {"u": "[u\u00b5\u03bc]"} if UNITS.get(name, UNITS["V"]).power == -6 or name == "u" else {}
    pattern = re.sub(r"[.+*?^$|(){}\[\]\\/]", lambda met: "\\" + met[0], name)
    pattern = pattern.replace("ohm", "(ohm|\u03a9|\u2126)").replace(" ", "[ \u00b7\u00a0]")
    return signs.get(name[0], name[0]) + pattern[1:] if signs else pattern


_SCALARS: Mapping[type[Any], Callable[[Any], Json]] = {
    Text: _text,
    Prose: _text,
    Code: _text,
    Choice: _choice,
    Flag: _flag,
    Whole: _whole,
    Real: _real,
    Date: _date,
    Slug: _slug,
    Amount: _amount,
}


def _bytes(document: Json) -> bytes:
    """A document as a file: in order, readable, ending in a line feed."""
    return (json.dumps(document, ensure_ascii=False, indent=2) + "\n").encode("utf-8")
