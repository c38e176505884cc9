"""The schemas made for editors accept what the builder accepts.

Outside references: PyPI jsonschema (draft 2020-12) judges, and ruamel.yaml reads YAML 1.2 as editors do.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from ruamel.yaml import YAML

from benchlore.entries.kinds import FOLDERS, KINDS
from benchlore.reading.files import entry_files
from benchlore.reading.shelf import read_shelves
from benchlore.sharing.schema import DIALECT, editor_settings, schema_files, schema_of

ROOT = Path(__file__).resolve().parents[2]
SHELVES = [shelf for shelf in (ROOT / "kb/reference", ROOT / "kb/workshop") if shelf.is_dir() and any(shelf.iterdir())]
ENTRIES = [(found.kind, found.path) for shelf in SHELVES for found in entry_files(shelf)[0]]


@functools.cache
def validator(kind: str) -> jsonschema.Draft202012Validator:
    """The judge of one kind."""
    return jsonschema.Draft202012Validator(schema_of(kind, {}))


@functools.cache
def broken_files() -> frozenset[str]:
    """Files in which the builder itself finds a problem."""
    return frozenset(problem.place.file for problem in read_shelves(SHELVES).problems)


def as_json(value: Any) -> Any:
    """What an editor sees: keys and days as text."""
    if isinstance(value, dict):
        return {str(key): as_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    return value if value is None or isinstance(value, str | int | float | bool) else str(value)


def loaded(text: str) -> Any:
    """A document as YAML 1.2 reads it."""
    return as_json(YAML(typ="safe", pure=True).load(text))


def errors(kind: str, text: str) -> list[str]:
    """What the schema says is wrong."""
    return [error.message for error in validator(kind).iter_errors(loaded(text))]


@pytest.mark.parametrize("kind", KINDS)
def test_each_schema_is_a_schema(kind: str) -> None:
    """Each is valid by the draft's own rules, says what it is for, and explains every field."""
    schema = schema_of(kind, {})
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == DIALECT
    for record in [schema["else"], *schema["$defs"].values()]:
        assert all(field["description"] for field in record["properties"].values())


@pytest.mark.no_cover
@pytest.mark.parametrize("kind", sorted({kind for kind, _ in ENTRIES}))
def test_every_shipped_entry_that_reads_is_accepted(kind: str) -> None:
    """Each entry on the shelves that the builder reads without a problem passes the schema of its kind."""
    for _, path in (item for item in ENTRIES if item[0] == kind):
        if not any(str(path).endswith(Path(file).as_posix()) for file in broken_files()):
            assert errors(kind, path.read_text("utf-8")) == [], path


BAD = {
    "unknown key": ("term", "title: A\nmeaning: b\nmeening: c"),
    "missing field": ("term", "title: A"),
    "a list where one value is wanted": ("term", "title: [A]\nmeaning: b"),
    "null": ("term", "title:\nmeaning: b"),
    "not a word of the list": ("term", "title: A\nmeaning: b\nsources: [{title: x, known: guessed}]"),
    "not a day": ("term", "title: A\nmeaning: b\nadded: 14.3.2025"),
    "not an id": ("term", "title: A\nmeaning: b\nwas: [No_id]"),
    "nothing to amend with": ("term", "amends: yes\ntitle: A"),
    "too long": ("term", f"title: {'a' * 121}\nmeaning: b"),
}


@pytest.mark.parametrize(("kind", "text"), BAD.values(), ids=BAD)
def test_bad_entries_are_refused_as_far_as_a_schema_can(kind: str, text: str) -> None:
    """What the checker refuses for its shape, the editor marks too."""
    assert errors(kind, text)


@pytest.mark.parametrize("value", ["372 V", "-38 V", "−38 V", "-45..-30 V", ".5 V", "unknown", "1.2 kV"])
def test_quantities_of_the_right_dimension_pass(value: str) -> None:
    """A voltage in any of the bench's spellings."""
    field = schema_of("family", {})["$defs"]["Idle"]["properties"]["grid_volts"]
    jsonschema.validate(value, field)


@pytest.mark.parametrize("value", ["372", "372 mA", "372 vlots", "1,5 V", "V", "", "372 V or so", "1e3 V", "９ V"])
def test_quantities_without_their_unit_are_refused(value: str) -> None:
    """No unit, the wrong unit, or digits that are not ASCII."""
    field = schema_of("family", {})["$defs"]["Idle"]["properties"]["grid_volts"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(value, field)


@pytest.mark.parametrize("value", ["4k7", "68k", "100 ohm", "2R2", "R47", "1M", "1 MΩ", "1 Mohm", "0.5 ohm"])
def test_resistances_as_the_trade_writes_them(value: str) -> None:
    """IEC 60062 letters, with and without the unit."""
    jsonschema.validate(value, schema_of("family", {})["$defs"]["Leg"]["properties"]["value"])


def test_references_are_ids_of_the_library() -> None:
    """With a library's ids, a reference is one of them; ``5881`` may look like a number."""
    schema = schema_of("family", {"tube": ["el84", "5881"]})
    field = schema["$defs"]["Idle"]["properties"]["tube"]
    jsonschema.validate("el84", field)
    jsonschema.validate(5881, field)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate("el48", field)


def test_amendments_pass() -> None:
    """An upper shelf may say only what differs."""
    assert errors("term", "amends: yes\nset: {meaning: b}\nadd: {also_called: [c], asked: [f]}\nretire: {sources: [d]}\nwhy: e") == []


def test_files_and_editor_settings_name_each_other() -> None:
    """One file for each kind, the same bytes every time, and settings that point at them."""
    files = schema_files({})
    assert files == schema_files({})
    settings = json.loads(editor_settings(".schemas"))["yaml.schemas"]
    assert {Path(name).name for name in settings} == set(files)
    assert set(settings.values()) == {f"{folder}/*.yaml" for folder in FOLDERS} | {"shop.yaml"}
