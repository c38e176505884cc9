"""What several folders of tests share: the small shelf as a library, its site on disk, and a browser to open it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.reading.shelf import read_shelves

ROOT = Path(__file__).resolve().parent.parent
SMALL = ROOT / "tests" / "kb_small"
FLAGS = (
    "--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()


def sound_library(shelves: Sequence[Path]) -> Library:
    """The library of shelves in which nothing is wrong."""
    reading = read_shelves(shelves)
    linked = link(reading.entries, reading.broken)
    problems = [*reading.problems, *linked.problems]
    assert not problems, "\n".join(map(str, problems[:20]))
    return linked.library


def site_files(library: Library) -> dict[str, bytes]:
    """Every file of the library's site, sums and search index with it."""
    from benchlore.reckoning.calculate import compile_calculator
    from benchlore.rendering.site import render
    from benchlore.searching.documents import documents_of
    from benchlore.searching.export import build_index

    compiled = {}
    for id, entry in library.calculators.items():
        one, problems = compile_calculator(entry, library)
        assert one is not None, "\n".join(map(str, problems))
        compiled[id] = one
    return {**render(library, compiled), **build_index(documents_of(library))}


def written(files: dict[str, bytes], folder: Path) -> Path:
    """The files, written below ``folder``."""
    for path, content in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    return folder


@pytest.fixture(scope="session")
def small_library() -> Library:
    """The library of tests/kb_small."""
    return sound_library([SMALL])


@pytest.fixture(scope="session")
def small_files(small_library: Library) -> dict[str, bytes]:
    """The files of the small library's site."""
    return site_files(small_library)


@pytest.fixture(scope="session")
def small_site(small_files: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small library's site on disk, in a folder whose name has a space in it."""
    return written(small_files, tmp_path_factory.mktemp("small site"))


@pytest.fixture(scope="session")
def whole_library() -> Library:
    """The library of the shipped shelves."""
    return sound_library([ROOT / "kb" / "reference", ROOT / "kb" / "workshop"])


@pytest.fixture(scope="session")
def whole_files(whole_library: Library) -> dict[str, bytes]:
    """The files of the shipped shelves' site."""
    return site_files(whole_library)


@pytest.fixture(scope="session")
def whole_site(whole_files: dict[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped shelves' site on disk."""
    return written(whole_files, tmp_path_factory.mktemp("whole site"))


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """A Chromium: the one on PATH, else playwright's own."""
    from playwright.sync_api import sync_playwright

    found = next((path for name in ("chromium", "chromium-browser") if (path := shutil.which(name))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()
