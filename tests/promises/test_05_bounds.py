"""Promise 5: reading takes time and memory in proportion to the text, whatever the text is.

Every text is as large as an entry may be.  Limits are those of the promise; what was measured stands in DEVELOPERS.md.
"""

from __future__ import annotations

import os
import resource
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.reading.files import LARGEST
from benchlore.reading.shelf import read_shelves

SECONDS, MEBIBYTES = 10, 400
FULL = LARGEST - 64


def repeated(head: str, part: str, tail: str = "") -> str:
    """``part`` as often as an entry can hold it."""
    return head + part * (FULL // len(part.encode())) + tail


def numbered(line: str, head: str = "") -> str:
    """Numbered lines as many as an entry can hold."""
    made, size, number = [head], len(head), 0
    while size < FULL - 40:
        made.append(line.format(n=number))
        size += len(made[-1].encode())
        number += 1
    return "".join(made)


WORST: dict[str, Callable[[], str]] = {
    "brackets": lambda: repeated("", "["),
    "braces": lambda: repeated("title: ", "{a: "),
    "items": lambda: repeated("title: x\nsee: [", "x,", "x]"),
    "one long text": lambda: repeated("title: x\nmeaning: ", "word "),
    "escapes": lambda: repeated('title: "', "\\x41", '"'),
    "colons": lambda: repeated("title", ": "),
    "unknown fields": lambda: numbered("k{n}: x\n"),
    "nearly known fields": lambda: numbered("title{n}: x\n"),
    "one field again and again": lambda: repeated("", "title: x\n"),
    "anchors": lambda: numbered("a{n}: &a{n} x\n"),
    "blanks": lambda: repeated("title: x\n", " ", "\nmeaning: y"),
    "controls": lambda: repeated("title: x\nmeaning: y", "\x07"),
    "turned writing": lambda: repeated("title: x\nmeaning: ", "\u202e"),
    "accents on accents": lambda: repeated("title: x\nmeaning: a", "\u0301"),
    "bad ids": lambda: numbered("- Bad id {n}\n", "title: x\nmeaning: y\nsee:\n"),
    "marks of a merge": lambda: repeated("", "<<<<<<< a\n"),
    "a table of quantities": lambda: numbered("  {n}: 1 V\n", "title: x\npins:\n"),
}


@pytest.mark.parametrize("kind", WORST)
def test_the_worst_texts(tmp_path: Path, kind: str) -> None:
    """Read, or refused, within the limits."""
    (tmp_path / "terms").mkdir()
    (tmp_path / "terms" / "worst.yaml").write_text(WORST[kind](), "utf-8")
    memory, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.process_time()
    read_shelves([tmp_path])
    assert time.process_time() - start < SECONDS
    assert (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - memory) / 1024 < MEBIBYTES


def test_a_hundred_megabytes_are_not_read(tmp_path: Path) -> None:
    """A file far too large costs a look at its size."""
    (tmp_path / "terms").mkdir()
    huge = tmp_path / "terms" / "huge.yaml"
    huge.touch()
    os.truncate(huge, 100 << 20)
    start = time.process_time()
    (problem,) = read_shelves([tmp_path]).problems
    assert "larger than" in problem.message
    assert time.process_time() - start < 2
