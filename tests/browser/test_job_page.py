"""The job sheet as a page: seen, heard, printed, worked by keyboard, narrow, without scripts; and what its readings say."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

from jobs import Sheet
from watching import Opener

SERIOUS = ("serious", "critical")


def worked(sheet: Sheet) -> Sheet:
    """A job in the middle of the work: every part of the sheet has something in it."""
    sheet.take_in("tarn", "it hums, weak", ticket="2291", serial="4300")
    for words in ("hum", "glow"):
        sheet.page.evaluate(
            "(words) => { const { symptoms } = Benchlore.job.known; for (const one of symptoms.values()) { if (one.title.toLowerCase().includes(words)) { Benchlore.job.signs.add(one.id); break; } } }",
            words,
        )
    sheet.settle()
    sheet.make_safe()
    if sheet.next_check():
        sheet.result("Fail")
    sheet.fill("mains", "236")
    sheet.fill("node/A", "300")
    sheet.fill("earth-ohms", "0.08")
    sheet.fill("insulation", "12 apples")
    sheet.page.evaluate("() => Benchlore.job.work.found('filter-dried')")
    sheet.settle()
    sheet.fill("work", "Replaced the reservoir.\nNothing else.")
    sheet.fill("minutes", "50")
    sheet.fill("technician", "AB")
    sheet.fill("advised", "Output tubes next year")
    return sheet


@pytest.mark.parametrize("width", [360, 820, 1280])
def test_nothing_wider_than_the_screen(small_site: Path, watch: Opener, width: int) -> None:
    """At a phone's, a tablet's and a desk's width nothing scrolls sideways, with a job on the sheet."""
    page = worked(Sheet(watch(small_site, width=width).page, small_site)).page
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0


def test_a_thumb_can_hit_it(small_site: Path, watch: Opener) -> None:
    """At 360 px every control of the flow is at least 34 px high, and those of the work itself 44 (WCAG 2.2, 2.5.5 and 2.5.8)."""
    page = worked(Sheet(watch(small_site, width=360).page, small_site)).page
    small = page.evaluate(
        """() => [...document.querySelectorAll('.job :is(button, select, summary, .job-pair label, .job-tick, input:not([type=checkbox]):not([type=radio]):not([type=file]))')]
            .filter((e) => e.getClientRects().length)
            .map((e) => [e.getBoundingClientRect().height, e.matches('.suspect-found, .suspect-why summary, .job-left summary') ? 34 : 41.9, e.outerHTML.slice(0, 90)])
            .filter(([height, least]) => height < least)"""
    )
    assert small == []


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("path", ["job.html", "suspects.html"])
def test_axe_finds_nothing_serious(small_site: Path, watch: Opener, path: str, dark: bool) -> None:
    """Outside check: axe-core 4.12 (WCAG 2.2 rules), empty and in the middle of a job, light and dark."""
    watched = watch(small_site, dark=dark)
    page = watched.open(path)
    if path == "job.html":
        worked(Sheet(page, small_site))
        page.evaluate("() => { for (const d of document.querySelectorAll('details')) { d.open = true; } }")
    result = Axe().run(page, options={"preload": False})
    bad = [v for v in result.response["violations"] if v["impact"] in SERIOUS]
    assert not bad, [(v["id"], [n["html"][:200] for n in v["nodes"][:4]]) for v in bad]


def test_quiet(small_site: Path, watch: Opener) -> None:
    """No console message and no request off the site through a whole job."""
    watched = watch(small_site)
    worked(Sheet(watched.page, small_site))
    watched.open("suspects.html")
    assert watched.console == [] and watched.outside() == []


