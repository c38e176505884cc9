"""Entries become a library, or the problems say which pointer leads nowhere."""

from __future__ import annotations

import shutil
from pathlib import Path

from benchlore.linking.link import Linked, link
from benchlore.reading.shelf import read_shelves


def linked(tmp_path: Path, **terms: str) -> Linked:
    """A library of terms, each given as extra lines of YAML."""
    folder = tmp_path / "terms"
    folder.mkdir(exist_ok=True)
    for id, extra in terms.items():
        title = "" if "title:" in extra else f"title: Word {id}\n"
        (folder / f"{id}.yaml").write_text(f"{title}meaning: A word.\n{extra}\n")
    reading = read_shelves([tmp_path])
    return link(reading.entries, reading.broken)


def test_pointers_run_both_ways(tmp_path: Path) -> None:
    """Who points at an entry is known from the entry pointed at."""
    library = linked(tmp_path, plate="see: [grid]", grid="").library
    (pointer,) = library.pointers("term", "grid")
    assert (pointer.kind, pointer.id, pointer.path) == ("term", "plate", "see[0]")


def test_a_dangling_reference_offers_the_nearest(tmp_path: Path) -> None:
    """A slip in an id is met with the id that was meant, at its own place."""
    (problem,) = linked(tmp_path, plate="see: [gridd]", grid="").problems
    assert (problem.place.line, problem.place.column) == (3, 7)
    assert problem.hint == "did you mean grid?"


def test_a_dangling_mention_in_text(tmp_path: Path) -> None:
    """Text that links to an entry is held to the same rule."""
    said = linked(tmp_path, plate="synonyms: ['[the grid](term:grit)']", grid="").problems
    assert [p.where for p in said] == ["synonyms[0].word"]


def test_pointing_at_a_broken_entry_is_no_second_problem(tmp_path: Path) -> None:
    """One slip is one problem: who points at the entry with the slip is not blamed."""
    folder = tmp_path / "terms"
    folder.mkdir()
    (folder / "grid.yaml").write_text("title: Grid\n")
    assert linked(tmp_path, plate="see: [grid]").problems == ()


def test_same_titles_and_former_ids(tmp_path: Path) -> None:
    """Two entries of a kind may not share a title, nor may a former id be in use."""
    said = "\n".join(map(str, linked(tmp_path, a="title: Same", b="title: same\nwas: [a, old]", c="was: [old]").problems))
    assert "is the title of a too" in said
    assert "is the id of a living term" in said
    assert "is a former id of b too" in said


def test_findings_may_share_a_title_and_are_told_newest_first(tmp_path: Path) -> None:
    """Two jobs are told apart by family and day, whatever they are called; who had a fault is known from the fault."""
    shelf = tmp_path / "shelf"
    shutil.copytree(Path(__file__).resolve().parents[1] / "kb_small", shelf)
    (first,) = shelf.glob("findings/2025-03-04-*.yaml")
    (shelf / "findings" / "2025-03-05-tarn-15.yaml").write_text(first.read_text().replace("2025-03-04", "2025-03-05"))
    reading = read_shelves([shelf])
    found = link(reading.entries, reading.broken)
    assert found.problems == ()
    job = found.library.findings["2025-03-05-tarn-15"]
    for told in (found.library.findings_with(job.faults[0]), found.library.findings_of("tarn-15")):
        days = [str(one.date) for one in told]
        assert "2025-03-05" in days and days == sorted(days, reverse=True)
