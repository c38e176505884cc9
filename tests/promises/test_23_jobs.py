"""Promise 23, the part of it that only large shelves show: with any number of processes, and with any memory, the bytes are the same.

Zones, locales, seeds, days, umasks and folders are in ``tests/test_same_bytes.py``.
"""

from __future__ import annotations

from pathlib import Path

from running import Bench


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
