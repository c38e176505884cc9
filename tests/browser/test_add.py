"""The forms of ``add.html``, driven in Chromium from disk: what they write, ``benchlore audit`` accepts.

Outside checks: axe-core on each form; the file is judged by the builder's own audit in a process of its own.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from benchlore.entries.kinds import FOLDER_OF, KINDS
from forms import fill_record, retyped, typed
from watching import Opener

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"


def audited(shelf: Path) -> subprocess.CompletedProcess[str]:
    """``benchlore audit`` of a shelf, as a technician runs it."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    return subprocess.run(
        [sys.executable, "-m", "benchlore", "audit", "--shelf", shelf], env=env, capture_output=True, text=True
    )


@pytest.mark.parametrize(
    ("kind", "like"), [("finding", "2025-03-04-tarn-15"), ("fault", "filter-dried"), ("family", "moor-60")]
)
def test_what_a_form_writes_audit_accepts(
    small_site: Path, watch: Opener, tmp_path: Path, kind: str, like: str
) -> None:
    """A whole entry typed field by field, downloaded, put where the page says, and audited."""
    raw = {
        **typed(SMALL / FOLDER_OF[kind] / f"{like}.yaml", kind),
        "title": "Typed into the form",
        "added": "2026-01-02",
    }
    raw.pop("was", None)
    watched = watch(small_site, accept_downloads=True)
    page = watched.open(f"add.html#{kind}")
    fill_record(page.locator("form.add-form"), KINDS[kind], raw)
    assert page.locator(".field-error:visible").all_inner_texts() == []
    with page.expect_download() as got:
        page.get_by_role("button", name="Download the file").click()
    shelf = tmp_path / "shelf"
    shutil.copytree(SMALL, shelf)
    name = got.value.suggested_filename
    assert re.fullmatch(r"[a-z0-9-]+\.yaml", name)
    assert page.locator(".add-where code").first.inner_text() == f"{FOLDER_OF[kind]}/{name}"
    got.value.save_as(shelf / FOLDER_OF[kind] / name)
    text = (shelf / FOLDER_OF[kind] / name).read_text("utf-8")
    assert retyped(text, kind) == raw
    done = audited(shelf)
    assert done.returncode == 0, done.stderr
    assert watched.console == [] and watched.outside() == []


def test_unfinished_forms_are_not_given_out(small_site: Path, watch: Opener) -> None:
    """With anything left to mend no file comes; what is left is listed, each line leads to its field, and each field says it."""
    page = watch(small_site, width=360).open("add.html#fault")
    page.get_by_role("button", name="Download the file").click()
    assert page.evaluate("document.activeElement.className") == "left"
    lines = page.locator(".to-mend a")
    assert lines.count() > 8
    assert lines.first.inner_text() == "file name: missing"
    assert "checks: missing" in lines.all_inner_texts()
    page.get_by_role("link", name="commonness: missing").click()
    assert page.evaluate("document.activeElement.tagName") == "SELECT"
    said = page.locator("[aria-invalid=true]")
    assert said.count() >= 8
    for field in said.all():
        error = page.locator(f"#{field.get_attribute('aria-describedby').split()[-1]}")
        assert error.is_visible() and "missing" in error.inner_text()


def test_it_checks_as_one_types(small_site: Path, watch: Opener) -> None:
    """A wrong unit, a dangling id, a live check without its caution: said at once, beside the field, and gone when mended."""
    page = watch(small_site).open("add.html#family")
    plate = page.get_by_label("Plate volts")
    error = page.locator(f"#{plate.get_attribute('aria-describedby').split()[-1]}")
    plate.press_sequentially("372")
    assert error.inner_text() == '"372" has no unit; write a number and a unit, such as 12 V.'
    plate.press_sequentially(" mA")
    assert (
        error.inner_text() == '"372 mA" is a current (mA), but a voltage (V) is wanted here; write it in V, mV, kV, uV.'
    )
    plate.fill("372 V")
    assert error.is_hidden()
    page = watch(small_site).open("add.html#fault")
    page.get_by_label("Power").select_option("on")
    page.get_by_label("Key").fill("look")
    assert "a check with power on needs a caution" in " ".join(page.locator(".field-error").all_text_contents())
    symptom = page.get_by_label("Symptom", exact=False).first
    symptom.fill("hum-steady-lov")
    assert "did you mean hum-steady-low?" in " ".join(page.locator(".field-error").all_text_contents())
    symptom.fill("")
    symptom.press_sequentially("steady low hum")  # half a name is on its way, not wrong
    assert "there is no symptom" not in " ".join(page.locator(".field-error:visible").all_inner_texts())
    symptom.fill("Steady low hum that follows no control")
    symptom.press("Tab")
    assert symptom.input_value() == "hum-steady-low"