def test_every_field_has_a_name(small_site: Path, watch: Opener) -> None:
    """Each control says what it is for; no two controls that are seen share an id."""
    page = worked(Sheet(watch(small_site).page, small_site)).page
    nameless = page.evaluate(
        """() => [...document.querySelectorAll('.job :is(input, select, textarea, button)')]
            .filter((e) => e.getClientRects().length && !e.labels?.length && !e.getAttribute('aria-label') && !e.textContent.trim())
            .map((e) => e.outerHTML.slice(0, 120))"""
    )
    assert nameless == []
    twice = page.evaluate(
        "() => { const ids = [...document.querySelectorAll('[id]')].map((e) => e.id); return ids.filter((id, n) => ids.indexOf(id) !== n); }"
    )
    assert twice == []


def test_the_whole_flow_by_keyboard(small_site: Path, watch: Opener) -> None:
    """Family, sign, making safe, a check and its result, without a mouse; focus goes on to the next check, and what moved is told."""
    watched = watch(small_site)
    sheet = Sheet(watched.page, small_site)
    page = watched.page
    page.get_by_role("textbox", name="Family").focus()
    page.keyboard.type("tar")
    sheet.settle()
    page.keyboard.press("Enter")
    sheet.ready()
    assert sheet.value("family") == "tarn-15"
    assert page.evaluate("document.activeElement.id") == "f-serial"
    page.get_by_label("The complaint").focus()
    page.keyboard.type("it hums all the time")
    sheet.settle()
    page.locator("[data-sign-offers] button").first.focus()
    page.keyboard.press("Enter")
    sheet.settle()
    assert page.locator(".sign").count() == 1
    for box in page.locator(".job-safe input[type=checkbox]").all():
        box.focus()
        page.keyboard.press("Space")
    sheet.settle()
    assert "Made safe" in page.locator("[data-safe-said]").inner_text()
    before = sheet.next_check()
    page.get_by_role("button", name="Pass").focus()
    page.keyboard.press("Enter")
    sheet.settle()
    sheet.settle()
    assert sheet.next_check() != before
    assert page.evaluate("document.activeElement.matches('[data-check-title], #checks-heading')")
    assert "passed" in page.locator("[data-said]").inner_text()
    # a wrong result is changed in place, with the arrow keys
    page.locator(".job-check-done input[value=pass]").first.focus()
    page.keyboard.press("ArrowRight")
    sheet.settle()
    assert page.evaluate("() => Benchlore.job.record.under('check').map(([, how]) => how)") == ["fail"]
    stops = []
    page.locator("#f-ticket").focus()
    for _ in range(40):
        page.keyboard.press("Tab")
        stops.append(
            page.evaluate(
                "getComputedStyle(document.activeElement).outlineStyle !== 'none' || document.activeElement.matches('.job-pair input, input[type=date]') || document.activeElement.closest('label, summary') !== null"
            )
        )
    assert all(stops)


def test_making_safe_cannot_be_skipped_silently(small_site: Path, watch: Opener) -> None:
    """Inside checks wait for the musts; one left out needs a reason, and the reason stays on the sheet."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", "it hums")
    assert "nothing inside can be recorded" in sheet.page.locator("[data-safe-said]").inner_text()
    musts = sheet.page.locator(".job-must").count()
    assert musts >= 1
    for step in sheet.page.locator(".job-must").all():
        step.locator("summary").click()
        step.locator("input[type=text]").fill("no")
    sheet.settle()
    assert "nothing inside" in sheet.page.locator("[data-safe-said]").inner_text(), "two letters are no reason"
    for step in sheet.page.locator(".job-must").all():
        step.locator("input[type=text]").fill("made safe by RK this morning, plug tagged")
    sheet.settle()
    said = sheet.page.locator("[data-safe-said]").inner_text()
    assert "left out" in said and "plug tagged" in said
    assert "making safe" not in sheet.page.locator("[data-ready]").inner_text()


def test_figures_are_typed_the_trades_way_and_bad_ones_refused_beside(small_site: Path, watch: Opener) -> None:
    """0R08, 4k7 and 1,5 are read; 12 apples is refused beside its field, kept as typed, and not counted as a reading."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn")
    for key, text, unit, value in (
        ("earth-ohms", "0R08", "ohm", 0.08),
        ("insulation", "4M7", "Mohm", 4.7e6),
        ("mains", "231,5", "V", 231.5),
        ("noise", "3", "mV", 0.003),
    ):
        sheet.fill(key, text)
        assert sheet.page.evaluate(
            "([key, unit]) => Benchlore.job.fields.figure(key, unit)", [key, unit]
        ) == pytest.approx(value)
    sheet.fill("insulation", "12 apples")
    field = sheet.page.locator("#f-insulation")
    error = sheet.page.locator("#e-insulation")
    assert error.is_visible() and "apples" in error.inner_text() and field.get_attribute("aria-invalid") == "true"
    assert (
        "e-insulation" in (field.get_attribute("aria-describedby") or "") and sheet.value("insulation") == "12 apples"
    )
    sheet.tick("close/insulation")
    assert "mains insulation" in sheet.readiness()
    sheet.fill("insulation", "220M")
    assert not error.is_visible() and "mains insulation" not in sheet.readiness()
    sheet.fill("mains", "1,500")
    assert "which is meant" in sheet.page.locator("#e-mains").inner_text()


