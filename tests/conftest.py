"""What several folders of tests share: the small shelf as a library, its site on disk, and a browser to open it."""

from __future__ import annotations

import os
import shutil
import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchlore.linking.library import Library
from building import site_files, sound_library, written

if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:  # begun in the background of a shell: what the tests start must hear Ctrl-C
    signal.signal(signal.SIGINT, signal.default_int_handler)

ROOT = Path(__file__).resolve().parent.parent
SMALL = ROOT / "tests" / "kb_small"
FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


LONGEST = (
    "cli/test_two_shops.py", "browser/test_every_page.py", "browser/test_built_site.py", "browser/test_job_page.py", "browser/test_job_whole.py",
    "browser/test_job_model.py", "searching/test_browser_parity.py", "promises/test_24_incremental.py", "browser/test_drawings.py",
    "browser/test_search_box.py", "test_setup.py", "cli/test_installed.py", "browser/test_add_rules.py", "browser/test_add.py",
    "browser/test_calculators_whole.py", "promises/test_18_20_21_whole.py",
)  # fmt: skip
"""Files that take twenty seconds and more, the longest first: begun last they would leave the other processors waiting."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the longest files first; all else stays in the order in which it was found."""
    first = {ROOT / "tests" / name: at for at, name in enumerate(LONGEST)}
    items.sort(key=lambda item: first.get(item.path, len(LONGEST)))


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
    """A Chromium: the one that set-up found, one on PATH, else playwright's own."""
    from playwright.sync_api import sync_playwright

    found = os.environ.get("BENCHLORE_CHROMIUM") or next((path for name in ("chromium", "chromium-browser") if (path := shutil.which(name))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield browser
        browser.close()
