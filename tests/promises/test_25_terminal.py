"""Promise 25: what goes to the terminal is clean, whatever the entries hold, and plain where nobody looks."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from running import ROOT, Bench

CONTROLS = "".join(
    chr(code) for code in (*range(1, 9), 11, 12, *range(14, 32), 127, *range(0x80, 0xA0), 0x202E, 0x2066, 0x2028)
)
COMMANDS = (
    ("audit",),
    ("audit", "--json"),
    ("find", "hum"),
    ("find", "\x1b[31mhum\x07"),
    ("suspects", "--symptom", "hum-steady-low"),
    ("suspects", "--symptom", "\x1b]0;x\x07"),
    ("reckon", "--json"),
    ("reckon", "resistors-parallel", "one=\x1b[2J"),
    ("export", "term", "--format", "csv"),
    ("build", "--out", "site"),
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf whose file names, values and keys hold what terminals obey."""
    shelf = Bench(tmp_path_factory.mktemp("terminal")).shelf
    folder = shelf / "terms"
    (folder / "a\x1b[31m\x07b.yaml").write_text("title: x\nmeaning: y\n", "utf-8")
    (folder / "escaped.yaml").write_text('title: "a\\e[2Jb\\x07"\nmeaning: y\n', "utf-8")
    (folder / "raw.yaml").write_text(f"title: x\nmeaning: {CONTROLS}\n", "utf-8")
    (folder / "keys.yaml").write_text('title: K\nmeaning: y\n"\\e]0;owned\\a": z\n', "utf-8")
    return shelf


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("closed", [False, True], ids=["whole", "cut off"])
def test_nothing_a_terminal_obeys(shelf: Path, tmp_path: Path, words: tuple[str, ...], closed: bool) -> None:
    """No escape, bell or turn of writing comes out, and a reader who leaves early is no crash."""
    command = [sys.executable, "-m", "benchlore", *words, "--shelf", str(shelf)]
    env = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "builder"),
        "BENCHLORE_CACHE": str(tmp_path / "cache"),
        "TERM": "xterm",
    }
    process = subprocess.Popen(command, env=env, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    if closed:
        assert process.stdout is not None
        process.stdout.close()
        said = process.stderr.read() if process.stderr else b""
    else:
        out, err = process.communicate(timeout=120)
        said = out + err
    process.wait(timeout=120)
    text = said.decode("utf-8")
    assert "Traceback" not in text, text[-600:]
    assert not [c for c in text if c in CONTROLS], text[:300]
    assert process.returncode in (0, 1, 2)
