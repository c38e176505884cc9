"""Promise 23, the part of it that only large shelves show: with any number of processes, and with any memory, the bytes are the same.

Zones, locales, seeds, days, umasks and folders are in ``tests/test_same_bytes.py``.
"""

from __future__ import annotations

import builtins
import math
import shutil
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from running import SMALL, Bench

from benchlore import upkeep, works
from benchlore.auditing import works as audits
from benchlore.entries import kept
from benchlore.keeping import Keep
from benchlore.pipeline import build, check
from benchlore.publishing import Published
from benchlore.reading import gathering
from benchlore.searching import patching
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


def small_parcels(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a shelf of thousands: many parcels, what was done handed to the ledger between them, and entries soon let go."""
    for module in (gathering, audits, upkeep, patching):
        monkeypatch.setattr(module, "MANY", 1)
    for module in (works, patching):
        monkeypatch.setattr(module, "AT_A_TIME", 5)
    monkeypatch.setattr(works, "MOST_HELD", 4)
    monkeypatch.setattr(kept, "MOST_LOADED", 1)


def test_small_parcels(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same site, and the second run knows that nothing has changed."""
    build([SMALL], tmp_path / "one", Keep(tmp_path / "sums"), 1)
    small_parcels(monkeypatch)
    for path in (tmp_path / "sums").glob("works-*"):
        path.unlink()
    assert build([SMALL], tmp_path / "two", Keep(tmp_path / "sums"), 2).checked.sound
    one, two = (
        {p.relative_to(tmp_path / name).as_posix(): p.read_bytes() for p in (tmp_path / name).rglob("*") if p.is_file()}
        for name in ("one", "two")
    )
    assert one == two
    assert build([SMALL], tmp_path / "two", Keep(tmp_path / "sums"), 2).published == Published(
        len(one) - 1, 0, 0, False
    )


def test_small_parcels_lose_no_problem(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Thirty faults that name a symptom the book does not have: said of each, whoever looked at it."""
    shelf = tmp_path / "shelf"
    shutil.copytree(SMALL, shelf)
    text = (shelf / "faults" / "ribbon-cracked.yaml").read_text("utf-8")
    title = next(line for line in text.splitlines() if line.startswith("title:"))
    for number in range(30):
        made = text.replace(title, f"title: Made {number}").replace("symptom: weak-output", "symptom: no-such-sign")
        (shelf / "faults" / f"made-{number}.yaml").write_text(made, "utf-8")
    small_parcels(monkeypatch)
    one, two = (check([shelf], Keep(tmp_path / str(jobs)), jobs).problems for jobs in (1, 2))
    assert len({problem.place.file for problem in one}) == 30
    assert one == two


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
