"""Shelves to a library, to the files of its site, to a folder: for tests that look at what was built."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.reading.shelf import read_shelves


def sound_library(shelves: Sequence[Path]) -> Library:
    """The library of shelves in which nothing is wrong."""
    reading = read_shelves(shelves)
    linked = link(reading.entries, reading.broken, reading.retired)
    problems = [*reading.problems, *linked.problems]
    assert not problems, "\n".join(map(str, problems[:20]))
    return linked.library


def site_files(library: Library) -> dict[str, bytes]:
    """Every file of the library's site, sums and search index with it."""
    from benchlore.reckoning.calculate import compile_calculator
    from benchlore.rendering.site import render

    compiled = {}
    for id, entry in library.calculators.items():
        one, problems = compile_calculator(entry, library)
        assert one is not None, "\n".join(map(str, problems))
        compiled[id] = one
    return render(library, compiled)


def written(files: dict[str, bytes], folder: Path) -> Path:
    """The files, written below ``folder``."""
    for path, content in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return folder
