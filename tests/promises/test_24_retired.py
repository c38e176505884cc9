"""Promise 24 where shelves stack: a site kept up while an upper shelf amends, leaves out and takes back is the one of a first build."""

from __future__ import annotations

import shutil
from pathlib import Path

from running import SMALL

from benchlore.keeping import Keep
from benchlore.pipeline import build

STEPS: tuple[dict[str, str | None], ...] = (
    {"terms/bias.yaml": "amends: yes\nset: {meaning: Ours.}\nwhy: so we say\n"},
    {"terms/bias.yaml": "amends: yes\nset: {meaning: Ours now.}\nwhy: so we say\n"},
    {"terms/bias.yaml": "amends: yes\nset: {meaning: Ours now.}\nwhy: another reason\n"},
    {"terms/idle-share.yaml": "amends: yes\nretire: {entry: never said here}\n"},
    {"terms/idle-share.yaml": "amends: yes\nretire: {entry: said by nobody}\n"},
    {"symptoms/weak-output.yaml": "amends: yes\nretire: {entry: not met here}\n"},
    {"terms/idle-share.yaml": None},
    {"terms/own.yaml": "title: Own\nmeaning: Only ours.\n", "terms/bias.yaml": None},
    {"symptoms/weak-output.yaml": None},
    {"terms/own.yaml": None},
)
"""What happens on the upper shelf, one build after the other: a file's new text, or that it goes."""


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_an_upper_shelf_comes_and_goes(tmp_path: Path) -> None:
    """After each step the kept site is the first build's, byte for byte; at the end it is the lower shelf's own again."""
    lower, upper = tmp_path / "lower", tmp_path / "upper"
    shutil.copytree(SMALL, lower)
    upper.mkdir()
    keep, fresh = Keep(tmp_path / "keep"), Keep(tmp_path / "fresh")
    build([lower, upper], tmp_path / "site", keep)
    before = tree(tmp_path / "site")
    sites = [before]
    for step in STEPS:
        for path, text in step.items():
            (upper / path).parent.mkdir(exist_ok=True)
            if text is None:
                (upper / path).unlink()
            else:
                (upper / path).write_text(text, "utf-8")
        built = build([lower, upper], tmp_path / "site", keep)
        assert built.checked.sound, [str(p) for p in built.checked.problems]
        for book in (tmp_path / "fresh").glob("works-*"):
            book.unlink()
        build([lower, upper], tmp_path / "first", fresh)
        kept, first = tree(tmp_path / "site"), tree(tmp_path / "first")
        assert [path for path in kept.keys() | first.keys() if kept.get(path) != first.get(path)] == [], step
        assert kept != sites[-1], step
        sites.append(kept)
    assert sites[-1] == before
