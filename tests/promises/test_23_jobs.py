"""Promise 23, the part of it that only large shelves show: with any number of processes, and with any memory, the bytes are the same.

Zones, locales, seeds, days, umasks and folders are in ``tests/test_same_bytes.py``.
"""

from __future__ import annotations

import builtins
import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from running import SMALL, Bench

from building import site_files, sound_library


def test_any_number_of_processes(tmp_path: Path) -> None:
    """One, two and three processes from nothing, and from a memory that another number filled."""
    bench = Bench(tmp_path)
    one = bench.build("--jobs", "1")
    for jobs in ("2", "3"):
        bench.forget()
        (bench.out / "index.html").unlink()
        assert bench.build("--jobs", jobs) == one
    bench.version(2)
    two = bench.build("--jobs", "2")
    bench.forget()
    assert bench.build("--jobs", "1") == two != one


def test_a_spoilt_memory_costs_time_only(tmp_path: Path) -> None:
    """What is kept between runs may be cut off, overwritten or made a folder: the site is the same."""
    bench = Bench(tmp_path)
    whole = bench.build()
    for spoilt in (b"", b"\0" * 100_000, b"SQLite format 3\0" + b"x" * 5000, None):
        (kept,) = bench.cache.glob("works-*.db")
        if spoilt is None:
            kept.unlink()
            kept.mkdir()
        else:
            kept.write_bytes(spoilt)
        (bench.out / "index.html").unlink()
        assert bench.build() == whole


def test_another_python_adds_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """From CPython 3.12 on ``sum`` of floats rounds once and not at each step (whatsnew 3.12); the pages hold the same figures."""
    before = site_files(sound_library([SMALL]))
    plain = sum

    def once(values: Iterable[Any], start: Any = 0) -> Any:
        all_of = [start, *values]
        return math.fsum(all_of) if any(isinstance(value, float) for value in all_of) else plain(all_of[1:], start)

    monkeypatch.setattr(builtins, "sum", once)
    assert site_files(sound_library([SMALL])) == before
