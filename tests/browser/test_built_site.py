"""The site, opened from disk in Chromium: quiet, self-contained, accessible, narrow, printable, and usable without scripts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from benchlore.rendering.site import render
from building import written
from hostile import RAW, URLS, poisoned_library
from watching import Opener, one_of_each

SERIOUS = ("serious", "critical")


def test_quiet_and_self_contained(small_site: Path, watch: Opener) -> None:
    """No console message, no request off the site's own files, on any page."""
    watched = watch(small_site)
    for path in sorted(p.relative_to(small_site).as_posix() for p in small_site.rglob("*.html")):
        watched.open(path)
        if 'http-equiv="refresh"' in (small_site / path).read_text(encoding="utf-8"):
            watched.page.wait_for_url(lambda url, left=path: not url.endswith(left))  # a former id leads on at once
        watched.page.wait_for_load_state("load")
    assert watched.console == []
    assert watched.outside() == []


@pytest.mark.parametrize("width", [360, 820, 1280])
def test_nothing_wider_than_the_screen(small_site: Path, watch: Opener, width: int) -> None:
    """No page scrolls sideways; wide tables do so in their own box."""
    watched = watch(small_site, width=width)
    for path in one_of_each(small_site):
        page = watched.open(path)
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0, (
            path,
            width,
        )


@pytest.mark.parametrize("dark", [False, True])
def test_axe_finds_nothing_serious(small_site: Path, watch: Opener, dark: bool) -> None:
    """Outside check: axe-core 4.12 on one page of each kind; in the dark its rule of contrast alone, the rest being the same.

    ``preload: false`` because axe fetches style sheets, which no page opened from disk may.
    """
    watched = watch(small_site, dark=dark)
    for path in one_of_each(small_site):
        page = watched.open(path)
        result = Axe().run(page, options={"preload": False, **({"runOnly": ["color-contrast"]} if dark else {})})
        bad = [v for v in result.response["violations"] if v["impact"] in SERIOUS]
        assert not bad, (path, [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in bad])


def test_touch_targets(small_site: Path, watch: Opener) -> None:
    """Buttons, fields and ways through the book are at least 44 px high for a thumb (WCAG 2.2, 2.5.5)."""
    watched = watch(small_site, width=360)
    for path in ("index.html", "families/tarn-15.html", "closing/tarn-15.html", "calculators/resistors-parallel.html"):
        page = watched.open(path)
        small = page.evaluate(
            """() => [...document.querySelectorAll('button, select, input:not([type=checkbox]), .tick label, .ways a, .contents a, .action, .foot-links a, summary')]
                .filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 43.5)
                .map((e) => e.outerHTML.slice(0, 100))"""
        )
        assert small == [], path


def test_focus_is_seen(small_site: Path, watch: Opener) -> None:
    """Tab shows where it is: the first stop is the way past the head, and each stop has an outline."""
    page = watch(small_site).open("families/tarn-15.html")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    for _ in range(12):
        page.keyboard.press("Tab")
        style = page.evaluate(
            "(() => { const s = getComputedStyle(document.activeElement); return [s.outlineStyle, s.outlineWidth]; })()"
        )
        assert style[0] != "none" and float(style[1].removesuffix("px")) >= 2


def test_reads_without_scripts(small_site: Path, watch: Opener) -> None:
    """Without scripts every page reads and leads on; what would do nothing is not shown."""
    watched = watch(small_site, scripts=False)
    page = watched.open("index.html")
    assert not page.locator("input[type=search]").is_visible()
    assert page.locator("button").count() == 0 or not page.locator("button").first.is_visible()
    page.get_by_role("link", name="Tarn 15", exact=True).first.click()
    page.get_by_role("link", name="Cracked ribbon between boards").first.click()
    assert page.locator("h1").inner_text() == "Cracked ribbon between boards"
    page = watched.open("calculators/resistors-parallel.html")
    assert page.locator("[data-result=both]").inner_text().startswith("11")
    assert [b for b in page.locator("button").all() if b.is_visible()] == []


