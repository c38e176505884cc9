"""Every calculator of the shipped site, opened from disk: nonsense in every field, links from families, bookmarks, paper."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pypdf
import pytest

from benchlore.linking.library import Library
from benchlore.rendering.views.prefill import filled
from watching import Opener

NONSENSE = [
    "",
    "abc",
    "1,500",
    "1e9",
    "-99999",
    "nan",
    "Infinity",
    "12 candela",
    "1..2",
    "0",
    "9" * 61,
    "<img src=x onerror=alert(1)>",
    "\u0661\u0662",
]
TRY = """
(nonsense) => {
  const form = document.querySelector("form[data-calculator]"), found = [];
  const all = (selector) => [...document.querySelectorAll(selector)];
  let tries = 0;
  for (const field of form.querySelectorAll("input[data-input]")) {
    const before = field.value;
    for (const text of nonsense) {
      tries += 1;
      field.value = text;
      field.dispatchEvent(new Event("input", { bubbles: true }));
      const said = all("[data-error-for]").filter((place) => !place.hidden && place.textContent);
      const results = all("[data-result]");
      const note = (what) => found.push([form.dataset.calculator, field.dataset.input, text, what]);
      const shown = [...all("[data-result]"), ...all("[data-result-item]"), ...all("[data-verdict]"), ...all("[data-working]"), ...all("[data-put]"), ...all("svg")];
      if (shown.some((place) => /NaN|Infinity|undefined|null/.test(place.textContent + (place.localName === "svg" ? place.outerHTML : "")))) { note("no number"); }
      if (said.length) {
        if (!said.some((place) => ["", field.dataset.input].includes(place.dataset.errorFor))) { note("said elsewhere"); }
        if (results.some((place) => place.textContent || place.dataset.si)) { note("stale result"); }
        if (all("[data-verdict]").some((place) => place.textContent || place.dataset.mark)) { note("stale verdict"); }
        if (all("[data-working]").some((place) => place.textContent)) { note("stale working"); }
        if (all("[data-result-item]").some((place) => place.textContent)) { note("stale row"); }
      } else if (results.some((place) => !place.textContent || !place.dataset.si)) { note("neither answer nor sentence"); }
    }
    field.value = before;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    if (all("[data-error-for]").some((place) => !place.hidden)) { found.push([form.dataset.calculator, field.dataset.input, before, "does not recover"]); }
  }
  return [tries, found];
}
"""
STATE = """
() => ({
  values: Object.fromEntries([...new Set([...document.querySelectorAll("[data-input]")].map((f) => f.dataset.input))].map((name) =>
    [name, [...document.querySelectorAll(`[data-input="${name}"]`)].map((f) => f.value)])),
  errors: [...document.querySelectorAll("[data-error-for]")].filter((p) => !p.hidden).map((p) => `${p.dataset.errorFor}: ${p.textContent}`),
  results: Object.fromEntries([...document.querySelectorAll("[data-result]")].map((r) => [r.dataset.result, [r.textContent, r.dataset.si]])),
})
"""


def test_nonsense_in_any_field_is_a_sentence_and_blanks(whole_site: Path, watch: Opener) -> None:
    """Empty, text, other units, beyond limits, markup: a sentence for that field or the whole sum, blanks everywhere, and back again."""
    watched = watch(whole_site)
    tries, wrong = 0, []
    for page in sorted(whole_site.glob("calculators/*.html")):
        count, found = watched.open(f"calculators/{page.name}").evaluate(TRY, NONSENSE)
        tries += count
        wrong += found
    assert wrong == []
    assert tries > 1500
    assert watched.console == []


RESULTS = """
() => [[...document.querySelectorAll("[data-result]")].map((place) => [place.dataset.result, place.dataset.si]),
  [...document.querySelectorAll("[data-result-item]")].map((place) => place.dataset.resultItem)]
