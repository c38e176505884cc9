"""Promise 24: a site that was kept up to date is, byte for byte, the one that a first build makes."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from benchlore.entries.kinds import FOLDERS
from benchlore.keeping import Keep
from benchlore.pipeline import build, check
from benchlore.searching.documents import documents_of
from benchlore.searching.export import build_index
from editing import Editor

SMALL = Path(__file__).resolve().parents[1] / "kb_small"


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@dataclass
class Told:
    """What was done: how many sites were compared, how many builds found something wrong, and what the editor did."""

    compared: int
    refused: int
    editor: Editor


def compare(folder: Path, edits: int, seed: int, most: int = 1, every: int = 1) -> Told:
    """Edit a copy of the small shelf and the shelf above it again and again, up to ``most`` edits before each build; after
    ``every`` sound builds, and at the end, compare with a first build."""
    shelf, upper, keep, fresh = folder / "shelf", folder / "upper", Keep(folder / "keep"), Keep(folder / "fresh")
    shutil.copytree(SMALL, shelf)
    upper.mkdir()
    build([shelf, upper], folder / "site", keep)
    editor, said = Editor(shelf, seed, upper), [f"seed {seed}"]
    told, sound, good = Told(0, 0, editor), files_of(shelf, upper), 0
    while editor.count < edits:
        said += [editor.change() for _ in range(editor.chance.randint(1, most)) if editor.count < edits]
        if not build([shelf, upper], folder / "site", keep).checked.sound:
            told.refused += 1
            if editor.chance.random() < 0.3:  # it stays wrong for a while, and is built again with more changes
                continue
            said.append(editor.mend())
            if not build([shelf, upper], folder / "site", keep).checked.sound:
                restore(sound, shelf, upper)
                continue
        sound, good = files_of(shelf, upper), good + 1
        editor.spoilt.clear()
        if good % every == 0:
            same_as_first(folder, fresh, said)
            told.compared += 1
    restore(sound, shelf, upper)
    build([shelf, upper], folder / "site", keep)
    same_as_first(folder, fresh, said)
    return told


def same_as_first(folder: Path, fresh: Keep, said: list[str]) -> None:
    """The site that was kept up to date is the one of a first build."""
    for book in (folder / "fresh").glob("works-*"):
        book.unlink()
    shutil.rmtree(folder / "first", ignore_errors=True)
    assert build([folder / "shelf", folder / "upper"], folder / "first", fresh).checked.sound
    kept, first = tree(folder / "site"), tree(folder / "first")
    differing = [path for path in sorted(kept.keys() | first.keys()) if kept.get(path) != first.get(path)]
    assert not differing, f"{said[0]}: after {said[-8:]} these differ: {differing[:10]}"


def files_of(*shelves: Path) -> dict[Path, bytes]:
    """Every entry's file."""
    return {path: path.read_bytes() for shelf in shelves for path in shelf.rglob("*.yaml")}


def restore(files: dict[Path, bytes], *shelves: Path) -> None:
    """Put every entry back."""
    for path in files_of(*shelves).keys() - files.keys():
        path.unlink()
    for path, content in files.items():
        if not path.exists() or path.read_bytes() != content:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)


@pytest.mark.no_cover
def test_two_hundred_edits(tmp_path: Path) -> None:
    """Two hundred edits of entries of every kind, renames and removals, amendments from above, slips left and mended: nothing differs."""
    told = compare(tmp_path, 200, seed=24, most=4, every=5)
    assert told.compared >= 8 and told.refused >= 10
    assert told.editor.count == 200
    assert min(told.editor.done[way.__name__] for way in told.editor.ways) >= 5
    assert told.editor.touched >= set(FOLDERS)


def test_each_edit_by_itself(tmp_path: Path) -> None:
    """The same with a build and a comparison after each edit."""
    assert compare(tmp_path, 12, seed=1).compared >= 4


def test_kept_index_is_the_index(tmp_path: Path) -> None:
    """The search index that was patched is the one that the search's own tests judge."""
    compare(tmp_path, 6, seed=3)
    library = check([tmp_path / "shelf", tmp_path / "upper"], Keep(tmp_path / "keep")).library
    wanted = build_index(documents_of(library))
    assert {path: (tmp_path / "site" / path).read_bytes() for path in wanted} == dict(wanted)
