"""A few pages of the small shelf, letter by letter: what a change of view, template or prose does is seen before it lands."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from golden.refresh import HERE, PAGES

REFRESH = "if it is meant, run: .venv/bin/python tests/golden/refresh.py, read the difference, and commit it"


@pytest.mark.parametrize("page", PAGES)
def test_page_is_as_it_was(small_files: dict[str, bytes], page: str) -> None:
    """The page equals its golden copy; where it does not, the difference is shown and how to refresh the copy."""
    made, kept = small_files[page].decode(), (HERE / page).read_text(encoding="utf-8")
    if made != kept:
        lines = difflib.unified_diff(kept.splitlines(), made.splitlines(), "golden", "now", lineterm="", n=1)
        pytest.fail("\n".join([f"{page} is not as it was; {REFRESH}", *list(lines)[:40]]), pytrace=False)


def test_nothing_golden_is_left_over() -> None:
    """Every golden page is one that is compared."""
    kept = {path.relative_to(HERE).as_posix() for path in HERE.rglob("*.html")}
    assert kept == set(PAGES)


def test_no_machine_or_day_in_them() -> None:
    """No golden page holds a path of the machine that made it: the same bytes come out anywhere."""
    for page in PAGES:
        text = (HERE / page).read_text(encoding="utf-8")
        assert str(Path.home()) not in text and str(HERE.parent) not in text