"""


def test_every_result_stands_on_the_page_in_si(whole_site: Path, watch: Opener) -> None:
    """Each result, lists too, is there once as data-result with its SI value as JSON; without scripts as well."""
    for scripts in (True, False):
        watched = watch(whole_site, scripts=scripts)
        for page in sorted(whole_site.glob("calculators/*.html")):
            results, columns = watched.open(f"calculators/{page.name}").evaluate(RESULTS)
            names = [name for name, _ in results]
            assert names and len(names) == len(set(names)) and set(columns) <= set(names), page.name
            for _, si in results:
                value = json.loads(si)
                assert all(isinstance(one, int | float) for one in (value if isinstance(value, list) else [value])), (
                    page.name
                )


ARRIVE = """
(fragment) => new Promise((done) => {
  document.querySelector("[data-reset]").click();
  history.replaceState(null, "", "#");
  addEventListener("hashchange", () => done(), { once: true });
  location.hash = fragment;
})
"""


def test_families_lead_to_sums_with_their_own_figures(whole_site: Path, whole_library: Library, watch: Opener) -> None:
    """Each sum a family offers arrives filled in with its figures, without one complaint, and names what is left of the example."""
    page = watch(whole_site).open("index.html")
    linked: dict[str, set[str]] = {}
    for family in whole_library.families:
        page.goto((whole_site / "families" / f"{family}.html").as_uri())
        linked[family] = set(
            page.evaluate(
                "() => [...document.querySelectorAll('a[href*=\"/calculators/\"]')].map((link) => link.getAttribute('href'))"
            )
        )
    offered = 0
    for calculator in whole_library.calculators.values():
        here = False
        for family in whole_library.families.values():
            made = filled(calculator, family, whole_library)
            if made is None:
                continue
            offered += 1
            assert f"../calculators/{calculator.id}.html#{made.fragment}" in linked[family.id], (
                family.id,
                calculator.id,
            )
            if here:
                page.evaluate(ARRIVE, made.fragment)
            else:
                page.goto(f"{whole_site.as_uri()}/calculators/{calculator.id}.html#{made.fragment}")
                here = True
            state = page.evaluate(STATE)
            assert state["errors"] == [], (family.id, calculator.id)
            assert all(text and si for text, si in state["results"].values()), (family.id, calculator.id)
            given = dict(pair.split("=", 1) for pair in made.fragment.split("&"))
            for name, typed in given.items():
                assert "; ".join(state["values"][name]) == unquote(typed), (family.id, calculator.id, name)
            left = [name for name, field in calculator.inputs.items() if name not in given and field.kind != "choice"]
            assert page.locator("[data-filled-note]").is_visible() is bool(left), (family.id, calculator.id)
    assert offered > 10 * len(whole_library.families)


def test_what_a_link_left_open_is_named_until_it_is_typed(whole_site: Path, watch: Opener) -> None:
    """The example's figures are of another amp: named in a sentence, marked at the field, gone as one types."""
    page = watch(whole_site).open("calculators/ripple.html#winding=270%20V&tube=nosuch")
    note = page.locator("[data-filled-note]")
    assert 'The link names "nosuch" for rectifier tube, which is not known here.' in note.inner_text()
    assert "direct current drawn" in note.inner_text() and "HT winding" not in note.inner_text()
    assert page.locator("[data-example]").count() > 3
    page.locator('[data-input="current"]').fill("120 mA")
    assert "direct current drawn" not in note.inner_text()
    page.locator("[data-reset]").click()
    assert not note.is_visible() and page.locator("[data-example]").count() == 0
    plain = watch(whole_site).open("calculators/ripple.html")
    assert not plain.locator("[data-filled-note]").is_visible()


HOSTILE = [
    "#winding=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E",
    "#javascript:alert(1)",
    "#winding=javascript:alert(1)&form=%22onload%3D",
    "#__proto__=1&constructor=x&toString=y",
    "#winding=" + "9" * 3000,
    "#" + "&".join(f"winding={n}" for n in range(500)),
    "#winding=%00%0A%0D",
    "#data-reset=1&innerHTML=x",
    "#tolerance.winding=%3Cb%3E",
    "#%",
    "#=&=&=",
]


@pytest.mark.parametrize("fragment", HOSTILE)
def test_an_address_fills_fields_and_does_nothing_else(whole_site: Path, watch: Opener, fragment: str) -> None:
    """Whatever stands behind the hash: no element more, no script, no request, no way off the page."""
    watched = watch(whole_site)
    page = watched.open("calculators/ripple.html")
    count = "() => document.querySelectorAll('*').length - document.querySelectorAll('svg *').length"
    before = page.evaluate(count)
    page.goto("about:blank")
    page = watched.open(f"calculators/ripple.html{fragment}")
    page.wait_for_timeout(50)
    assert page.evaluate(count) == before
    assert page.url.startswith(f"{whole_site.as_uri()}/calculators/ripple.html")
    assert watched.console == [] and watched.outside() == []
    assert page.evaluate("Object.prototype.polluted === undefined && ({}).winding === undefined")


BOOKMARKED = ["bias-change", "mains-scaling", "clutch-calibration", "resistors-parallel"]


@pytest.mark.parametrize("name", BOOKMARKED)
def test_a_bookmark_brings_back_the_answer_and_paper_holds_it(
    whole_site: Path, watch: Opener, tmp_path: Path, name: str
) -> None:
    """The address as it stands after typing gives the same fields and results in a new tab; printed, inputs, results and working are all there."""
    page = watch(whole_site).open(f"calculators/{name}.html")
    adding = page.locator("[data-add-row]").first
    if adding.count():
        adding.click()
    fields = page.locator('input[data-input]:not([data-input="setting"])')
    fields.first.fill(f"{fields.first.input_value()} ")
    page.wait_for_timeout(500)
    state, address = page.evaluate(STATE), page.evaluate("location.href")
    again: Any = watch(whole_site).open("index.html")
    again.goto(address)
    assert again.evaluate(STATE)["results"] == state["results"] and state["errors"] == []
    target = tmp_path / "sum.pdf"
    again.pdf(path=str(target), format="A4", print_background=False)
    said = "".join("".join(sheet.extract_text().split()) for sheet in pypdf.PdfReader(target).pages)
    for result, (text, _) in state["results"].items():
        pieces = text.split("; ") if ";" in text else [text]
        assert all("".join(piece.split()) in said for piece in pieces), (name, result, text)
    last = str(again.locator("[data-working]").inner_text()).strip().splitlines()[-1]
    assert "".join(last.split()) in said
