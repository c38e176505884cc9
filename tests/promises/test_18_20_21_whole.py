"""Promises 18, 20 and 21, for the whole command: killed, interrupted or run twice, the site is the old one or the new one.

``tests/test_publishing.py`` holds the same for every single file call; here it is the clock that strikes, as it does in a
shop.  ``BENCHLORE_THOROUGH=1`` does it two hundred times, and twenty times two builds at once.
"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from running import THOROUGH, Bench

MOMENTS = 20 if THOROUGH else 8
ROUNDS = 10 if THOROUGH else 1
PAIRS = 20 if THOROUGH else 2


def moments(bench: Bench, forgetful: bool = False) -> list[float]:
    """Seconds after the start at which it strikes: so many through a build of a changed book, as long as one takes here and now."""
    bench.version(0)
    if forgetful:
        bench.forget()
    start = time.monotonic()
    bench.build("--jobs", "2")
    took = time.monotonic() - start
    return [took * (number + 1) / MOMENTS for number in range(MOMENTS)]


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A shelf with a site."""
    return Bench(tmp_path)


def test_killed_at_any_moment(bench: Bench, record_property: Callable[[str, object], None]) -> None:
    """Killed outright with all its helpers: the old site or the new one, and the next build makes the new one.

    Every other round begins without a memory, so that the kills fall on first builds too.
    """
    sites = {}
    for version in (2, 1):
        bench.version(version)
        sites[version] = bench.build()
    stands, kept = 1, 0
    for round in range(ROUNDS):
        struck = moments(bench, round % 2 == 1)
        bench.version(stands)
        bench.build()
        for moment in struck:
            bench.version(3 - stands)
            if round % 2:
                bench.forget()
            process = bench.start("--jobs", "2")
            time.sleep(moment)
            with suppress(ProcessLookupError):
                os.killpg(process.pid, signal.SIGKILL)
            process.communicate()
            left = bench.site()
            assert left in sites.values(), f"after {moment} s neither"
            kept += left == sites[stands]
            stands = next(version for version, site in sites.items() if site == left)
        bench.version(3 - stands)
        assert bench.build() == sites[3 - stands]
        assert bench.beside() == []
        stands = 3 - stands
    assert kept
    record_property("kills", ROUNDS * MOMENTS)
    record_property("old site kept", kept)


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_interrupted_at_any_moment(bench: Bench, jobs: str) -> None:
    """Ctrl-C, heard by the helpers too: 130, one line, nothing left lying."""
    bench.build()
    struck = moments(bench)[1::2]
    old = bench.site()
    for number, moment in enumerate(struck, 2):
        bench.version(number)
        process = bench.start("--jobs", jobs)
        time.sleep(moment)
        with suppress(ProcessLookupError):
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
    for number in range(2, 2 + PAIRS):
        bench.version(number)
        processes = [bench.start("--jobs", "1"), bench.start("--jobs", "2")]
        said = [process.communicate(timeout=120)[1] for process in processes]
        assert [process.returncode for process in processes] == [0, 0], said
        both = bench.site()
        assert f"of version {number}".encode() in both["stages/boards-ribbon-joined.html"]
        assert bench.build() == both
        bench.forget()
        assert bench.build() == both
