"""Promises 4 and 33: loading runs no code, opens nothing but the shelf, asks the environment nothing; a build opens no socket.

What a process does is seen by Python's own audit events (PEP 578), whatever library does it.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"
LOADING = {
    "open",
    "os.scandir",
    "os.listdir",
    "array.__new__",
    "pathlib.Path.rglob",
    "pathlib.Path.glob",  # what rglob is from CPython 3.14 on
    "object.__getattr__",
    "object.__setattr__",
    "sys._getframe",
}
"""What loading may do: look into folders, open files, and what Python does by itself in records."""

NETWORK = ("socket.", "urllib.", "http.", "ftplib.", "smtplib.", "ssl.", "webbrowser.")
PROCESSES = ("os.system", "os.exec", "os.spawn", "os.posix_spawn", "os.startfile", "subprocess.", "pty.")


def events_of(what: str, shelf: Path) -> list[list[str]]:
    """The audit events of checking or building ``shelf``."""
    command = [sys.executable, str(Path(__file__).with_name("watched_check.py")), what, str(SMALL), str(shelf)]
    env = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT / "builder")}
    ran = subprocess.run(command, env=env, capture_output=True, text=True, check=True)
    events: list[list[str]] = json.loads(ran.stdout)
    return events


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf in which words look like code, paths and variables, without sums."""
    shelf = tmp_path_factory.mktemp("loading") / "shelf"
    shutil.copytree(SMALL, shelf)
    hostile = "__import__('os').system('touch /tmp/ran') $HOME ${PATH} %(HOME)s ~/x /etc/passwd !!python/object {{7*7}}"
    (shelf / "terms" / "hostile.yaml").write_text(f'title: Hostile\nmeaning: "{hostile}"\n', "utf-8")
    return shelf


def test_loading_only_reads_the_shelf(shelf: Path) -> None:
    """Nothing runs, nothing outside the shelf is opened, nothing is written."""
    without_sums = shelf.with_name("plain")
    shutil.copytree(shelf, without_sums)
    shutil.rmtree(without_sums / "calculators")
    seen = events_of("read", without_sums)
    odd = Counter(event for event, *_ in seen if event not in LOADING)
    assert not odd, odd
    opened = [arguments for event, *arguments in seen if event == "open" and not arguments[0].isdigit()]  # no handles
    assert opened
    outside = [path for path, *_ in opened if not path.startswith(str(without_sums)) and "benchlore" not in path]
    assert not outside, outside[:5]
    assert not [mode for _, mode, *_ in opened if set(mode) & set("wax+")]


def test_a_build_opens_no_socket_and_starts_no_program(shelf: Path) -> None:
    """From reading to putting in place, sums compiled anew."""
    seen = Counter(event for event, *_ in events_of("build", shelf))
    assert not [event for event in seen if event.startswith((*NETWORK, *PROCESSES))], seen
    assert seen["open"] > 10
