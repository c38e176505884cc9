"""The live page of a calculator, opened from disk in Chromium: typing, rows, the address, refusals, copying."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from tests.reckoning.try_calculator import reference

from benchlore.linking.library import Library
from benchlore.reckoning.calculate import compile_calculator
from benchlore.rendering.site import render

NAMES = ("idle-dissipation", "resistors-parallel", "capacitor-discharge")
Open = Callable[..., Any]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site of three calculators and nothing else, on disk."""
    library, _ = reference()
    entries = {name: replace(library.calculators[name], see=()) for name in NAMES}
    compiled = {name: compile_calculator(entry, library)[0] for name, entry in entries.items()}
    folder = tmp_path_factory.mktemp("sums site")
    for path, content in render(Library({"calculator": entries}), compiled).items():  # type: ignore[arg-type]
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    return folder


@pytest.fixture
def opened(chromium: Any, site: Path) -> Iterator[Open]:
    """Opens a calculator's page; fails the test if the page complained or asked for anything outside the site."""
    context = chromium.new_context()
    said: list[str] = []
    asked: list[str] = []

    def opener(name: str, fragment: str = "") -> Any:
        page = context.new_page()
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{(site / 'calculators' / f'{name}.html').as_uri()}{fragment}")
        return page

    yield opener
    context.close()
    assert not said
    assert all(url.startswith(site.as_uri()) for url in asked)


def result(page: Any, name: str) -> str:
    """The text of a result."""
    return str(page.locator(f'[data-result="{name}"]').inner_text())


def error(page: Any, name: str) -> str:
    """The sentence beside a field; empty where there is none to see."""
    place = page.locator(f'[data-error-for="{name}"]')
    return str(place.inner_text()) if place.is_visible() else ""


def until(page: Any, holds: Callable[[], bool]) -> None:
    """Wait, at most three seconds, until something holds (the page's policy forbids playwright's own waiting)."""
    for _ in range(60):
        if holds():
            return
        page.wait_for_timeout(50)
    raise AssertionError("it never came about")


def type_in(page: Any, name: str, text: str, row: int = 0) -> None:
    """Type into a field as a technician does."""
    page.locator(f'[data-input="{name}"]').nth(row).fill(text)


def test_it_answers_as_one_types(opened: Open) -> None:
    """A changed figure gives a new result, uncertainty, verdict and working at once (own numbers of the worked example)."""
    page = opened("idle-dissipation")
    for name, text in {"plate_volts": "355", "sense_volts": "15 V", "sense_resistor": "333.3333", "screen_current": "3"}.items():
        type_in(page, name, text)
    assert result(page, "plate_power") == "14.28 W"
    assert float(page.locator('[data-result="plate_power"]').get_attribute("data-si")) == pytest.approx(14.28, rel=1e-6)
    assert page.locator('[data-verdict="share"]').get_attribute("data-mark") == "stop"
    assert "12 W" in page.locator('[data-verdict="share"]').inner_text()
    assert page.locator('[data-uncertainty="plate_power"]').inner_text().startswith("± ")
    assert page.locator('[data-dominant="plate_power"]').inner_text().startswith("mostly from")
    assert "Plate dissipation = plate to cathode × plate current = 340 V × 42 mA = 14.28 W" in page.locator("[data-working]").inner_text()
    page.locator('[data-input="tube"]').select_option("el34")
    assert "25 W" in page.locator('[data-verdict="share"]').inner_text()


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "Nothing is written here"), ("35 mA", "a voltage (V) is wanted"), ("1,500", "which is meant?"), ("9000", "1500 V or less"), ("abc", "is not a quantity"), ("0", "1 V or more"), ("<b>5</b>", "is not a quantity")],
)
def test_bad_input_is_a_sentence_and_blanks(opened: Open, text: str, says: str) -> None:
    """What cannot be reckoned is said beside its field; no stale result, NaN or infinity stays on the page."""
    page = opened("idle-dissipation")
    type_in(page, "plate_volts", text)
    assert says in error(page, "plate_volts")
    field = page.locator('[data-input="plate_volts"]')
    assert field.get_attribute("aria-invalid") == "true"
    assert [r.inner_text() for r in page.locator("[data-result]").all()] == [""] * page.locator("[data-result]").count()
    assert page.locator('[data-result="plate_power"]').get_attribute("data-si") == ""
    assert page.locator('[data-verdict="share"]').get_attribute("data-mark") is None
    assert page.locator("[data-working]").inner_text() == ""
    assert "NaN" not in page.locator("main").inner_text() and "Infinity" not in page.locator("main").inner_text()
    type_in(page, "plate_volts", "400")
    assert error(page, "plate_volts") == "" and result(page, "plate_power") and field.get_attribute("aria-invalid") is None


def test_rows_are_added_and_removed(opened: Open) -> None:
    """A table's row is one part; each row shows its own result; the last row stays."""
    page = opened("resistors-parallel")
    assert result(page, "total") == "190.28 Ω"
    page.locator('[data-add-row="resistors"]').click()
    type_in(page, "ohms", "190R28", 3)
    assert page.locator('[data-input="ohms"]').count() == page.locator('[data-input="rated"]').count() == 4
    assert result(page, "total") == "95.141 Ω"
    assert page.locator('[data-result-item="each_power"]').nth(3).inner_text() == "0.526 W"
    for _ in range(3):
        page.locator("[data-remove-row]").last.click()
    assert result(page, "total") == "470 Ω"
    assert page.locator("[data-remove-row]").first.is_disabled()
    type_in(page, "ohms", "-1")
    assert "row 1" in error(page, "ohms").lower() and result(page, "total") == ""
    for _ in range(11):
        page.locator('[data-add-row="resistors"]').click()
    assert page.locator('[data-add-row="resistors"]').is_disabled()


