"""Promise 22: entries that change while they are built give a problem in words, or a site in which all pages agree."""

from __future__ import annotations

import os
import random
import re
import threading
import time
from pathlib import Path

import pytest
from running import Bench

from benchlore.keeping import Keep
from benchlore.pipeline import build
from benchlore.reading.files import entry_files

SCANDIR = os.scandir
VERSION = re.compile(rb"of version (\d+)")


def test_every_site_is_of_one_moment(tmp_path: Path) -> None:
    """Somebody saves again and again: each site names one version on every page, and the last build is the last save's."""
    bench = Bench(tmp_path)
    build([bench.shelf], bench.out, Keep(bench.cache))
    saving, versions, chance = True, 1, random.Random(1)

    def save() -> None:
        nonlocal versions
        while saving:
            versions += 1
            bench.version(versions)
            (bench.shelf / "terms" / "passing.yaml").write_text(
                f"title: Passing {versions}\nmeaning: here and gone\n", "utf-8"
            )
            time.sleep(chance.random() * 0.3)  # now hastily, now not: some builds see a file half-written, some do not
            (bench.shelf / "terms" / "passing.yaml").unlink()

    writer = threading.Thread(target=save)
    writer.start()
    built = 0
    try:
        for _ in range(40):
            if built == 3:
                break
            made = build([bench.shelf], bench.out, Keep(bench.cache))
            if made.published is not None:  # else the half-written file was reported
                built += 1
                named = {number for content in bench.site().values() for number in VERSION.findall(content)}
                assert len(named) == 1, named
    finally:
        saving = False
        writer.join()
    assert built
    build([bench.shelf], bench.out, Keep(bench.cache))
    kept = bench.site()
    build([bench.shelf], tmp_path / "first", Keep(tmp_path / "fresh"))
    first = {
        p.relative_to(tmp_path / "first").as_posix(): p.read_bytes()
        for p in (tmp_path / "first").rglob("*")
        if p.is_file()
    }
    assert kept == first


@pytest.mark.parametrize("gone", ["terms/passing.yaml", "terms"])
def test_what_is_gone_since_it_was_listed_is_not_of_the_book(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, gone: str
) -> None:
    """A file, or a whole folder, that is taken away between the listing and the look is left out without a word."""
    (tmp_path / "terms").mkdir()
    (tmp_path / "terms" / "passing.yaml").write_text("title: Passing\nmeaning: here and gone\n", "utf-8")
    (tmp_path / "shop.yaml").write_text("title: Shop\n", "utf-8")
    going = tmp_path / gone

    def listed_then_gone(folder: str | Path) -> list[os.DirEntry[str]]:
        items = list(SCANDIR(folder))
        if Path(folder) == going.parent:
            (tmp_path / "terms" / "passing.yaml").unlink()
            if gone == "terms":
                going.rmdir()
        return items

    monkeypatch.setattr(os, "scandir", listed_then_gone)
    found, problems = entry_files(tmp_path)
    assert ([item.id for item in found], problems) == (["shop"], [])