def test_not_ready_in_words(small_site: Path, watch: Opener) -> None:
    """While a safety line is open the sheet says so, links to it, and so does the owner's page; the last one done, it says ready."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", ticket="1")
    sheet.make_safe()
    sheet.fill("earth-ohms", "0.1")
    sheet.fill("insulation", "100M")
    sheet.close_all()
    assert sheet.readiness().startswith("Ready to hand over")
    fuse = sheet.page.locator("#close-fuse input")
    fuse.uncheck()
    sheet.settle()
    assert sheet.readiness().startswith("Not ready to hand over") and "mains fuse" in sheet.readiness()
    assert "Not ready to hand over" in sheet.page.locator("[data-owner-page]").inner_text()
    sheet.page.locator("[data-ready]").get_by_role("link", name="mains fuse").click()
    assert sheet.page.url.endswith("#close-fuse")


def test_a_second_fault_is_looked_for(whole_site: Path, watch: Opener) -> None:
    """Once one fault is found the sheet says what is still unexplained and goes on; a sign still there after the mend counts again."""
    sheet = Sheet(
        watch(whole_site).page, whole_site, "?family=lapwing-22&symptom=hum-steady-low&symptom=jack-intermittent"
    )
    sheet.make_safe()
    sheet.page.evaluate("() => Benchlore.job.work.found('ribbon-lead-dress')")
    sheet.settle()
    said = sheet.page.locator("[data-suspects-said]").inner_text()
    assert said.startswith("Still unexplained:") and "hum" not in said.lower()
    assert sheet.next_check() != "" and "ribbon-lead-dress" not in [
        id for id, share in sheet.shares().items() if share > 0
    ]
    assert "Explained by what was found" in sheet.page.locator(".sign").first.inner_text()
    sheet.page.get_by_label("still there after the mend").first.check()
    sheet.settle()
    assert "hum" in sheet.page.locator("[data-suspects-said]").inner_text().lower()
    wear = sheet.page.locator("[data-while-open]").inner_text()
    assert "While it is open" in wear and "input jack" in wear
    suspects = sheet.page.locator("[data-suspects-list]").inner_text().lower()
    assert "loose" not in suspects or "jack" in suspects


PATTERNS = [
    ({}, []),
    ({"A": "right", "B": "right", "C": "right"}, ["Every node lies within its spread"]),
    ({"A": "low", "B": "low", "C": "low"}, ["All low together"]),
    ({"A": "high", "B": "high", "C": "high"}, ["All high together"]),
    ({"A": "right", "B": "low", "C": "low"}, ["Node B and all below it (C) low"]),
    ({"A": "right", "B": "right", "C": "low"}, ["Node C low"]),
    ({"A": "right", "B": "low", "C": "right"}, ["Node B alone is low while what it feeds is right"]),
    ({"A": "right", "B": "right", "C": "high"}, ["Node C high"]),
    ({"A": "low", "B": "low", "C": "right"}, ["only B below it follows"]),
]


@pytest.mark.parametrize(("states", "wanted"), PATTERNS)
def test_what_a_chart_points_to(small_site: Path, watch: Opener, states: dict[str, str], wanted: list[str]) -> None:
    """Direction and pattern: all together, one node and all below it, one alone (common practice, no source)."""
    page = Sheet(watch(small_site).page, small_site).page
    told = page.evaluate(
        """(states) => Benchlore.job.pattern.supply(['A', 'B', 'C'].map((node, n) => ({ node, from: ['', 'A', 'B'][n], volts: 300 - n, state: states[node] ?? '' }))).map(({ words }) => words)""",
        states,
    )
    assert len(told) == len(wanted) and all(want in words for want, words in zip(wanted, told, strict=True)), told


CURRENTS = [
    ([40, 41], 40, "share the work"),
    ([70, 38], 40, "V1 draws more than its share"),
    ([40, 1], 40, "V2 draws next to nothing"),
    ([40, 38, 39, 20], 40, "V4 draws less than the others"),
    ([60, 61], 40, "well above the family"),
    ([20, 21], 40, "well below the family"),
    ([40, None], 40, None),
]


@pytest.mark.parametrize(("milliamperes", "usual", "wanted"), CURRENTS)
def test_what_idle_currents_point_to(
    small_site: Path, watch: Opener, milliamperes: list[float | None], usual: float, wanted: str | None
) -> None:
    """One tube's current off, all off alike, or shared evenly; one reading alone says nothing."""
    page = Sheet(watch(small_site).page, small_site).page
    told = page.evaluate(
        "([list, usual]) => Benchlore.job.pattern.currents(list.map((mA, n) => ({ at: `V${n + 1}`, current: mA === null ? null : mA / 1000 })), usual / 1000).map(({ words }) => words)",
        [milliamperes, usual],
    )
    assert (told == []) if wanted is None else (wanted in told[0]), told


