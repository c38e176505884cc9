"""The same entries give the same site, byte by byte: any day, zone, tongue, hash seed, umask, folder, order of files, and way there."""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
SMALL = ROOT / "tests" / "kb_small"
ANOTHER_DAY = """
import time, datetime
_then = 400 * 86400
_time, _time_ns = time.time, time.time_ns
time.time = lambda: _time() + _then
time.time_ns = lambda: _time_ns() + _then * 10**9
"""


def copied(target: Path, order: int) -> Path:
    """The small shelf, its files written in an order of their own and dated by chance."""
    files = sorted(SMALL.rglob("*.yaml"))
    chance = random.Random(order)
    chance.shuffle(files)
    for file in files:
        to = target / file.relative_to(SMALL)
        to.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(file, to)
        day = chance.randrange(10**9, 17 * 10**8)
        os.utime(to, (day, day))
    return target


def built(shelf: Path, out: Path, cache: Path, umask: int = 0o022, **environment: str) -> dict[str, str]:
    """The digests of the site that a process of its own makes of the shelf."""
    env = {
        "PATH": os.environ["PATH"],
        "PYTHONPATH": str(ROOT / "builder"),
        "BENCHLORE_CACHE": str(cache),
        **environment,
    }
    words = [sys.executable, "-m", "benchlore", "build", "--shelf", shelf.name, "--out", str(out)]
    ran = subprocess.run(words, cwd=shelf.parent, env=env, capture_output=True, text=True, umask=umask, check=False)
    assert ran.returncode == 0, ran.stderr
    return {
        path.relative_to(out).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(out.rglob("*"))
        if path.is_file() and not path.name.startswith(".")
    }


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The site as it comes here and now."""
    place = tmp_path_factory.mktemp("plain")
    return built(
        copied(place / "shelf", 1), place / "site", place / "cache", PYTHONHASHSEED="0", LC_ALL="C.UTF-8", TZ="UTC"
    )


def test_another_machine_and_day(plain: dict[str, str], tmp_path: Path) -> None:
    """Another hash seed, locale, zone, day, umask, folder with a space, order and dates of files: not one byte differs."""
    odd = tmp_path / "a folder with spaces and ü"
    (odd / "day").mkdir(parents=True)
    (odd / "day" / "sitecustomize.py").write_text(ANOTHER_DAY, encoding="utf-8")
    other = built(
        copied(odd / "shelf", 2), odd / "a site", odd / "cache", 0o077,
        PYTHONHASHSEED="4242", LC_ALL="tr_TR.UTF-8", LANG="de_DE.ISO-8859-1", TZ="Pacific/Kiritimati",
        PYTHONPATH=os.pathsep.join([str(odd / "day"), str(ROOT / "builder")]),
    )  # fmt: skip
    assert other == plain


def test_a_way_round_leads_to_the_same_site(plain: dict[str, str], tmp_path: Path) -> None:
    """A site kept up through changes, an entry that came and went, and a change taken back, is the one made at once."""
    shelf, out, cache = copied(tmp_path / "shelf", 3), tmp_path / "site", tmp_path / "cache"
    fault, term = shelf / "faults" / "filter-dried.yaml", shelf / "terms" / "brief.yaml"
    text = fault.read_text(encoding="utf-8")
    assert built(shelf, out, cache) == plain
    fault.write_text(text.replace("Dried-out", "Dried-up"), encoding="utf-8")
    term.write_text("title: brief\nsources: [common practice]\nmeaning: A term that does not stay.\n", encoding="utf-8")
    between = built(shelf, out, cache)
    assert between != plain
    assert built(shelf, tmp_path / "at once", tmp_path / "empty cache") == between
    fault.write_text(text, encoding="utf-8")
    term.unlink()
    assert built(shelf, out, cache) == plain