@pytest.mark.parametrize("how", ["screen", "dark", "print", "no scripts", "forced colours", "360"])
def test_cautions_cannot_be_lost(small_site: Path, watch: Opener, how: str) -> None:
    """On screen, on paper, without scripts, in forced colours and on a phone each caution is seen, with an edge round it."""
    watched = watch(
        small_site,
        dark=how == "dark",
        scripts=how != "no scripts",
        width=360 if how == "360" else 1280,
        **({"forced_colors": "active"} if how == "forced colours" else {}),
    )
    for path in (
        "families/tarn-15.html",
        "faults/filter-dried.html",
        "symptoms/tubes-glow-red.html",
        "procedures/making-safe.html",
    ):
        page = watched.open(path)
        if how == "print":
            page.emulate_media(media="print")
        boxes = page.locator(".caution, .warning").all()
        assert boxes, path
        for box in boxes:
            assert box.is_visible() and box.bounding_box()["height"] > 10
            edge = box.evaluate(
                "(e) => { const s = getComputedStyle(e); return [s.borderInlineStartStyle, s.borderInlineStartWidth, s.color, s.backgroundColor]; }"
            )
            assert edge[0] != "none" and float(edge[1].removesuffix("px")) >= 1 and edge[2] != edge[3]


def test_theme_by_choice(small_site: Path, watch: Opener) -> None:
    """The choice of colours goes along to the next page of the tab."""
    page = watch(small_site).open("index.html")
    light = page.evaluate("getComputedStyle(document.body).backgroundColor")
    button = page.locator("button.theme")
    button.click()
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != light
    page.get_by_role("link", name="Tarn 15", exact=True).first.click()
    page.wait_for_url("**/families/tarn-15.html")
    page.wait_for_selector("button.theme")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert "Dark" in page.locator("button.theme").get_attribute("aria-label")


def printed(page: Any, tmp_path: Path, paper: str) -> pypdf.PdfReader:
    """The page as PDF."""
    target = tmp_path / "printed.pdf"
    page.pdf(path=str(target), format=paper, print_background=False)
    return pypdf.PdfReader(target)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_closing_list_prints_on_two_sheets(small_site: Path, watch: Opener, tmp_path: Path, paper: str) -> None:
    """The closing-up list of each family takes at most two sheets and keeps every line."""
    watched = watch(small_site)
    for path in sorted(small_site.glob("closing/*.html")):
        page = watched.open(f"closing/{path.name}")
        lines = page.locator(".tick").count()
        pdf = printed(page, tmp_path, paper)
        text = " ".join((p.extract_text() or "") for p in pdf.pages)
        assert len(pdf.pages) <= 2
        assert lines and "Mains fuse" in text and "idle share" in text and "Not ready to hand over" in text


def test_former_id_leads_on(small_site: Path, watch: Opener) -> None:
    """A page left by a former id goes on to the entry."""
    page = watch(small_site).open("families/tarn-twelve.html")
    page.wait_for_url("**/families/tarn-15.html")
    assert page.locator("h1").inner_text() == "Tarn 15"


def test_anchors_open_what_they_name(small_site: Path, watch: Opener) -> None:
    """An address with an anchor shows that place, not hidden under anything."""
    page = watch(small_site, width=360).open("families/tarn-15.html#hardware-pot-nuts")
    page.wait_for_timeout(700)
    box = page.locator("#hardware-pot-nuts").bounding_box()
    assert 0 <= box["y"] < 900


def test_hostile_words_run_nothing(small_library: Any, watch: Opener, tmp_path: Path) -> None:
    """A site whose every field is hostile opens without running, fetching or asking anything."""
    words = " and ".join([*RAW, *(f"[words]({url}) <{url}>" for url in URLS)])
    site = written(render(poisoned_library(small_library, words)), tmp_path / "hostile")
    watched = watch(site)
    for path in one_of_each(site):
        page = watched.open(path)
        assert page.evaluate("window.hit") is None, path
    assert watched.console == [] and watched.outside() == []


def test_policy_shuts_the_sinks(small_site: Path, watch: Opener) -> None:
    """The page's own policy refuses HTML from text, inline script and the network."""
    watched = watch(small_site)
    page = watched.open("index.html")
    refused = page.evaluate(
        "(() => { try { document.body.innerHTML = '<b>x</b>'; return ''; } catch (e) { return e.name; } })()"
    )
    assert refused == "TypeError"
    ran = page.evaluate(
        "(() => { const s = document.createElement('script'); try { s.text = 'window.hit=1'; } catch (e) {} document.body.append(s); return window.hit; })()"
    )
    assert ran is None
    loaded = page.evaluate(
        "() => new Promise((done) => { const i = new Image(); i.onload = () => done('loaded'); i.onerror = () => done('refused'); i.src = 'https://bench.example/x.png'; })"
    )
    assert loaded == "refused"