def test_the_idle_is_the_calculators_own(whole_site: Path, watch: Opener) -> None:
    """The share beside a tube is what the calculator's page would say, verdict and all; the book's constants stand until others are typed."""
    sheet = Sheet(watch(whole_site).page, whole_site, "?family=lapwing-22")
    sheet.fill("idle/before/V6/plate-volts", "345")
    sheet.fill("idle/before/V6/sense-volts", "38")
    said = sheet.page.locator('[data-idle="before"] [data-seat="V6"] .verdict').inner_text()
    asked = sheet.page.evaluate(
        "() => { const r = Benchlore.evaluate('idle-dissipation', { tube: '6v6gt', plate_volts: '345', sense_volts: '38', sense_resistor: '1 ohm', screen_current: '2 mA' }, {}).results.share; return [r.text, r.value, r.verdict.words]; }"
    )
    assert asked[0] in said and asked[2] in said
    assert asked[1] == pytest.approx(
        (345 - 0.038) * 0.036 / 14, rel=1e-6
    )  # 14 W: the sheet's design maximum, in the tube's entry
    sheet.page.get_by_label("Measured by").select_option("current")
    sheet.settle()
    sheet.fill("idle/before/V6/current", "38")
    assert asked[0] in sheet.page.locator('[data-idle="before"] [data-seat="V6"] .verdict').inner_text()


def test_the_chart_is_scaled_by_the_books_own_sum(whole_site: Path, watch: Opener) -> None:
    """At 242 V on a 230 V chart everything is expected 5.2 % higher; a reading right on the old chart is then low."""
    sheet = Sheet(watch(whole_site).page, whole_site, "?family=lapwing-22")
    sheet.fill("mains", "242")
    rows = sheet.page.evaluate(
        "() => Benchlore.job.measured.chart().rows.map(({ node, expected, low, high }) => [node, expected, low, high])"
    )
    assert rows[0][1] == pytest.approx(352 * 242 / 230) and rows[0][2] == pytest.approx(352 * 242 / 230 * 0.93)
    sheet.fill("node/B", "285")
    assert "low" in sheet.page.locator('[data-node="B"] .job-node-state').inner_text()
    assert "Mains 105" in sheet.page.locator("[data-supply-verdict]").inner_text()


