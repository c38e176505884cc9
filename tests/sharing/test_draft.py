"""A draft explains every field, is read by the builder, and lets the checker list what is still to be filled in.

No outside reference: the field tables and the builder's own reader are the judges, and ruamel.yaml (YAML 1.2) of form.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from benchlore.entries.fields import table_of
from benchlore.entries.kinds import KINDS
from benchlore.reading.shelf import Reading, read_shelves
from benchlore.sharing.draft import draft, place_of, questions


def read(shelf: Path, kind: str, text: str) -> Reading:
    """The draft as an entry of a shelf of its own."""
    file = shelf / place_of(kind, "a-new-one")
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, "utf-8")
    return read_shelves([shelf])


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_is_there_with_its_help(kind: str) -> None:
    """Each field stands in the draft once, in the order of its table, under its own explanation."""
    text = draft(kind)
    names = re.findall(r"^(?:# )?([a-z_]+):(?= |$)", text, re.MULTILINE)
    assert [name for name in names if name in table_of(KINDS[kind])] == list(table_of(KINDS[kind]))
    flat = re.sub(r"\s*\n#? *", " ", text)
    for field in table_of(KINDS[kind]).values():
        assert field.help.split()[0] in flat


@pytest.mark.parametrize("kind", KINDS)
def test_examples_of_the_tables_make_an_entry_that_reads(kind: str, tmp_path: Path) -> None:
    """Filled with the tables' own examples, a draft of every kind reads without a problem, comments and all."""
    problems = read(tmp_path, kind, draft(kind, examples=True)).problems
    assert [str(p) for p in problems if "at least" not in p.message] == [], "an example may be one of the three wanted"


@pytest.mark.parametrize("kind", KINDS)
def test_optional_fields_read_when_their_mark_is_taken_away(kind: str, tmp_path: Path) -> None:
    """Taking away the ``#`` before a field leaves what the builder reads."""
    lines = draft(kind, examples=True).splitlines()
    bare = [re.sub(r"^# (?=[a-z_]+:|  )", "", line) if not line.startswith("# yaml-lang") else line for line in lines]
    problems = read(tmp_path, kind, "\n".join(bare) + "\n").problems
    assert [str(p) for p in problems if "is not a field" in p.message or "column" in p.message] == []


def test_what_is_left_to_do_is_listed(tmp_path: Path) -> None:
    """A draft as it comes is never taken for a finished entry."""
    reading = read(tmp_path, "finding", draft("finding"))
    assert {problem.where for problem in reading.problems} >= {"minutes", "parts_cost", "date"}


def test_what_is_known_is_filled_in(tmp_path: Path) -> None:
    """Texts with every awkward sign, lists and records come through as they were given."""
    given = {
        "title": "Hum: with #5, 'quotes' & - a dash",
        "family": "heron-30",
        "symptoms": ["hum-steady-low"],
        "faults": [],
        "fix": "First line.\n\n- a list\n  in it: yes # no\n",
        "checks": [{"check": "filter-dried/ripple", "result": "fail"}],
        "minutes": 75,
        "parts_cost": "14.50",
        "technician": "NO",
        "date": "2025-11-03",
    }
    reading = read(tmp_path, "finding", draft("finding", given))
    assert list(reading.problems) == []
    (entry,) = reading.entries
    assert entry.title == given["title"]
    assert entry.fix == str(given["fix"]).strip()
    assert entry.technician == "NO"
    assert YAML(typ="safe", pure=True).load(draft("finding", given))["checks"] == given["checks"]


def test_an_unknown_field_is_the_callers_slip() -> None:
    """A field that the kind does not have is named."""
    with pytest.raises(KeyError, match="colour"):
        draft("finding", {"colour": "red"})


def test_questions_are_what_is_wanted_and_fits_a_line() -> None:
    """The terminal asks for what cannot be left out."""
    assert [field.name for field in questions("term")] == ["title", "meaning"]
    assert "checks" not in [field.name for field in questions("fault")]


def test_drafts_name_the_schema_for_editors() -> None:
    """The first line is the language server's; the shop's own file lies at the root."""
    assert draft("fault").startswith("# yaml-language-server: $schema=../.schemas/fault.schema.json\n")
    assert draft("shop").startswith("# yaml-language-server: $schema=.schemas/shop.schema.json\n")
