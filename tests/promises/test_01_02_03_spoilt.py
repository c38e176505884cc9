"""Promises 1 to 3: one slip anywhere in a book, and nothing is written; it is told at its own line and column, alone.

Every value of the small shelf is spoilt in turn, in ways that no entry may have.  Where a value stands is told by libyaml's own
marks, not by ours.  CI takes a share of the values, drawn with a fixed seed; ``BENCHLORE_THOROUGH=1`` takes all.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import yaml
from running import SMALL, THOROUGH

from benchlore.keeping import Keep
from benchlore.pipeline import build

Slip = tuple[str, int, int, str]


def scalars(node: yaml.Node, is_key: bool = False) -> Iterator[tuple[yaml.ScalarNode, bool]]:
    """Every scalar of a document, and whether it is a field's name."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from scalars(key, True)
            yield from scalars(value)
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            yield from scalars(item)
    elif isinstance(node, yaml.ScalarNode):
        yield node, is_key


def slips(file: Path) -> Iterator[Slip]:
    """The text of a file with one slip in it, and the line and column where that stands (column 0: anywhere in the line)."""
    text = file.read_text("utf-8")
    for node, is_key in scalars(yaml.compose(text, yaml.CSafeLoader)):
        mark, end = node.start_mark, node.end_mark
        before, value, after = text[: mark.index], text[mark.index : end.index], text[end.index :]
        line, column = mark.line + 1, mark.column + 1
        yield f"{before}!t {value}{after}", line, column, "a tag"
        yield f"{before}\u202e{value}{after}", line, column, "a character that no text may hold"
        if node.style is None and is_key:
            yield f"{before}zzz-{value}{after}", line, column, "a field that there is not"
        elif node.style is None and before.endswith(": ") and after.startswith("\n"):
            yield f"{before.rstrip(' ')}{after}", line, 0, "nothing written"
            yield f"{before}[[{value}]]{after}" if "," not in value and ": " not in value else f"{before}[[x]]{after}", line, 0, "a list in a list"


FILES = sorted(SMALL.rglob("*.yaml"))
MISSING = ("missing", "at least", "needs", "lacks")


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.relative_to(SMALL).as_posix())
def test_one_slip_anywhere(file: Path, tmp_path: Path, record_property: Callable[[str, object], None]) -> None:
    """The site is not touched; the one problem stands where the slip was made (and what a field's old name now leaves out)."""
    shelf, out, keep = tmp_path / "shelf", tmp_path / "site", Keep(tmp_path / "keep")
    shutil.copytree(SMALL, shelf)
    assert build([shelf], out, keep).published is not None
    before = {path: path.stat().st_mtime_ns for path in out.rglob("*")}
    target = shelf / file.relative_to(SMALL)
    made = list(slips(file))
    told = 0
    for text, line, column, what in made if THOROUGH else random.Random(file.name).sample(made, min(3, len(made))):
        target.write_text(text, "utf-8")
        built = build([shelf], out, keep)
        said = [p for p in built.checked.problems if p.severity == "error"]
        about = f"{what} at {line}:{column}: {[str(p) for p in said]}"
        assert built.published is None and said, about
        assert {path: path.stat().st_mtime_ns for path in out.rglob("*")} == before, about
        here = [p for p in said if p.place.line == line and column in (0, p.place.column)]
        others = [p for p in said if p not in here]
        assert here and all(p.place.file.endswith(file.name) for p in said), about
        assert not others or (what == "a field that there is not" and all(any(w in str(p) for w in MISSING) for p in others)), about
        told += 1
    record_property("slips told at their place", told)