def test_keyboard_alone_will_do(small_site: Path, watch: Opener) -> None:
    """A finding from the first Tab to the file, without a mouse."""
    watched = watch(small_site, accept_downloads=True)
    page = watched.open("add.html")
    words = {
        "Title": "Hum after a spill", "Family": "tarn-15", "Fix": "Cleaned the board.", "Minutes": "30",
        "Parts cost": "0", "Technician": "AB",
    }  # fmt: skip
    for _ in range(60):
        page.keyboard.press("Tab")
        here = page.evaluate(
            "(() => { const e = document.activeElement; return [e.tagName, (e.labels && e.labels[0] ? e.labels[0].firstChild.textContent : e.textContent).trim(), e.dataset.addChoice || '']; })()"
        )
        if here[2] == "finding":
            page.keyboard.press("Enter")
        elif here[0] in ("INPUT", "TEXTAREA") and here[1] in words:
            page.keyboard.type(words.pop(here[1]))
        elif here == ["BUTTON", "Download the file", ""]:
            break
    assert not words
    with page.expect_download() as got:
        page.keyboard.press("Enter")
    assert re.fullmatch(r"\d{4}-\d\d-\d\d-tarn-15-ab\.yaml", got.value.suggested_filename)


def test_a_search_that_found_nothing_begins_a_fault(small_site: Path, watch: Opener) -> None:
    """The link of an empty search opens the form with the words as its title, and names what may say it already."""
    page = watch(small_site).open("index.html")
    page.locator("input[type=search]").fill("zzqqx")
    page.locator(".search-draft").click()
    page.wait_for_url("**/add.html*#fault")
    assert page.get_by_label("Title").input_value() == "zzqqx"
    page = watch(small_site).open("add.html?title=Dried+filter&shows=x&group=supply#fault")
    page.get_by_role("link", name="Dried-out filter capacitor").wait_for()
    assert page.get_by_label("Group").input_value() == "supply"
    assert "?" not in page.url


def test_what_was_typed_is_not_lost(small_site: Path, watch: Opener) -> None:
    """A reload, another kind in between, words from the address: what was typed comes back; afresh empties it."""
    page = watch(small_site).open("add.html#fault")
    page.get_by_label("Title").fill("Half written")
    page.get_by_role("link", name="A finding").click()
    page.locator("#finding").get_by_label("Title").fill("A job")
    page.reload()
    assert page.locator("#finding").get_by_label("Title").input_value() == "A job"
    page.get_by_role("link", name="A fault").click()
    assert page.locator("#fault").get_by_label("Title").input_value() == "Half written"
    page.goto(f"{small_site.as_uri()}/add.html?title=Another#fault")
    title = page.locator("#fault").get_by_label("Title")
    assert title.input_value() == "Another"
    page.get_by_role("button", name="Bring back what you typed before").click()
    assert title.input_value() == "Half written"


def test_stored_nonsense_is_only_text(small_site: Path, watch: Opener) -> None:
    """Whatever stands in the browser's store, the form opens and runs none of it."""
    watched = watch(small_site)
    page = watched.open("add.html")
    for nonsense in (
        "null", "1", "[]", '"x"', "{", '{"raw": 1}', '{"raw": {"title": ["x"], "checks": "abc", "shows": {"0": 1}}}',
        '{"raw": {"title": "<img src=x onerror=window.hit=1>", "__proto__": {"a": 1}}, "id": {"a": 1}}',
    ):  # fmt: skip
        page.evaluate("(text) => localStorage.setItem('benchlore:add:fault', text)", nonsense)
        watched.open("add.html#fault")
        page.reload()
        assert page.get_by_role("button", name="Download the file").is_visible(), nonsense
    assert page.evaluate("window.hit") is None
    assert watched.console == []


@pytest.mark.parametrize("kind", ["finding", "fault", "family"])
@pytest.mark.parametrize("dark", [False, True])
def test_forms_are_for_everyone(small_site: Path, watch: Opener, kind: str, dark: bool) -> None:
    """Outside check: axe-core, with every fold open; nothing wider than 360 px; each button and field high enough for a thumb."""
    page = watch(small_site, width=360, dark=dark).open(f"add.html#{kind}")
    page.get_by_role("button", name="Download the file").click()
    page.evaluate("document.querySelectorAll('details').forEach((e) => { e.open = true; })")
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
    small = page.evaluate(
        "() => [...document.querySelectorAll('.add button, .add input, .add select, .add textarea')].filter((e) => e.getClientRects().length && e.getBoundingClientRect().height < 43.5).length"
    )
    assert small == 0
    result = Axe().run(page, options={"preload": False, **({"runOnly": ["color-contrast"]} if dark else {})})
    bad = [v for v in result.response["violations"] if v["impact"] in ("serious", "critical")]
    assert not bad, [(v["id"], [n["html"][:160] for n in v["nodes"][:3]]) for v in bad]


def test_without_scripts_the_page_says_how(small_site: Path, watch: Opener) -> None:
    """No form, but the command that hands out the same file."""
    page = watch(small_site, scripts=False).open("add.html")
    assert "benchlore draft fault --id ID --write" in page.locator("#fault").inner_text()
