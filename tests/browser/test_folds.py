"""Long parts fold on a phone: a page is short there and whole everywhere else, and no caution is ever inside a fold."""

from __future__ import annotations

import re
from pathlib import Path

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from watching import Opener

OPEN = "[...document.querySelectorAll('details[data-fold]')].map(fold => fold.open)"
SEEN = "element => element.checkVisibility() && element.getClientRects().length > 0"
SCREENS = 18
"""Heights of a telephone of 360 x 740 that a family may take; unfolded they were 47."""


@pytest.fixture(scope="module")
def families(whole_site: Path) -> list[str]:
    """The pages of all families, as paths in the site; former ids only lead on."""
    found = [path for path in sorted(whole_site.glob("families/*.html")) if "data-fold" in path.read_text(encoding="utf-8")]
    return [path.relative_to(whole_site).as_posix() for path in found]


def test_no_caution_is_folded_away(whole_site: Path) -> None:
    """Neither a caution, nor a warning, nor a step stands inside a fold, on any page."""
    folds = 0
    for path in sorted(whole_site.rglob("*.html")):
        for inside in re.findall(r"<details class=\"fold.*?</details>\n</section>", path.read_text(encoding="utf-8"), re.DOTALL):
            folds += 1
            assert not re.search(r"class=\"(caution|warning|step|check|cautions)[\" ]", inside), path.name
    assert folds > 100


def test_a_family_is_short_on_a_phone(whole_site: Path, watch: Opener, families: list[str]) -> None:
    """Folded, with every caution on the screen, each fold saying what is inside, and each large enough for a thumb."""
    watched = watch(whole_site, width=360, height=740)
    for path in families:
        page = watched.open(path)
        assert page.evaluate("document.documentElement.scrollHeight") < SCREENS * 740, path
        assert not any(page.evaluate(OPEN)), path
        assert page.eval_on_selector_all(".caution, .warning", f"all => all.every({SEEN})")
        notes = page.eval_on_selector_all("details[data-fold] > summary .fold-note", "all => all.map(one => one.textContent)")
        assert len(notes) == len(page.evaluate(OPEN)) and all(notes)
        assert page.eval_on_selector_all("details[data-fold] > summary", "all => all.every(one => one.offsetHeight >= 44)")
    assert watched.console == []


def test_what_is_pointed_at_is_open(whole_site: Path, watch: Opener) -> None:
    """An address into a part, a link on the page, a link clicked twice, and the marks of a search open it."""
    watched = watch(whole_site, width=360, height=740)
    page = watched.open("families/gantry-100.html#hardware-rear-jacks")
    assert page.locator("#hardware-rear-jacks").evaluate(SEEN)
    page.wait_for_timeout(150)
    assert 0 <= page.locator("#hardware-rear-jacks").bounding_box()["y"] < 740
    assert sum(page.evaluate(OPEN)) == 1
    for _ in "twice":
        page.locator(".contents a[href='#supply']").evaluate("link => link.click()")
        page.wait_for_timeout(100)
        assert page.locator("#supply table").evaluate(SEEN)
        page.locator("#supply summary").first.evaluate("summary => summary.parentElement.open = false")
    page = watched.open("families/gantry-100.html?mark=ribbon+ribbons#lead-dress")
    assert page.eval_on_selector_all("#lead-dress mark", f"all => all.length > 0 && all.every({SEEN})")
    page = watched.open("families/gantry-100.html?mark=rectifier#weak-points")
    assert page.eval_on_selector_all("#weak-points mark", f"all => all.length > 0 && all.every({SEEN})")


def test_going_back_finds_it_as_it_was(whole_site: Path, watch: Opener) -> None:
    """What was opened is open when the technician comes back from a fault."""
    page = watch(whole_site, width=360, height=740).open("families/gantry-100.html")
    page.locator("#hardware summary").first.click()
    page.wait_for_timeout(100)
    page.locator("#weak-points .card-title a").first.click()
    page.wait_for_url("**/faults/**")
    page.go_back()
    page.wait_for_timeout(200)
    assert page.locator("#hardware table").evaluate(SEEN)


def test_whole_without_scripts_and_on_a_desk(whole_site: Path, watch: Opener) -> None:
    """Without scripts, and on a wide screen, everything is open."""
    for more in ({"width": 360, "scripts": False}, {"width": 1280}):
        page = watch(whole_site, **more).open("families/gantry-100.html")
        assert page.eval_on_selector_all("details[data-fold]", "all => all.length > 5 && all.every(fold => fold.open)")
    page.set_viewport_size({"width": 360, "height": 740})
    page.wait_for_timeout(100)
    assert not any(page.evaluate(OPEN))
    page.set_viewport_size({"width": 1280, "height": 900})
    page.wait_for_timeout(100)
    assert all(page.evaluate(OPEN))


@pytest.mark.parametrize("colours", ["none", "active"])
def test_paper_has_all_of_it(whole_site: Path, watch: Opener, tmp_path: Path, colours: str) -> None:
    """Printed from a phone, folds and all: hardware, lead dress, findings and every caution are on the paper."""
    page = watch(whole_site, width=360, height=740, forced_colors=colours).open("families/gantry-100.html")
    cautions = page.eval_on_selector_all(".caution", "all => all.map(one => one.innerText)")
    target = tmp_path / "family.pdf"
    page.pdf(path=str(target), format="A4")
    paper = " ".join(" ".join(sheet.extract_text() for sheet in pypdf.PdfReader(target).pages).split())
    for words in ("row of pots along the panel", "ribbon 7 with the bias", "phase splitter", "True share probably"):
        assert words in paper, words
    for caution in cautions:
        assert " ".join(caution.split())[2:40] in paper, caution
    page.wait_for_timeout(100)
    assert not any(page.evaluate(OPEN)), "folded again after printing"


def test_axe_finds_nothing_in_folds(whole_site: Path, watch: Opener) -> None:
    """Outside check: axe-core on a folded family page."""
    page = watch(whole_site, width=360, height=740).open("families/gantry-100.html")
    result = Axe().run(page, options={"preload": False})
    assert [v["id"] for v in result.response["violations"] if v["impact"] in ("serious", "critical")] == []
