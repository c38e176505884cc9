"""Tidying changes the look of an entry and nothing that it says.

No outside reference: the builder's own reader says whether the meaning is the same; git merges what it should.
"""

from __future__ import annotations

import random
import subprocess
from pathlib import Path

import pytest

from benchlore.entries.kinds import FOLDERS, KINDS
from benchlore.reading.files import Found, entry_files
from benchlore.reading.nodes import Refused, compose
from benchlore.reading.shelf import read_shelves
from benchlore.sharing import tidy as tidying
from benchlore.sharing.draft import draft
from benchlore.sharing.meaning import meaning
from benchlore.sharing.tidy import is_tidy, kind_of, tidy, tidy_file
from benchlore.writing import MachineRefused

ROOT = Path(__file__).resolve().parents[2]
SHELVES = [shelf for shelf in (ROOT / "kb/reference", ROOT / "kb/workshop") if shelf.is_dir()]
ENTRIES = [found for shelf in SHELVES for found in entry_files(shelf)[0]]
SAMPLE = ENTRIES[:: max(1, len(ENTRIES) // 40)]

UNTIDY = """\
# yaml-language-server: $schema=../.schemas/fault.schema.json
# A note on the whole file.

# why it is so
why: |
    First line.

    # not a comment, but text

title:   "Leaky coupling"   # the bench's name
sources:
- common practice
# a word on the first
- {where: sheet 6, title: 'EL84 data sheet'}
checks:
- power: off
  # how long
  minutes: 5
  key: swap
  passes: 'no: it stays'
asked:
- 'what squeals so'
also_called: [seeping cap]
summary: no
anywhere: yes
"""

TIDY = """\
# yaml-language-server: $schema=../.schemas/fault.schema.json
# A note on the whole file.

title: Leaky coupling       # the bench's name
also_called: [seeping cap]
asked:
  - what squeals so
sources:
  - common practice
  # a word on the first
  - {title: EL84 data sheet, where: sheet 6}
summary: no
# why it is so
why: |
  First line.

  # not a comment, but text
anywhere: yes
checks:
  - key: swap
    # how long
    minutes: 5
    power: off
    passes: 'no: it stays'
"""


def test_fields_go_in_order_with_their_comments() -> None:
    """Order, indentation, quotes; a comment stays with the field below it, and text that looks like one stays text."""
    assert tidy(UNTIDY, "fault") == TIDY
    assert tidy(TIDY, "fault") == TIDY


@pytest.mark.parametrize("found", SAMPLE, ids=lambda found: f"{found.kind}-{found.id}")
def test_shipped_entries_keep_their_meaning(found: Found) -> None:
    """Tidied twice is tidied once, whatever order the fields came in, and says the same."""
    text = found.path.read_text("utf-8")
    once = tidy(text, found.kind)
    assert tidy(once, found.kind) == once
    assert meaning(compose(once, "a")) == meaning(compose(text, "b"))

    lines = text.splitlines()
    starts = [number for number, line in enumerate(lines) if line and line[0] not in " #-"]
    parts = [lines[start:stop] for start, stop in zip(starts, [*starts[1:], len(lines)], strict=True)]
    random.Random(found.id).shuffle(parts)
    assert tidy("\n".join(line for part in parts for line in part), found.kind).split("\n") == once.split("\n")


@pytest.mark.parametrize("kind", KINDS)
def test_a_draft_is_tidy(kind: str) -> None:
    """What ``draft`` hands over needs no tidying."""
    text = draft(kind)
    assert tidy(text, kind) == text


def test_unreadable_text_is_refused_with_its_place() -> None:
    """What cannot be read is not touched, and the place of the slip is told."""
    with pytest.raises(Refused) as refused:
        tidy("title: 'open\n", "term", "terms/a.yaml")
    assert str(refused.value.problem.place).startswith("terms/a.yaml:1:8")


def test_repeated_field_is_refused() -> None:
    """Which of the two is meant, only a person knows."""
    with pytest.raises(Refused, match="mend what benchlore audit lists first"):
        tidy("title: a\ntitle: b\n", "term")


def test_an_amendment_keeps_its_order() -> None:
    """An amendment holds fields of its own kind, and is only reformatted."""
    assert tidy("amends:  yes\nset: {meaning: 'b'}\nwhy: c", "term") == "amends: yes\nset: {meaning: b}\nwhy: c\n"


def test_files_are_rewritten_whole_and_only_when_needed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A tidy file is left untouched; a refusing disk leaves the old text; CRLF and a byte-order mark go."""
    file = tmp_path / "terms" / "a.yaml"
    file.parent.mkdir()
    file.write_bytes(b"\xef\xbb\xbfmeaning: b\r\ntitle: 'a'\r\n")
    assert kind_of(file) == "term"
    assert tidy_file(file)
    assert file.read_bytes() == b"title: a\nmeaning: b\n"
    before = file.stat()
    assert not tidy_file(file)
    assert file.stat() == before

    file.write_text("meaning: b\ntitle: a\n", "utf-8")

    def refuse(path: Path, content: bytes) -> None:
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(tidying, "replace_file", refuse)
    with pytest.raises(MachineRefused, match="disk is full"):
        tidy_file(file)
    assert file.read_text("utf-8") == "meaning: b\ntitle: a\n"


def test_what_is_no_entry_is_refused(tmp_path: Path) -> None:
    """A file outside the folders of kinds is not rewritten."""
    with pytest.raises(Refused, match="not an entry of a shelf"):
        tidy_file(tmp_path / "notes.yaml")


@pytest.mark.parametrize("data", [b"title: Pl\xe4te\n", b"title: a\x00\n", "title: a\n".encode("utf-16"), b"title: [\n", b"", b"- a\n", b"title: &a x\n"])
def test_what_cannot_be_read_is_refused_alike_by_a_look_and_a_rewrite(tmp_path: Path, data: bytes) -> None:
    """``--check`` reads with the same care, and neither touches the file."""
    file = tmp_path / "terms" / "a.yaml"
    file.parent.mkdir()
    file.write_bytes(data)
    said = []
    for look in (is_tidy, tidy_file):
        with pytest.raises(Refused) as refused:
            look(file)
        said.append(str(refused.value.problem))
    assert said[0] == said[1] and file.read_bytes() == data


def git(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run git as a nobody in particular."""
    who = ["-c", "user.name=N", "-c", "user.email=n@example.org", "-c", "init.defaultBranch=main"]
    return subprocess.run(["git", *who, *words], cwd=folder, capture_output=True, text=True, check=False)


def test_two_technicians_merge_without_a_clash(tmp_path: Path) -> None:
    """Two branches add findings and amend different fields of one fault in tidy form: git merges, and all of it reads."""
    (tmp_path / "findings").mkdir()
    (tmp_path / "terms").mkdir()
    term = tmp_path / "terms" / "bias.yaml"
    term.write_text(tidy("title: Bias\nadded: 2025-01-01\nmeaning: What the grid sees.\n", "term"), "utf-8")
    git(tmp_path, "init")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-m", "start")

    def work(branch: str, initials: str, line: str) -> None:
        assert git(tmp_path, "checkout", "-b", branch, "main").returncode == 0
        (tmp_path / "findings").mkdir(exist_ok=True)  # git keeps no empty folder
        for number in range(3):
            given = {"title": f"Job {initials}{number}", "family": "heron", "symptoms": [], "faults": [], "fix": "Mended."}
            given |= {"minutes": 30, "parts_cost": 2, "technician": initials, "date": "2025-02-01"}
            file = tmp_path / "findings" / f"{initials.lower()}-{number}.yaml"
            file.write_text(draft("finding", given), "utf-8")
            tidy_file(file)
        term.write_text(term.read_text("utf-8") + line, "utf-8")
        tidy_file(term)
        git(tmp_path, "add", ".")
        git(tmp_path, "commit", "-m", branch)

    work("one", "RK", "also_called: [grid bias]\n")
    work("two", "AB", "see: [idle]\n")
    merged = git(tmp_path, "merge", "one", "-m", "both")
    assert merged.returncode == 0, merged.stdout
    reading = read_shelves([tmp_path])
    assert list(reading.problems) == []
    assert len(reading.entries) == 7


def test_a_true_clash_is_a_readable_problem(tmp_path: Path) -> None:
    """The same line changed two ways: git leaves its marks, and the builder says where."""
    (tmp_path / "terms").mkdir()
    term = tmp_path / "terms" / "bias.yaml"
    term.write_text("title: Bias\nmeaning: One.\n", "utf-8")
    git(tmp_path, "init")
    git(tmp_path, "add", ".")
    git(tmp_path, "commit", "-m", "start")
    for branch, word in (("one", "Two"), ("two", "Three")):
        git(tmp_path, "checkout", "-b", branch, "main")
        term.write_text(f"title: Bias\nmeaning: {word}.\n", "utf-8")
        git(tmp_path, "commit", "-am", branch)
    assert git(tmp_path, "merge", "one").returncode != 0
    (problem,) = read_shelves([tmp_path]).problems
    assert str(problem.place).endswith("terms/bias.yaml:2:1")


@pytest.mark.no_cover
@pytest.mark.parametrize("folder", sorted(path for path in (ROOT / "kb").glob("*/*") if path.is_dir()), ids=lambda path: f"{path.parent.name}-{path.name}")
def test_shipped_entries_are_in_house_form(folder: Path) -> None:
    """What is shipped merges as it should; where this fails, run: benchlore tidy kb/*/*/*.yaml"""
    kind = FOLDERS[folder.name]
    untidy = [path.name for path in sorted(folder.glob("*.yaml")) if (text := path.read_text("utf-8")) != tidy(text, kind)]
    assert untidy == []
