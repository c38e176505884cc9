"""The command line as a technician or a script meets it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GOOD = "title: Plate\nmeaning: The electrode that collects the current.\n"


def run(*words: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """``benchlore`` as a process of its own."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "NO_COLOR": "1"}
    return subprocess.run([sys.executable, "-m", "benchlore", *words], cwd=cwd, env=env, capture_output=True, text=True)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A shelf with one good entry."""
    (tmp_path / "shelf" / "terms").mkdir(parents=True)
    (tmp_path / "shelf" / "terms" / "plate.yaml").write_text(GOOD)
    return tmp_path / "shelf"


def test_audit_json_is_one_document(shelf: Path) -> None:
    """``audit --json`` prints the shape that other programs rely on, and nothing else."""
    (shelf / "terms" / "grid.yaml").write_text("title: Grid\nmeening: x\n")
    done = run("audit", "--shelf", str(shelf), "--json")
    document = json.loads(done.stdout)
    assert done.returncode == 1
    assert document["entries"]["term"] == 1
    assert set(document["problems"][0]) == {"file", "line", "column", "severity", "where", "message", "hint"}
    assert [(p["line"], p["column"]) for p in document["problems"]] == [(1, 1), (2, 1)]


def test_problems_go_to_standard_error_one_line_each(shelf: Path) -> None:
    """``FILE:LINE:COLUMN: severity: where: what is wrong; what to do``."""
    (shelf / "terms" / "plate.yaml").write_text(GOOD + "colour: red\n")
    done = run("audit", "--shelf", str(shelf))
    assert done.returncode == 1
    line = done.stderr.splitlines()[0]
    assert line.startswith(f"{shelf}/terms/plate.yaml:3:1: error: ")
    assert done.stdout == "0 entries read, 1 problem in 1 file.\n"


def test_a_bad_entry_writes_nothing(shelf: Path, tmp_path: Path) -> None:
    """One problem anywhere, and the site stays as it was."""
    out = tmp_path / "out"
    assert run("build", "--shelf", str(shelf), "--out", str(out)).returncode == 0
    before = {p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()}
    (shelf / "terms" / "plate.yaml").write_text("title: no meaning\n")
    done = run("build", "--shelf", str(shelf), "--out", str(out))
    assert done.returncode == 1
    assert "Nothing was written" in done.stderr
    assert {p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize(
    "words", [["bild"], ["audit", "--shelf", "/nowhere/at/all"], ["build", "--jobs", "none"], ["audit", "--colour"]]
)
def test_wrong_use_is_two(words: list[str]) -> None:
    """A slip in the command is said in words, with exit status 2 and no traceback."""
    done = run(*words)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def test_no_shelf_here(tmp_path: Path) -> None:
    """Outside any knowledge base the command says where to go."""
    done = run("audit", cwd=tmp_path)
    assert done.returncode == 2
    assert "--shelf DIR" in done.stderr


def test_a_closed_pipe_is_no_crash(shelf: Path) -> None:
    """Whoever reads the output may stop reading."""
    command = f"{sys.executable} -m benchlore audit --json --shelf {shelf} | head -c 1"
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    done = subprocess.run(["bash", "-c", f"set -o pipefail; {command}"], env=env, capture_output=True, text=True)
    assert "Traceback" not in done.stderr


def test_control_characters_in_names_do_not_reach_the_terminal(shelf: Path) -> None:
    """A file's name can hold what a terminal takes for a command; it is shown with question marks."""
    (shelf / "terms" / "a\x1b[31m.yaml").write_text(GOOD)
    done = run("audit", "--shelf", str(shelf))
    assert done.returncode == 1
    assert "\x1b" not in done.stderr + done.stdout
