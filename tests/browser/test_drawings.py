"""Drawings in Chromium, opened from disk: the live ones are those of the builder, and all are legible on a phone and on paper."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from benchlore.drawing.printing import drawn_case
from benchlore.linking.library import Library
from benchlore.reckoning.calculate import compile_calculator
from drawing.reading_svg import parsed
from watching import Opener

TYPED: dict[str, list[dict[str, str]]] = {
    "idle-window": [
        {"plate_volts": "372 V", "cathode_current": "41,5 mA"},
        {"tube": "el84", "plate_volts": "310 V", "supply_resistance": "0"},
    ],
    "bias-change": [{"leg": "ground", "added": "220k"}, {"action": "replace", "added": "27k", "wanted_share": "55 %"}],
    "triode-stage": [{"tube": "12au7", "supply": "250 V", "plate_resistor": "47k"}],
    "tightening-order": [{"fasteners": "12", "rounds": "3"}, {"fasteners": "5"}],
    "mains-scaling": [{"mains": "104 V"}],
}
SVG = "figure[data-drawing] svg"


def same(live: str, built: str) -> None:
    """Both drawings are the same, element for element, word for word."""
    one, two = parsed(live.replace("&nbsp;", "\u00a0")), parsed(built)
    mine, theirs = ([(e.tag, dict(e.attrib), e.text) for e in root.iter()] for root in (one, two))
    assert len(mine) == len(theirs)
    for a, b in zip(mine, theirs, strict=True):
        assert a == b


def live(page: Any) -> str:
    """The drawing on the page once it has been drawn again."""
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    return str(page.locator(SVG).evaluate("(e) => e.outerHTML"))


@pytest.mark.parametrize("id", sorted(TYPED))
def test_live_drawing_is_the_builders(whole_site: Path, whole_library: Library, watch: Opener, id: str) -> None:
    """The printed functions draw what Python draws: for the usual figures, and for others as they are typed."""
    entry = whole_library.calculators[id]
    compiled, _ = compile_calculator(entry, whole_library)
    assert compiled is not None and entry.drawing
    watched = watch(whole_site)
    page = watched.open(f"calculators/{id}.html")
    for texts in ({}, *TYPED[id]):
        for name, text in texts.items():
            field = page.locator(f"[data-input={name}]").first
            _ = field.select_option(text) if field.evaluate("(e) => e.tagName") == "SELECT" else field.fill(text)
        drawn = drawn_case(entry.drawing, compiled, texts)
        assert drawn is not None
        same(live(page), drawn.svg)
        rows = page.locator("[data-drawing-rows] tr").evaluate_all(
            "(rows) => rows.map((r) => [...r.cells].map((c) => c.textContent))"
        )
        assert [tuple(row) for row in rows] == list(drawn.rows)
        page.locator("[data-reset]").click()
    assert watched.console == [] and watched.outside() == []


def test_stands_without_scripts(whole_site: Path, whole_library: Library, watch: Opener) -> None:
    """Without scripts the page shows the drawing of the usual figures."""
    entry = whole_library.calculators["bias-change"]
    compiled, _ = compile_calculator(entry, whole_library)
    assert compiled is not None
    page = watch(whole_site, scripts=False).open("calculators/bias-change.html")
    drawn = drawn_case("bias-share", compiled, {})
    assert drawn is not None and page.locator(SVG).is_visible()
    same(page.locator(SVG).evaluate("(e) => e.outerHTML"), drawn.svg)


def test_blank_while_a_figure_is_wrong(whole_site: Path, watch: Opener) -> None:
    """A figure that cannot be read leaves no old drawing standing, and says so."""
    page = watch(whole_site).open("calculators/idle-window.html")
    page.locator("[data-input=plate_volts]").fill("four hundred")
    assert parsed(live(page)).findall("text") == []
    assert page.locator("[data-drawing-none]").is_visible() and page.locator("[data-drawing-rows] tr").count() == 0
    page.locator("[data-input=plate_volts]").fill("400 V")
    assert len(parsed(live(page)).findall("text")) > 5 and not page.locator("[data-drawing-none]").is_visible()


def test_address_fills_the_drawing_and_nothing_else(whole_site: Path, watch: Opener) -> None:
    """Figures in the address are drawn; what is no figure is only refused."""
    watched = watch(whole_site)
    page = watched.open("calculators/idle-window.html#plate_volts=%3Csvg%20onload%3Dwindow.hit%3D1%3E&tube=el84")
    assert parsed(live(page)).findall("text") == [] and page.evaluate("window.hit") is None
    page = watched.open("calculators/tightening-order.html#fasteners=6")
    page.reload()
    assert "Order for 6 fasteners" in live(page)
    assert watched.console == []


PAGES = (
    "families/lapwing-22.html",
    "families/ballast-300.html",
    "families/quillon-30.html",
    "tubes/el84.html",
    "tubes/ecl82.html",
    "tubes/kt88.html",
    "procedures/tightening-in-order.html",
    "faults/filter-dried.html",
    *(f"calculators/{id}.html" for id in sorted(TYPED)),
)

MEASURE = """() => [...document.querySelectorAll('.sheet-svg')].flatMap((svg) => {
  const sheet = svg.getBoundingClientRect(), scale = sheet.width / svg.viewBox.baseVal.width;
  const size = (e) => parseFloat(getComputedStyle(e).fontSize) * scale;
  return [...svg.querySelectorAll('text')].map((e) => {
    const box = e.getBoundingClientRect();
    return { words: e.textContent, size: size(e), off: Math.max(sheet.left - box.left, box.right - sheet.right, sheet.top - box.top, box.bottom - sheet.bottom) };
  });
})"""


@pytest.mark.parametrize("width", [360, 820, 1280])
def test_words_are_large_enough_and_on_the_sheet(whole_site: Path, watch: Opener, width: int) -> None:
    """No word of a drawing is smaller than 12 px or leaves its sheet, and the page does not scroll sideways."""
    watched = watch(whole_site, width=width)
    for path in PAGES:
        page = watched.open(path)
        measured = page.evaluate(MEASURE)
        assert measured, path
        assert [m for m in measured if m["size"] < 12] == [], path
        assert [m for m in measured if m["off"] > 1] == [], path
        assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0, path


@pytest.mark.parametrize("how", ["light", "dark", "forced colours"])
def test_words_stand_out_from_the_sheet(whole_site: Path, watch: Opener, how: str) -> None:
    """Words and lines of every look have at least the contrast of WCAG 2.2 (4.5 for words, 3 for lines that carry meaning)."""
    watched = watch(whole_site, dark=how == "dark", **({"forced_colors": "active"} if how == "forced colours" else {}))
    for path in PAGES:
        page = watched.open(path)
        for text, least in ((True, 4.5), (False, 3.0)):
            weak = page.evaluate(CONTRAST, {"text": text, "least": least})
            assert weak == [], (path, how)


CONTRAST = """({ text, least }) => {
  const light = (c) => { const [r, g, b] = c.match(/[\\d.]+/g).slice(0, 3).map((v) => v / 255).map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ratio = (a, b) => { const [x, y] = [light(a), light(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
  const carrying = ['limit', 'aim', 'hatch', 'window', 'guard', 'guard-screen', 'range', 'point', 'trace', 'screen', 'before', 'wanted', 'load', 'found', 'knob', 'band', 'expected', 'found-bad', 'node', 'outline', 'badge', 'apart', 'wanted-apart', 'too-close', 'end-from', 'base', 'pin', 'block', 'flow', 'often', 'interval'];
  const filled = ['first-number', 'badge-number-often'];
  const weak = new Set();
  for (const svg of document.querySelectorAll('.sheet-svg')) {
    const paper = getComputedStyle(svg.closest('.drawing-sheet')).backgroundColor;
    for (const e of svg.querySelectorAll('[class]')) {
      const look = e.getAttribute('class').slice(2), style = getComputedStyle(e);
      if ((e.tagName === 'text') !== text || (!text && !carrying.includes(look)) || filled.includes(look)) { continue; }
      const colour = text ? style.fill : style.stroke;
      if (colour !== 'none' && ratio(colour, paper) < least) { weak.add(`${look}: ${colour} on ${paper}`); }
    }
  }
  return [...weak];
}"""


def test_paper_needs_no_colour(whole_site: Path, watch: Opener) -> None:
    """On paper every stroke and word is a grey: nothing is told by colour."""
    watched = watch(whole_site)
    for path in PAGES:
        page = watched.open(path)
        page.emulate_media(media="print")
        coloured = page.evaluate(
            """() => [...new Set([...document.querySelectorAll('.sheet-svg [class]')].flatMap((e) => { const s = getComputedStyle(e); return [s.fill, s.stroke]; }))]
                .filter((c) => c !== 'none').filter((c) => { const [r, g, b] = c.match(/[\\d.]+/g).map(Number); return Math.max(r, g, b) - Math.min(r, g, b) > 2; })"""
        )
        assert coloured == [], path


def test_axe_finds_nothing_serious(whole_site: Path, watch: Opener) -> None:
    """Outside check: axe-core on the pages with the most drawings (``preload: false``, since no page from disk may fetch)."""
    watched = watch(whole_site)
    for path in (PAGES[0], "calculators/bias-change.html", "tubes/kt88.html"):
        result = Axe().run(watched.open(path), options={"preload": False})
        bad = [v for v in result.response["violations"] if v["impact"] in ("serious", "critical")]
        assert not bad, (path, [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in bad])


def test_drawings_are_named_and_told(whole_site: Path) -> None:
    """Every drawing of the built site has a title, says in words what it shows, and carries no style of its own."""
    seen = 0
    for page in sorted(whole_site.glob("*/*.html")):
        text = page.read_text("utf-8")
        for part in text.split('<svg class="sheet-svg"')[1:]:
            root = parsed('<svg class="sheet-svg"' + part[: part.index("</svg>")] + "</svg>")
            assert root.get("role") == "img" and root.findtext("title") and root.findtext("desc"), page
            assert not [e for e in root.iter() if e.get("style") or e.tag in ("script", "style", "use", "image")]
            seen += 1
    assert seen > 100