def printed(page: Any, tmp_path: Path, paper: str) -> tuple[int, str]:
    """How many sheets, and the words on them."""
    target = tmp_path / f"{paper}.pdf"
    page.pdf(path=str(target), format=paper, print_background=False)
    pages = pypdf.PdfReader(target).pages
    return len(pages), " ".join(" ".join((p.extract_text() or "").split()) for p in pages)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_sheet_on_paper(small_site: Path, watch: Opener, tmp_path: Path, paper: str) -> None:
    """Everything typed is on the print, long texts whole, with its cautions; what can only be clicked is not."""
    sheet = worked(Sheet(watch(small_site).page, small_site))
    sheet.page.evaluate("() => { document.documentElement.dataset.print = 'sheet'; }")
    count, text = printed(sheet.page, tmp_path, paper)
    for words in (
        "2291",
        "Tarn 15",
        "4300",
        "Nothing else.",
        "Output tubes next year",
        "Not ready to hand over",
        "Made safe",
        "high voltage",
        "stored charge",
    ):
        assert words in text, words
    assert "This is it" not in text and "New job" not in text
    assert count <= 7


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_owners_page_on_paper(small_site: Path, watch: Opener, tmp_path: Path, paper: str) -> None:
    """One sheet with the owner's words and nothing of the bench's."""
    sheet = worked(Sheet(watch(small_site).page, small_site))
    sheet.page.evaluate("() => { document.documentElement.dataset.print = 'owner'; }")
    count, text = printed(sheet.page, tmp_path, paper)
    assert count == 1
    assert "What was found" in text and "Replaced the reservoir." in text and "Output tubes next year" in text
    assert "Making safe" not in text and "Suspects" not in text and "findings/" not in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_without_scripts_it_is_a_blank_sheet(small_site: Path, watch: Opener, tmp_path: Path, paper: str) -> None:
    """It says what it is, shows no dead button, and prints as a form with making safe and its cautions on it."""
    page = watch(small_site, scripts=False).open("job.html")
    assert page.get_by_text("Without them it is a blank sheet").is_visible()
    assert [b for b in page.locator("button").all() if b.is_visible()] == []
    assert page.locator(".caution").first.is_visible() and page.locator(".warning").first.is_visible()
    count, text = printed(page, tmp_path, paper)
    for words in (
        "Ticket",
        "Making safe",
        "Mains today",
        "Parts used",
        "Protective earth",
        "high voltage",
        "Not ready to hand over while a line marked",
    ):
        assert words in text, words
    assert count <= 5


@pytest.mark.parametrize("how", ["screen", "360", "dark", "forced colours", "print"])
def test_cautions_cannot_be_lost(small_site: Path, watch: Opener, how: str) -> None:
    """The sheet's cautions are seen with an edge round them, whatever the medium."""
    more = {"forced_colors": "active"} if how == "forced colours" else {}
    page = worked(
        Sheet(watch(small_site, dark=how == "dark", width=360 if how == "360" else 1280, **more).page, small_site)
    ).page
    if how == "print":
        page.emulate_media(media="print")
    boxes = page.locator(".job .caution, .job-safe .warning").all()
    assert len(boxes) >= 3
    for box in boxes:
        assert box.is_visible()
        assert box.evaluate("(e) => parseFloat(getComputedStyle(e).borderInlineStartWidth)") >= 1


def test_reduced_motion(small_site: Path, watch: Opener) -> None:
    """Who asked for no motion gets none."""
    page = worked(Sheet(watch(small_site, reduced_motion="reduce").page, small_site)).page
    assert page.evaluate("getComputedStyle(document.querySelector('.suspect-bar span')).transitionDuration") in (
        "0s",
        "",
    )


