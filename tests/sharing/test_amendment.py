"""A drafted amendment of each kind: it reads, and its marked lines are the right shape when their mark is taken away."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchlore.entries.kinds import FOLDERS
from benchlore.reading.shelf import read_shelves
from benchlore.sharing.amendment import amendment_draft

SMALL = Path(__file__).resolve().parents[1] / "kb_small"
FIRST = {folder: sorted((SMALL / folder).glob("*.yaml"))[0].stem for folder in FOLDERS if (SMALL / folder).is_dir()}


@pytest.mark.parametrize("folder", FIRST)
def test_a_drafted_amendment_reads(folder: str, tmp_path: Path) -> None:
    """With a reason and a title it is sound for every kind; without one, the reason is what is left to do."""
    kind, id = FOLDERS[folder], FIRST[folder]
    text = amendment_draft(kind, id, "yes", {"title": "Another title"})
    (tmp_path / folder).mkdir()
    file = tmp_path / folder / f"{id}.yaml"
    file.write_text(text, "utf-8")
    assert [(p.where, p.message) for p in read_shelves([SMALL, tmp_path]).problems] == [("why", "still to be written")]
    file.write_text(text.replace("TODO", "we say so here", 2).replace("why: TODO", "why: we say so here"), "utf-8")
    reading = read_shelves([SMALL, tmp_path])
    assert reading.problems == ()
    (entry,) = (e for e in reading.entries if (e.kind, e.id) == (kind, id))
    assert entry.title == "Another title" and entry.amended[0].why == "we say so here"


def test_an_unknown_field_is_the_callers_slip() -> None:
    """As in a draft."""
    with pytest.raises(KeyError):
        amendment_draft("fault", "a", "yes", {"titel": "x"})