def test_the_address_carries_the_inputs(opened: Open) -> None:
    """What is typed stands in the address, and the address fills the fields: bookmarked, sent and printed alike."""
    page = opened("resistors-parallel", "#ohms=1k;%202k2;3k3&rated=1W;1W;2W&wiring=series&volts=100%20V")
    assert result(page, "total") == "6.5 kΩ" and page.locator('[data-input="ohms"]').count() == 3
    type_in(page, "volts", "65 V")
    until(page, lambda: "65" in page.url)
    address = page.evaluate("location.href")
    assert "volts=65 V" in unquote(address) and "wiring=series" in address
    again = opened("resistors-parallel", "#" + address.split("#")[1])
    assert result(again, "current") == "10 mA" == result(page, "current")
    page.evaluate("location.hash = '#volts=130V'")
    until(page, lambda: result(page, "current") == "20 mA")


@pytest.mark.parametrize(
    "fragment",
    ["#", "#nosuch=1&plate_volts=400V", "#plate_volts=400V&__proto__=1&constructor=2", "#tube=%3Cscript%3Ealert(1)%3C/script%3E&plate_volts=400V", "#plate_volts=400V&sense_volts=%E0%A4%A", "#worked-1", "#" + "x" * 7000,
     "#tolerance.nosuch=1&plate_volts=400"],
)
def test_an_address_from_elsewhere_is_data(opened: Open, fragment: str) -> None:
    """Unknown names, broken escapes and markup in the address change nothing but fields that exist."""
    page = opened("idle-dissipation", fragment)
    expected = "400" if "plate_volts=400" in fragment else "355"
    assert page.locator('[data-input="plate_volts"]').input_value().startswith(expected)
    assert result(page, "plate_power").endswith(" W") and page.locator('[data-input="tube"]').input_value() == "el84"


def test_markup_in_the_address_stays_text(opened: Open) -> None:
    """Markup that arrives for a text field is shown in its sentence as text, and nothing of it runs."""
    page = opened("idle-dissipation", "#plate_volts=%3Cimg%20src=x%20onerror=alert(1)%3E")
    assert "<img" in error(page, "plate_volts") and page.locator("main img").count() == 0


def test_tolerances_can_be_edited(opened: Open) -> None:
    """A better meter narrows the result; a bad tolerance is a sentence of its own; the address carries it."""
    page = opened("capacitor-discharge")
    before = page.locator('[data-uncertainty="wait"]').inner_text()
    page.locator("details.tolerances").evaluate("d => { d.open = true; }")
    page.locator('[data-tolerance="capacitance"]').fill("1 %")
    after = page.locator('[data-uncertainty="wait"]').inner_text()
    assert before == "± 11 s" and after != before and after.startswith("± 2")
    until(page, lambda: "tolerance.capacitance=1" in page.url)
    page.locator('[data-tolerance="capacitance"]').fill("good")
    assert "no tolerance" in error(page, "tolerance.capacitance") and result(page, "wait") == ""


def test_reset_and_copy(opened: Open) -> None:
    """Reset brings the defaults back; the working can be copied onto a ticket."""
    page = opened("capacitor-discharge")
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    type_in(page, "volts", "300 V")
    page.locator("[data-reset]").click()
    assert page.locator('[data-input="volts"]').input_value() == "450 V" and result(page, "energy") == "10.13 J"
    page.locator("[data-copy-working]").click()
    until(page, lambda: page.locator("[data-copy-working]").inner_text() != "Copy the working")
    assert "Energy stored = capacitance × volts^2 / 2 = 100 µF × (450 V)^2 / 2 = 10.13 J" in page.locator("[data-working]").inner_text()


def test_drawings_hear_of_it(opened: Open) -> None:
    """Each answer is an event on the form, with values in SI, for drawings beside it; evaluate is pure."""
    page = opened("idle-dissipation")
    page.evaluate("document.querySelector('form').addEventListener('benchlore:outcome', (e) => { globalThis.heard = JSON.stringify(e.detail.values); })")
    type_in(page, "plate_volts", "400")
    assert json.loads(page.evaluate("globalThis.heard"))["plate_volts"] == 400
    assert page.evaluate("Benchlore.evaluate('idle-dissipation', {plate_volts: '500'}, {}).values.plate_volts") == 500
    assert page.locator('[data-input="plate_volts"]').input_value() == "400"


def test_without_scripts_the_defaults_stand(chromium: Any, site: Path) -> None:
    """Without JavaScript the page shows the defaults' results, verdict and figures put into the formulas."""
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "calculators" / "idle-dissipation.html").as_uri())
    assert result(page, "plate_power") == "12.42 W"
    assert page.locator('[data-verdict="share"]').get_attribute("data-mark") == "stop"
    assert page.locator('[data-put="plate_volts"]').first.text_content() == "355 V"
    context.close()