def test_how_suspects_are_ranked_is_said_with_todays_figures(
    small_site: Path, small_library: Any, watch: Opener
) -> None:
    """The page names the strengths that this book's findings chose and every scale; the sheet leads to it."""
    from benchlore.ranking import scales
    from benchlore.ranking.model import Model

    watched = watch(small_site)
    Sheet(watched.page, small_site)
    watched.page.get_by_role("link", name="How suspects are ranked").first.click()
    text = watched.page.locator("main").inner_text()
    strengths = Model(small_library).priors.strengths
    assert f"s = {strengths.kin:g}" in text and f"t = {strengths.family:g}" in text
    for word in (*scales.COMMONNESS, *scales.KNOWN_HERE, *scales.SHOWS):
        assert word in text
    assert watched.page.locator("math").count() >= 7


YAML_WORDS = [
    "plain words",
    "R38: 15k # not 18k",
    "'quoted' and \"double\"",
    "- starts like a list",
    "null",
    "yes",
    "ends with a colon:",
    "[link](fault:no-such-fault) and <b>tags</b> and `code`",
    "tab\there, nul\x00 gone, \u202eturned\u202c, \u200bzero, \ud83d\ude00 face",
    "first\n\n  second, indented\n\tthird\n# fourth\n--- fifth\n",
    "%TAG !x! & *alias !!python/object {a: b}",
    "é, ü, Ω, µ, −, “typographic”",
    "x" * 3000,
]


@pytest.mark.parametrize("number", range(len(YAML_WORDS)))
def test_any_words_make_a_finding_that_reads_back(
    small_site: Path, small_library: Any, watch: Opener, tmp_path: Path, number: int
) -> None:
    """Whatever is typed, the file has no problem in it and says what was typed, but for what may not stand in an entry."""
    from benchlore.linking.link import link
    from benchlore.reading.shelf import read_shelves

    small = Path(__file__).resolve().parents[1] / "kb_small"
    words = YAML_WORDS[number]
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn")
    sheet.page.evaluate(
        "(words) => Benchlore.job.record.setAll([['work', words], ['asked', words], ['learned', words], ['finding-title', words], ['minutes', '12'], ['technician', 'AB'], ['date', '2026-11-25']])",
        words,
    )
    sheet.settle()
    id, text = sheet.finding()
    (tmp_path / "findings").mkdir()
    (tmp_path / "findings" / f"{id}.yaml").write_text(text, "utf-8")
    reading = read_shelves([small, tmp_path])
    linked = link(reading.entries, reading.broken)
    assert [*reading.problems, *linked.problems] == [], text
    made = linked.library.findings[id]
    kept = made.fix.replace("\n", " ").split()
    wanted = sheet.page.evaluate("(words) => Benchlore.job.yaml.clean(words)", words).replace("\n", " ").split()
    assert kept == wanted


def test_the_owner_never_enters_a_finding(small_site: Path, watch: Opener) -> None:
    """A name, a mail address or a number to call in any of its words: no file, and the reason."""
    sheet = Sheet(watch(small_site).page, small_site)
    sheet.take_in("tarn", asked="look it over")
    for key, text in (("minutes", "12"), ("technician", "AB"), ("date", "2026-11-25")):
        sheet.fill(key, text)
    sheet.page.locator(".job-owner summary").click()
    sheet.fill("owner-name", "Jo Threadgold")
    for bad in ("Threadgold says it is fine", "call 0170 555 0199 first", "mail jo@example.org"):
        sheet.fill("work", bad)
        assert "owner" in sheet.page.locator("[data-finding-said]").inner_text(), bad
        assert sheet.page.get_by_role("button", name="Save the finding").is_disabled()
        assert sheet.page.locator("[data-finding]").inner_text() == ""
    sheet.fill("work", "All is well.")
    assert sheet.page.get_by_role("button", name="Save the finding").is_enabled()
