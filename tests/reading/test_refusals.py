"""What reading refuses, and where it says that the slip is.

The list follows what a careful reader of YAML must refuse; the YAML 1.2.2 specification is the outside source for what
each construct is (sections 6.8 directives, 6.9 node properties, 7.1 alias nodes, 9.2 streams).
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchlore.problem import Problem
from benchlore.reading.shelf import Reading, read_shelves

GOOD = "title: Plate\nmeaning: The electrode that collects the current.\n"


def shelf(tmp_path: Path, text: str | bytes, name: str = "terms/plate.yaml") -> Reading:
    """Read a shelf of one file."""
    file = tmp_path / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_shelves([tmp_path])


def only(reading: Reading) -> Problem:
    """The one problem of a reading that gave no entry."""
    assert [str(p) for p in reading.problems][1:] == []
    assert reading.entries == ()
    return reading.problems[0]


def test_a_good_entry_is_read(tmp_path: Path) -> None:
    """The entry that all the bad ones below are made from is itself sound."""
    reading = shelf(tmp_path, GOOD)
    assert reading.problems == ()
    assert reading.entries[0].title == "Plate"


@pytest.mark.parametrize(
    ("text", "line", "column", "said"),
    [
        (GOOD + "title: Anode\n", 3, 1, "written twice"),
        (GOOD + "synonims: [anode]\n", 3, 1, "did you mean synonyms?"),
        (GOOD + "see: [&a plate]\n", 3, 7, "an anchor"),
        (GOOD + "see: *plate\n", 3, 6, "an alias"),
        (GOOD + "see: !!set {a}\n", 3, 6, "a tag"),
        (GOOD + "see: !python/object:os.system x\n", 3, 6, "a tag"),
        (GOOD + "<<: {title: x}\n", 3, 1, "a merge key"),
        (GOOD + "---\ntitle: b\n", 3, 1, "a second document"),
        ("%YAML 1.1\n---\n" + GOOD, 1, 1, "a YAML directive"),
        (GOOD + "added:\n", 3, 7, "nothing is written here"),
        (GOOD + "added: ~\n", 3, 8, "nothing is written here"),
        (GOOD + "added: null\n", 3, 8, "nothing is written here"),
        (GOOD + "added: 2024-02-30\n", 3, 8, "is not a day"),
        (GOOD + "see: plate\n", 3, 6, "where a list is wanted"),
        (GOOD + "see: [[plate]]\n", 3, 7, "where one value is wanted"),
        ("title: a: b\nmeaning: x\n", 1, 9, "a second colon"),
        ('title: "Plate\nmeaning: x\n', 1, 8, "never closed"),
        ("title: Plate\nmeaning: x\nsee: [a, b\n", 3, 6, "never closed"),
        ("meaning: x\n", 1, 1, "title: missing"),
        (GOOD + "\tsee: [a]\n", 3, 1, "indent with spaces"),
        ("title:\n\t- a\n", 2, 1, "indent with spaces"),
        ("title: @x\nmeaning: y\n", 1, 8, "quotes round text"),
        ("title: Plate\nmeaning\n", 3, 1, "not readable as YAML"),
        ("- a\n- b\n", 1, 1, "fields and values"),
        ("", 1, 1, "the file is empty"),
        ("title: Plate\nmeaning: a\u202eb\n", 2, 11, "RIGHT-TO-LEFT OVERRIDE, U+202E"),
        ('title: Plate\nmeaning: "a\\u202Eb"\n', 2, 10, "U+202E"),
        ("title: Plate\nmeaning: a\x07b\n", 2, 11, "U+0007"),
        ('title: Plate\nmeaning: "a\\ud83dx"\n', 2, 14, "no character is written so"),
        ("title: " + "[" * 25 + "]" * 25 + "\n", 1, 27, "nested deeper than 20"),
        (b"title: Pl\xe4te\nmeaning: x\n", 1, 10, "not UTF-8"),
        (GOOD.encode("utf-16"), 1, 1, "not UTF-8"),
        (GOOD.encode("utf-16-le"), 1, 1, "UTF-16"),
        (GOOD.encode("utf-16-be"), 1, 1, "UTF-16"),
        (GOOD.encode("utf-32"), 1, 1, "not UTF-8"),
        ("title: " + "x" * 200 + "\nmeaning: x\n", 1, 8, "more than the 120"),
        ("title: |\n  a\n  b\nmeaning: x\n", 1, 8, "more than one line"),
    ],
)
def test_refused_at_its_place(tmp_path: Path, text: str | bytes, line: int, column: int, said: str) -> None:
    """Each construct that could mean other than it shows is one problem at its own line and column."""
    problem = only(shelf(tmp_path, text))
    assert said in str(problem)
    assert (problem.place.line, problem.place.column) == (line, column)
    assert problem.place.file.endswith("terms/plate.yaml")


def test_mark_and_crlf_are_accepted(tmp_path: Path) -> None:
    """A byte-order mark and Windows line ends change nothing."""
    reading = shelf(tmp_path, b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
    assert reading.problems == ()
    assert reading.entries[0].title == "Plate"


@pytest.mark.parametrize("text", ["no", "012", "1:10", "12E1", "2024-02-30", "5881", "22:1", "true", "0x1F", "1_000", ".5", "=", "null and void"])
def test_text_stays_text(tmp_path: Path, text: str) -> None:
    """A title that YAML 1.1 would take for another type stays as typed."""
    reading = shelf(tmp_path, f"title: {text}\nmeaning: x\n")
    assert reading.problems == ()
    assert reading.entries[0].title == text


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("terms/Plate.yaml", "cannot be an id"),
        ("terms/plate_1.yaml", "cannot be an id"),
        ("terms/con.yaml", "reserved file name"),
        ("terms/plate.yml", "does not end in .yaml"),
        ("terms/" + "a" * 61 + ".yaml", "cannot be an id"),
        ("plate.yaml", "outside the folder of its kind"),
        ("term/plate.yaml", "did you mean terms?"),
    ],
)
def test_names_that_cannot_be_ids(tmp_path: Path, name: str, said: str) -> None:
    """A file's name is its id, and its folder the kind."""
    assert said in str(only(shelf(tmp_path, GOOD, name)))


