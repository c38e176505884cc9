"""Promises 18, 20 and 21, for the whole command: killed, interrupted or run twice, the site is the old one or the new one.

``tests/test_publishing.py`` holds the same for every single file call; here it is the clock that strikes, as it does in a
shop.  ``tests/bench/kills.py`` does it two hundred times on the shipped shelves.
"""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

import pytest
from running import Bench

MOMENTS = (0.05, 0.2, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.3)
"""Seconds after the start at which it strikes; a whole build takes about as long as the last."""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A shelf with a site."""
    return Bench(tmp_path)


def test_killed_at_any_moment(bench: Bench) -> None:
    """Killed outright with all its helpers: the old site or the new one, and the next build makes the new one."""
    old = bench.build()
    for number, moment in enumerate(MOMENTS, 2):
        bench.version(number)
        process = bench.start("--jobs", "2")
        time.sleep(moment)
        os.killpg(process.pid, signal.SIGKILL)
        process.communicate()
        left = bench.site()
        new = bench.build()
        assert left in (old, new), f"after {moment} s neither"
        assert old != new
        assert bench.beside() == []
        old = new


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_interrupted_at_any_moment(bench: Bench, jobs: str) -> None:
    """Ctrl-C, heard by the helpers too: 130, one line, nothing left lying."""
    old = bench.build()
    for number, moment in enumerate(MOMENTS[1::2], 2):
        bench.version(number)
        process = bench.start("--jobs", jobs)
        time.sleep(moment)
        os.killpg(process.pid, signal.SIGINT)
        _, said = process.communicate(timeout=60)
        assert process.returncode in (0, 130, -signal.SIGINT), said  # the last: Python itself had not begun
        assert "Traceback" not in said or process.returncode == -signal.SIGINT, said
        left = bench.site()
        assert bench.beside() == []
        new = bench.build()
        assert left in (old, new)
        old = new


def test_two_builds_at_once(bench: Bench) -> None:
    """Both end well, whoever is first; what they keep between runs is not spoilt by it."""
    for number in (2, 3):
        bench.version(number)
        processes = [bench.start("--jobs", "1"), bench.start("--jobs", "2")]
        said = [process.communicate(timeout=120)[1] for process in processes]
        assert [process.returncode for process in processes] == [0, 0], said
        both = bench.site()
        assert f"of version {number}".encode() in both["stages/boards-ribbon-joined.html"]
        assert bench.build() == both
        bench.forget()
        assert bench.build() == both
