"""Promise 24: a site that was kept up to date is, byte for byte, the one that a first build makes."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchlore.keeping import Keep
from benchlore.pipeline import build, check
from benchlore.searching.documents import documents_of
from benchlore.searching.export import build_index
from editing import Editor

SMALL = Path(__file__).resolve().parents[1] / "kb_small"


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def compare(folder: Path, edits: int, seed: int) -> int:
    """Edit a copy of the small shelf again and again; after each build compare with a first build.  How many were compared."""
    shelf, keep, fresh = folder / "shelf", Keep(folder / "keep"), Keep(folder / "fresh")
    if not shelf.exists():
        shutil.copytree(SMALL, shelf)
    build([shelf], folder / "site", keep)
    editor, done, said = Editor(shelf, seed), 0, []
    sound = {p: p.read_bytes() for p in shelf.rglob("*.yaml")}
    for _ in range(edits):
        said.append(editor.change())
        if not build([shelf], folder / "site", keep).checked.sound:
            if editor.chance.random() < 0.7:  # else it stays wrong for a while, and is built again with more changes
                restore(shelf, sound)
            continue
        sound = {p: p.read_bytes() for p in shelf.rglob("*.yaml")}
        for book in (folder / "fresh").glob("works-*"):
            book.unlink()
        build([shelf], folder / "first", fresh)
        kept, first = tree(folder / "site"), tree(folder / "first")
        differing = [path for path in sorted(kept.keys() | first.keys()) if kept.get(path) != first.get(path)]
        assert not differing, f"seed {seed}: after {said[-4:]} these differ: {differing[:10]}"
        done += 1
    return done


def restore(shelf: Path, files: dict[Path, bytes]) -> None:
    """Put every entry back."""
    for path in set(shelf.rglob("*.yaml")) - files.keys():
        path.unlink()
    for path, content in files.items():
        if not path.exists() or path.read_bytes() != content:
            path.write_bytes(content)


@pytest.mark.parametrize("seed", [1, 2])
def test_kept_site_equals_first_build(tmp_path: Path, seed: int) -> None:
    """Words, items, titles, entries that come, go and are renamed: nothing differs (two hundred edits in tests/bench)."""
    assert compare(tmp_path, 12, seed) >= 4


def test_kept_index_is_the_index(tmp_path: Path) -> None:
    """The search index that was patched is the one that the search's own tests judge."""
    compare(tmp_path, 6, 3)
    library = check([tmp_path / "shelf"], Keep(tmp_path / "keep")).library
    wanted = build_index(documents_of(library))
    assert {path: (tmp_path / "site" / path).read_bytes() for path in wanted} == dict(wanted)
