"""What the README says is so: its terminal commands run, its walk through one job finds what it names, its problem line is real."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore.linking.library import Library

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^    benchlore (.+)$", README, re.MULTILINE)


def benchlore(*words: str, folder: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """`benchlore` as a process of its own."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    return subprocess.run(
        [sys.executable, "-m", "benchlore", *words], cwd=folder, env=env, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("command", [c for c in COMMANDS if c.split()[0] in ("find", "suspects", "reckon", "audit")])
def test_commands_run(command: str) -> None:
    """Each command that only reads does what it says."""
    ran = benchlore(*shlex.split(command))
    assert ran.returncode == 0 and ran.stdout, ran.stderr


def test_every_command_is_listed() -> None:
    """The table of commands misses none."""
    listed = set(re.findall(r"^\| `benchlore ([a-z]+)", README, re.MULTILINE))
    offered = set(re.findall(r"^  ([a-z]+)  ", benchlore("--help").stdout.split("Commands:")[1], re.MULTILINE))
    assert offered and listed == offered


def test_the_walk_names_what_is_there(whole_library: Library) -> None:
    """The symptom, its question and the family of the walk stand in the book; the figures are the sum's own."""
    symptom = whole_library.symptoms["hum-steady-low"]
    assert symptom.title in README and any(question in README for question in symptom.ask)
    assert whole_library.families["lapwing-22"].title in README
    first = benchlore("find", "hums", "with", "the", "volume", "down").stdout.splitlines()[0]
    assert symptom.title in first
    for volts, said in (("38mV", "88.7 % ± 6.5 %"), ("38.0mV", "± 2.2 %")):
        given = ("tube=6v6gt", "plate_volts=345V", f"sense_volts={volts}", "sense_resistor=1R0", "screen_current=2mA")
        assert said in benchlore("reckon", "idle-dissipation", *given).stdout
    assert "88.7 % of the tube's limit, ± 6.5 %" in README and "± 2.2 %" in README


@pytest.mark.parametrize("document", ["README.md", "kb/README.md"])
def test_the_problem_line_is_real(tmp_path: Path, document: str) -> None:
    """The problem shown is what the audit prints, letter by letter, when the unit is left out."""
    shutil.copytree(ROOT / "kb", tmp_path / "kb")
    family = tmp_path / "kb/workshop/families/lapwing-22.yaml"
    text = family.read_text(encoding="utf-8")
    assert "cathode_current: 38 mA" in text
    family.write_text(text.replace("cathode_current: 38 mA", "cathode_current: 38"), encoding="utf-8")
    ran = benchlore("audit", "--shelf", "kb/reference", "--shelf", "kb/workshop", folder=tmp_path)
    (line,) = [line for line in ran.stderr.splitlines() if "lapwing-22" in line]
    assert ran.returncode == 1
    assert f"    {line}\n" in (ROOT / document).read_text(encoding="utf-8")
