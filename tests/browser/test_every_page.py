"""The shipped shelves' site, opened from disk: every page quiet and narrow enough, every closing-up list on two sheets."""

from __future__ import annotations

from pathlib import Path

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from watching import Opener, one_of_each


def test_every_page_is_quiet_and_fits_a_phone(whole_site: Path, watch: Opener) -> None:
    """At 360 px no page scrolls sideways, says anything on the console, or asks for anything but the site's own files."""
    watched = watch(whole_site, width=360)
    wide = []
    for file in sorted(whole_site.rglob("*.html")):
        if 'http-equiv="refresh"' in file.read_text(encoding="utf-8"):
            continue  # a former id: it leads on at once
        path = file.relative_to(whole_site).as_posix()
        page = watched.open(path)
        if page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") > 0:
            wide.append(path)
    assert wide == []
    assert watched.console == []
    assert watched.outside() == []


def test_axe_finds_nothing_serious(whole_site: Path, watch: Opener) -> None:
    """Outside check: axe-core 4.12 on the largest page of each folder, with real entries in it."""
    watched = watch(whole_site)
    for path in one_of_each(whole_site):
        if "/" not in path:
            continue  # the lists are the small site's, longer
        result = Axe().run(watched.open(path), options={"preload": False})
        bad = [v for v in result.response["violations"] if v["impact"] in ("serious", "critical")]
        assert not bad, (path, [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in bad])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_closing_list_takes_two_sheets(whole_site: Path, watch: Opener, tmp_path: Path, paper: str) -> None:
    """Printed on either paper, no family's closing-up list is longer than two sheets."""
    watched = watch(whole_site)
    lists = sorted(whole_site.glob("closing/*.html"))
    assert len(lists) >= 4
    for list_page in lists:
        page = watched.open(f"closing/{list_page.name}")
        target = tmp_path / f"{list_page.stem}.pdf"
        page.pdf(path=str(target), format=paper, print_background=False)
        assert len(pypdf.PdfReader(target).pages) <= 2, list_page.name
