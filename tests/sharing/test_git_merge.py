"""Two technicians, two branches: their entries merge by git without a clash, and a true clash reads plainly.

Outside reference: git itself.
"""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest

from benchlore.keeping import Keep
from benchlore.pipeline import check
from benchlore.sharing.placing import put_entry
from benchlore.sharing.start import start
from benchlore.sharing.tidy import tidy_file

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"
FAULT = """\
title: {title}
group: speaker
summary: {title}, said in one sentence.
seen: Heard at low notes.
why: It worked loose.
commonness: rare
anywhere: yes
shows:
  - symptom: hum-steady-low
    how_often: seldom
checks:
  - key: look
    do: Look at it
    minutes: 2
    power: off
    setup: outside
    passes: tight
    fails: loose
fix:
  - Tighten it.
fix_minutes: 5
verify:
  - No buzz
"""
FINDING = """\
title: Tarn 15, {day}
family: tarn-15
symptoms: [hum-steady-low]
faults: [filter-dried]
fix: Renewed it.
minutes: 40
parts_cost: 9
technician: {by}
date: {day}
"""


class Desk:
    """One technician's working copy."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def git(self, *words: str, fails: bool = False) -> str:
        """A git command in the copy; what it said."""
        named = {
            f"GIT_{who}_{what}": "bench" if what == "NAME" else "bench@shop.example"
            for who in ("AUTHOR", "COMMITTER")
            for what in ("NAME", "EMAIL")
        }
        env = {**os.environ, **named, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
        done = subprocess.run(["git", *words], cwd=self.folder, env=env, capture_output=True, text=True)
        assert (done.returncode != 0) == fails, done.stdout + done.stderr
        return done.stdout + done.stderr

    def commit(self, words: str) -> None:
        """Everything, as it stands."""
        self.git("add", ".")
        self.git("commit", "-q", "-m", words)

    def change(self, name: str, old: str, new: str) -> None:
        """Change an entry and put it into house form."""
        path = self.folder / name
        text = path.read_text("utf-8")
        assert old in text
        path.write_text(text.replace(old, new), "utf-8")
        tidy_file(path)

    def problems(self) -> list[str]:
        """What the builder says of the shelf, standing on the small one."""
        return [str(problem) for problem in check([SMALL, self.folder], Keep()).problems]


@pytest.fixture
def desks(tmp_path: Path) -> tuple[Desk, Desk]:
    """A shop's book with one fault in it, and a colleague's clone."""
    first = Desk(tmp_path / "first")
    start(first.folder, {})
    (first.folder / "shop.yaml").unlink()  # the small shelf has one
    put_entry(first.folder, "fault", "grille-loose", FAULT.format(title="Grille loose"))
    tidy_file(first.folder / "faults/grille-loose.yaml")
    first.git("init", "-q", "-b", "main")
    first.commit("the book")
    first.git("clone", "-q", str(first.folder), str(tmp_path / "second"))
    second = Desk(tmp_path / "second")
    second.git("switch", "-q", "-c", "second")
    first.git("switch", "-q", "-c", "first")
    return first, second


def test_two_branches_merge_without_a_clash(desks: tuple[Desk, Desk]) -> None:
    """Findings and faults of both, and different fields of one entry: git asks nobody, and the book is sound."""
    first, second = desks
    for desk, by, day, title in ((first, "AB", "2025-07-01", "Handle buzz"), (second, "CD", "2025-07-02", "Logo buzz")):
        for n in range(5):
            put_entry(desk.folder, "finding", f"{day}-tarn-15-{by.lower()}-{n}", FINDING.format(day=day, by=by))
        put_entry(desk.folder, "fault", title.lower().replace(" ", "-"), FAULT.format(title=title))
    first.change("faults/grille-loose.yaml", "fix_minutes: 5", "fix_minutes: 10\nlike: [handle-buzz]")
    second.change("faults/grille-loose.yaml", "commonness: rare", "also_called: [loose cloth]\nasked: [the front rustles]\ncommonness: occasional")
    first.commit("a week of mine")
    second.commit("a week of mine too")
    second.git("fetch", "-q", "origin", "first")
    second.git("merge", "-q", "--no-edit", "FETCH_HEAD")
    assert second.problems() == []
    library = check([SMALL, second.folder], Keep()).library
    assert len([id for id in library.findings if id.startswith("2025-07")]) == 10
    assert {"handle-buzz", "logo-buzz", "grille-loose"} <= set(library.faults)
    merged = library.faults["grille-loose"]
    assert (merged.commonness, merged.fix_minutes, merged.like, merged.also_called, merged.asked) == (
        "occasional",
        10,
        ("handle-buzz",),
        ("loose cloth",),
        ("the front rustles",),
    )
    assert not tidy_file(second.folder / "faults/grille-loose.yaml"), "merged text is in house form"


def test_a_true_clash_reads_plainly(desks: tuple[Desk, Desk]) -> None:
    """Both said something else of one line: git stops, and the builder names file, line, and what to do; nothing else is blamed."""
    first, second = desks
    first.change("faults/grille-loose.yaml", "fix_minutes: 5", "fix_minutes: 10")
    second.change("faults/grille-loose.yaml", "fix_minutes: 5", "fix_minutes: 20")
    first.commit("ten")
    second.commit("twenty")
    second.git("fetch", "-q", "origin", "first")
    assert "CONFLICT" in second.git("merge", "--no-edit", "FETCH_HEAD", fails=True)
    (problem,) = second.problems()
    path = second.folder / "faults/grille-loose.yaml"
    line = next(n for n, text in enumerate(path.read_text("utf-8").splitlines(), 1) if text.startswith("<<<<<<<"))
    assert problem == (
        f"{path.as_posix()}:{line}:1: error: git could not merge two versions of the lines that begin here; "
        "keep what is right of the two, and remove the lines <<<<<<<, ======= and >>>>>>>"
    )
    path.write_text(
        re.sub(r"<<<<<<< .*?=======\n(.*?)>>>>>>> [^\n]*\n", r"\1", path.read_text("utf-8"), flags=re.S), "utf-8"
    )
    assert second.problems() == []
    second.commit("theirs")


def test_two_entries_of_one_id_are_a_clash_of_git(desks: tuple[Desk, Desk]) -> None:
    """Two technicians found one name for two things: git stops, the builder says where."""
    first, second = desks
    for desk, title in ((first, "Feet buzz"), (second, "Casters buzz")):
        put_entry(desk.folder, "fault", "buzz", FAULT.format(title=title))
        desk.commit(title)
    second.git("fetch", "-q", "origin", "first")
    second.git("merge", "--no-edit", "FETCH_HEAD", fails=True)
    assert ["/faults/buzz.yaml:1:1: error: git could not merge" in problem for problem in second.problems()] == [True]
