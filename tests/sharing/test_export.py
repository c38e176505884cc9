"""A table of a kind: nothing lost, units in the headers, and nothing that a spreadsheet would run.

Outside reference: csv and json of the standard library read what was written; the signs that begin a formula are those of
OWASP's "CSV Injection" page (from memory): ``= + - @``, tab and carriage return.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from benchlore.entries.kinds import KINDS
from benchlore.linking.library import Library
from benchlore.sharing.export import as_csv, columns, rows
from benchlore.units import UNITS

ROOT = Path(__file__).resolve().parents[2]
LIVE = "=+-@\t\r"


def table(library: Library, kind: str) -> list[dict[str, str]]:
    """The table as a spreadsheet reads it."""
    return list(csv.DictReader(io.StringIO(as_csv(kind, library.entries[kind]), newline="")))


def back(cell: str) -> str:
    """A cell's text, as it was before it was made harmless."""
    return cell.removeprefix("'")


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_makes_a_table(small_library: Library, kind: str) -> None:
    """One row an entry, in order of id; columns are those of the field table, whatever is filled in."""
    read = table(small_library, kind)
    assert [row["id"] for row in read] == list(small_library.entries[kind])
    assert list(read[0]) == columns(kind) if read else columns(kind)
    assert columns(kind)[:2] == ["id", "title"]


def test_units_stand_in_the_headers(small_library: Library) -> None:
    """A quantity is a bare number in the SI unit that its header names; a range has two columns."""
    names = columns("family")
    assert {"idle.plate_volts low (V)", "idle.plate_volts high (V)", "output.power (W)", "mains.chart_at (V)"} <= set(
        names
    )
    row = next(row for row in table(small_library, "family") if row["id"] == "tarn-15")
    idle = small_library.families["tarn-15"].idle
    assert float(row["idle.plate_volts low (V)"]) == idle.plate_volts.low
    assert float(row["idle.cathode_current low (A)"]) == idle.cathode_current.low
    assert all(name.rpartition("(")[2].rstrip(")") in UNITS for name in names if name.endswith(")"))


def test_nothing_runs_in_a_spreadsheet_and_nothing_is_lost(small_library: Library) -> None:
    """Texts that begin like a formula, or like what makes them harmless, come back letter by letter."""
    odd = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "'quoted'", "''", 'say "a, b"', "two\nlines", "plain"]
    finding = next(iter(small_library.findings.values()))
    entries: dict[str, Any] = {
        f"f-{n}": dataclasses.replace(finding, id=f"f-{n}", title=text, fix=text, technician=text[:6])
        for n, text in enumerate(odd)
    }
    text = as_csv("finding", entries)
    read = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [back(row["title"]) for row in read] == odd
    assert [back(row["fix"]) for row in read] == odd
    assert not [cell for row in read for cell in row.values() if cell and cell[0] in LIVE]
    assert text.endswith("\r\n") and "\r\n" in text


def test_lists_are_one_cell_of_json(small_library: Library) -> None:
    """Records inside an entry keep all they say."""
    row = next(row for row in rows("fault", small_library.faults) if row["id"] == "filter-dried")
    assert row["anywhere"] is True
    assert [check["key"] for check in row["checks"]] == ["look", "ripple"]
    cell = next(r for r in table(small_library, "fault") if r["id"] == "filter-dried")["checks"]
    assert json.loads(cell) == row["checks"]


def test_the_command_prints_a_table_and_nothing_else(tmp_path: Path) -> None:
    """CSV, or one JSON document, on standard output; an unsound shelf gives problems and no half table."""
    words = [sys.executable, "-m", "benchlore", "export", "finding", "--shelf", str(ROOT / "tests/kb_small")]
    env = {"PYTHONPATH": str(ROOT / "builder"), "PATH": "/usr/bin:/bin", "HOME": str(tmp_path)}
    done = subprocess.run(words, env=env, capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("id,title,")
    told = json.loads(subprocess.run([*words, "--format", "json"], env=env, capture_output=True, text=True).stdout)
    assert told["kind"] == "finding" and told["columns"] == columns("finding")
    assert [row["id"] for row in told["rows"]] == sorted(row["id"] for row in told["rows"])
    (tmp_path / "findings").mkdir()
    (tmp_path / "findings" / "a.yaml").write_text("title: half\n", "utf-8")
    done = subprocess.run([*words, "--shelf", str(tmp_path)], env=env, capture_output=True, text=True)
    assert done.returncode == 1 and done.stdout == "" and "missing" in done.stderr
