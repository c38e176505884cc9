"""An upper shelf speaks on a lower shelf's entry, field by field."""

from __future__ import annotations

from pathlib import Path

from benchlore.reading.shelf import Reading, read_shelves

LOWER = "title: Plate\nmeaning: The electrode that collects the current.\nsynonyms: [anode, {word: top cap, way: one}]\n"


def stack(tmp_path: Path, upper: str, lower: str = LOWER) -> Reading:
    """Two shelves with one term each, of the same id."""
    for name, text in (("below", lower), ("above", upper)):
        folder = tmp_path / name / "terms"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "plate.yaml").write_text(text)
    return read_shelves([tmp_path / "below", tmp_path / "above"])


def test_set_add_and_retire(tmp_path: Path) -> None:
    """A field is replaced, an item added by key, another left out; each value knows whose word it is."""
    reading = stack(
        tmp_path, "amends: yes\nset: {title: Plate or anode}\nadd: {synonyms: [collector]}\nretire: {synonyms: [top cap]}\nwhy: said so here\n"
    )
    assert reading.problems == ()
    entry = reading.entries[0]
    assert entry.title == "Plate or anode"
    assert [s.word for s in entry.synonyms] == ["anode", "collector"]  # type: ignore[attr-defined]
    assert "above" in entry.place("title").file
    assert "below" in entry.place("meaning").file


def test_ways_of_asking_add_up(tmp_path: Path) -> None:
    """Two shops' ways of asking for one thing stand together; one of them may be taken out."""
    lower = LOWER + "asked: [the hot sheet, tin in the bottle]\n"
    reading = stack(tmp_path, "amends: yes\nadd: {asked: [grey box inside]}\nretire: {asked: [tin in the bottle]}\nwhy: said so here\n", lower)
    assert reading.problems == ()
    assert reading.entries[0].asked == ("the hot sheet", "grey box inside")


def test_same_id_without_amends_names_both(tmp_path: Path) -> None:
    """Two whole entries of one id are a clash, and the message names the other file."""
    (problem,) = stack(tmp_path, LOWER).problems
    assert "above/terms/plate.yaml" in problem.place.file
    assert "below/terms/plate.yaml" in problem.message


def test_a_changed_lower_text_is_a_warning(tmp_path: Path) -> None:
    """An amendment that names the text it was written against is told when that text has changed."""
    reading = stack(tmp_path, "amends: 0123456789abcdef\nset: {title: X}\n")
    (problem,) = reading.problems
    assert problem.severity == "warning"
    assert "has changed since" in problem.message
    assert reading.entries[0].title == "X"


def test_an_amendment_that_amends_nothing(tmp_path: Path) -> None:
    """Amending what is not there, or a field that is not there, is a problem with the nearest word."""
    folder = tmp_path / "alone" / "terms"
    folder.mkdir(parents=True)
    (folder / "plate.yaml").write_text("amends: yes\nset: {title: X}\n")
    assert "no lower shelf has this term" in str(read_shelves([tmp_path / "alone"]).problems[0])
    assert "did you mean title?" in str(stack(tmp_path, "amends: yes\nset: {titel: X}\n").problems[0])
    assert "put it under set" in str(stack(tmp_path, "amends: yes\ntitle: X\n").problems[0])
    assert "no such item" in str(stack(tmp_path, "amends: yes\nretire: {synonyms: [grid]}\n").problems[0])


def test_retiring_a_whole_entry(tmp_path: Path) -> None:
    """A shop may leave an entry out of its book."""
    reading = stack(tmp_path, "amends: yes\nretire: {entry: we say anode here}\n")
    assert reading.problems == ()
    assert reading.entries == ()


def test_a_reason_is_a_reason(tmp_path: Path) -> None:
    """Left out without a reason, or with one that is still to be written, is a problem; so is adding to what is no list."""
    for said in ("yes", "TODO", "''"):
        assert "says no reason" in str(stack(tmp_path, f"amends: yes\nretire: {{entry: {said}}}\n").problems[0])
    assert "still to be written" in str(stack(tmp_path, "amends: yes\nset: {title: X}\nwhy: TODO\n").problems[0])
    for how in ("add", "retire"):
        assert "is not a list" in str(stack(tmp_path, f"amends: yes\n{how}: {{title: X}}\nwhy: so\n").problems[0])