def test_what_is_no_entry_and_may_lie_there(tmp_path: Path) -> None:
    """Hidden files and folders, notes of an editor, a licence and a README are nobody's entries."""
    for name in (".git/config.yaml", ".hidden.yaml", "README.md", "terms/.plate.yaml.swp", "terms/plate.yaml~", "terms/README.md", "LICENSE", "terms/.draft.yaml"):
        shelf(tmp_path, "no: [entry", name)
    reading = shelf(tmp_path, GOOD)
    assert reading.problems == () and len(reading.entries) == 1


def test_names_that_differ_only_in_capitals(tmp_path: Path) -> None:
    """Two names that are one file on some disks are told apart by no reader."""
    shelf(tmp_path, GOOD)
    reading = shelf(tmp_path, GOOD, "terms/PLATE.yaml")
    assert any("differs only in capitals from plate.yaml" in str(p) for p in reading.problems)


def test_large_files_are_not_read(tmp_path: Path) -> None:
    """A file over 1 MiB is refused by its size alone."""
    assert "larger than 1 MiB" in str(only(shelf(tmp_path, b"#" * (1 << 20) + b"\n" + GOOD.encode())))


def test_links_pipes_and_folders_are_refused_and_nothing_hangs(tmp_path: Path) -> None:
    """Nothing outside the shelf is read, and a pipe with an entry's name does not block."""
    shelf(tmp_path, GOOD)
    (tmp_path / "secret").write_text(GOOD.replace("Plate", "Secret"))
    terms = tmp_path / "terms"
    (terms / "linked.yaml").symlink_to(tmp_path / "secret")
    (terms / "loop.yaml").symlink_to(terms / "loop.yaml")
    (terms / "folder.yaml").mkdir()
    os.mkfifo(terms / "pipe.yaml")
    (tmp_path / "tubes").symlink_to(terms)
    reading = read_shelves([tmp_path])
    assert [entry.id for entry in reading.entries] == ["plate"]
    said = "\n".join(str(p) for p in reading.problems)
    assert said.count("a link to another file") == 3
    assert "a folder where an entry should be" in said
    assert "a pipe, socket or device" in said


def test_all_problems_at_once_and_none_invented(tmp_path: Path) -> None:
    """Ten slips in three files are ten problems."""
    shelf(tmp_path, "title: ''\nmeaning: x\nadded: today\nsees: [x]\nby: [TOOLONGX]\n", "terms/one.yaml")
    shelf(tmp_path, "title: Two\nsynonyms: [{word: x, wey: both}, {way: sideways}]\n", "terms/two.yaml")
    reading = shelf(tmp_path, "title: [x]\nmeaning: {}\n", "terms/three.yaml")
    assert len(reading.problems) == 10, "\n".join(map(str, reading.problems))
    assert reading.broken == {("term", "one"), ("term", "two"), ("term", "three")}


def test_a_hint_shows_what_this_field_looks_like(tmp_path: Path) -> None:
    """A current without its unit is met with a current of an output tube, not with a generator's."""
    good = (Path(__file__).resolve().parents[1] / "kb_small" / "families" / "tarn-15.yaml").read_text(encoding="utf-8")
    (problem,) = shelf(tmp_path, good.replace("cathode_current: 30 mA", "cathode_current: 30"), "families/tarn-15.yaml").problems
    assert problem.where == "idle.cathode_current"
    assert (problem.message, problem.hint) == ('"30" has no unit', "write a number and a unit, such as 27 mA")


def test_places_travel_with_values(tmp_path: Path) -> None:
    """Every value knows its line and column, and an absent field falls back to what encloses it."""
    text = GOOD + "synonyms:\n  - anode\n  - word: ht electrode\n    way: one\n"
    entry = shelf(tmp_path, text).entries[0]
    assert (entry.place("synonyms[1].way").line, entry.place("synonyms[1].way").column) == (6, 10)
    assert entry.place("synonyms[0].way").line == 4
    assert entry.place("added").line == 1
