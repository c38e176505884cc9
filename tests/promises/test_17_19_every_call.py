"""Promises 17 to 19 and 21 for whole commands: whichever file call goes wrong, it is one line, and what stood stands.

``tests/test_publishing.py`` and ``tests/sharing/test_bundles.py`` hold the same for the functions that write; here the
commands are run as they are typed, reading, memory and words with them.  CI strikes at every so many-th call, and
``BENCHLORE_THOROUGH=1`` at each.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from running import THOROUGH, Bench
from striking import Ended, Strike, every, forbidden, full, gone, interrupt, kill, run

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="forks")

MINE = {"README.md": b"kept by hand", "notes/today.txt": b"mine"}
STRIKES: tuple[Strike, ...] = (full, forbidden, gone, interrupt, kill)


def files_of(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def fair(strike: Strike, ended: Ended, at: int) -> None:
    """It ended as such a strike may end, with at most one line of complaint."""
    about = f"{strike.__name__} at call {at}: {ended}"
    allowed = {interrupt: {0, 130}, kill: {-9}}.get(strike, {0, 1, 3})
    assert ended.status in allowed, about
    assert "Traceback" not in ended.said, about
    if ended.status in (3, 130):
        assert len(ended.said.strip().splitlines()) == 1, about  # after ^C there is a line of its own to begin
    if ended.status == 1:
        assert "somewhere" not in ended.said.splitlines()[0] and "could not be read" in ended.said, about


@pytest.mark.parametrize("strike", STRIKES if THOROUGH else (full, interrupt, kill), ids=lambda strike: strike.__name__)
def test_build(tmp_path: Path, strike: Strike, record_property: Callable[[str, object], None]) -> None:
    """The site is the old or the new one, with all that is the user's; the shelf is as it was; nothing lies beside."""
    bench = Bench(tmp_path / "bench", many=0)
    env = {"BENCHLORE_CACHE": str(bench.cache)}
    words = ["build", "--shelf", str(bench.shelf), "--out", str(bench.out)]
    sites, shelves = {}, {}
    for version in (2, 1):
        bench.version(version)
        assert run(words, tmp_path, env=env).status == 0
        for path, content in MINE.items():
            (bench.out / path).parent.mkdir(exist_ok=True)
            (bench.out / path).write_bytes(content)
        sites[version], shelves[version] = files_of(bench.out), files_of(bench.shelf)
    stands = 1

    def wanted() -> list[str]:
        bench.version(3 - stands)
        return words

    struck = refused = 0
    for at, ended in every(wanted, bench.shelf.parent, strike, 1 if THOROUGH else 53, env):
        fair(strike, ended, at)
        site = files_of(bench.out)
        assert site in sites.values(), f"{strike.__name__} at call {at}: neither the old site nor the new one"
        assert files_of(bench.shelf) == shelves[3 - stands]
        if strike is not kill:
            assert bench.beside() == [], at
        stands = next(version for version, of in sites.items() if of == site)
        struck, refused = struck + 1, refused + (ended.status != 0)
    assert run(wanted(), tmp_path, env=env).status == 0
    assert files_of(bench.out) == sites[3 - stands]
    assert bench.beside() == []
    assert struck > (100 if THOROUGH else 3) and refused
    record_property("file calls struck", struck)


@pytest.mark.parametrize("strike", STRIKES, ids=lambda strike: strike.__name__)
def test_absorb_and_its_undoing(tmp_path: Path, strike: Strike, record_property: Callable[[str, object], None]) -> None:
    """All of a bundle or nothing of it, and at the latest the next run takes back what a kill left."""
    theirs, mine = tmp_path / "theirs", tmp_path / "mine"
    for shelf, says in ((theirs, "new"), (mine, "old")):
        (shelf / "terms").mkdir(parents=True)
        (shelf / "terms" / "plate.yaml").write_text(f"title: Plate\nadded: 2025-01-02\nby: [AB]\nmeaning: {says}\n", "utf-8")
    (theirs / "terms" / "grid.yaml").write_text("title: Grid\nadded: 2025-01-02\nby: [AB]\nmeaning: new\n", "utf-8")
    env = {"BENCHLORE_CACHE": str(tmp_path / "cache")}
    assert run(["bundle", str(tmp_path / "in.zip"), "--shelf", str(theirs)], tmp_path, env=env).status == 0
    absorb = ["absorb", str(tmp_path / "in.zip"), "--take", "theirs", "--shelf", str(mine)]
    undo = ["absorb", "--undo", "--shelf", str(mine)]

    def shelf() -> dict[str, bytes]:
        return {path: of for path, of in files_of(mine).items() if path.endswith(".yaml")}

    old = shelf()
    assert run(absorb, tmp_path, env=env).status == 0
    new = shelf()
    struck = 0
    assert old != new == {path: of for path, of in files_of(theirs).items() if path.endswith(".yaml")}
    for start, words in ((new, undo), (old, absorb)):

        def again(start: dict[str, bytes] = start, words: list[str] = words) -> list[str]:
            if start is new and shelf() != new:
                assert run(absorb, tmp_path, env=env).status == 0
            elif start is old:
                shutil.rmtree(mine / "terms")
                (mine / "terms").mkdir()
                for path, content in old.items():
                    (mine / path).write_bytes(content)
                (mine / ".benchlore-undo.json").unlink(missing_ok=True)
            assert shelf() == start
            return words

        for at, ended in every(again, mine, strike, 1 if THOROUGH else 7, env):
            fair(strike, ended, at)
            if strike is kill and shelf() not in (old, new):
                assert run(undo, tmp_path, env=env).status == 0
            assert shelf() in (old, new), f"{words[1]} {strike.__name__} at call {at}: {ended}"
            if strike is not kill:
                assert not list(mine.rglob(".*benchlore-[0-9]*")), at
            struck += 1
    if shelf() != new:
        assert run(absorb, tmp_path, env=env).status == 0
    assert shelf() == new and not list(mine.rglob(".*benchlore-[0-9]*"))
    assert struck > (30 if THOROUGH else 3)
    record_property("file calls struck", struck)


@pytest.mark.parametrize("strike", STRIKES, ids=lambda strike: strike.__name__)
def test_tidy(tmp_path: Path, strike: Strike, record_property: Callable[[str, object], None]) -> None:
    """Each file is as it was or tidy, and none is lost."""
    folder = tmp_path / "shelf" / "terms"
    folder.mkdir(parents=True)
    untidy, house = b"meaning:   'word'\ntitle:    Plate\n", b"title: Plate\nmeaning: word\n"
    names = ("one.yaml", "two.yaml")
    struck = 0

    def words() -> list[str]:
        for name in names:
            (folder / name).write_bytes(untidy)
        return ["tidy", *(str(folder / name) for name in names)]

    for at, ended in every(words, tmp_path, strike, 1 if THOROUGH else 3, {}):
        fair(strike, ended, at)
        left = files_of(folder)
        beside = {name for name in left if name not in names}
        assert not beside or strike is kill, at
        assert {left[name] for name in names} <= {untidy, house}, f"{strike.__name__} at call {at}: {left}"
        struck += 1
    assert run(words(), tmp_path).status == 0
    assert files_of(folder) == dict.fromkeys(names, house)
    assert struck >= (6 if THOROUGH else 2)
    record_property("file calls struck", struck)
