"""Three whole jobs on the job sheet, from disk, from the complaint to a finding that the audit takes and the suspects learn from."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from benchlore.ranking.model import Model
from benchlore.ranking.suspects import Seen, probabilities
from building import sound_library
from jobs import Sheet
from watching import Opener

ROOT = Path(__file__).resolve().parents[2]
SHELVES = [ROOT / "kb" / "reference", ROOT / "kb" / "workshop"]


def benchlore(*words: str) -> None:
    """`benchlore` as a process of its own, which must have nothing to complain of."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    done = subprocess.run(
        [sys.executable, "-m", "benchlore", *words], env=env, cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr


def audited(shelf: Path) -> None:
    """The finding is taken as it is: `benchlore audit` over all three shelves has nothing to say."""
    words = [word for folder in (*SHELVES, shelf) for word in ("--shelf", str(folder))]
    benchlore("audit", *words)


def shares(shelves: list[Path], family: str, seen: Seen) -> dict[str, float]:
    """Suspects by the terminal's model."""
    return dict(zip(*probabilities(Model(sound_library(shelves)), family, seen), strict=True))


@pytest.fixture
def bench(whole_site: Path, watch: Opener) -> Any:
    """A fresh job sheet of the shipped book; console and requests are looked at when the job is over."""
    watched = watch(whole_site)
    yield Sheet(watched.page, whole_site)
    assert watched.console == [], watched.console
    assert [url for url in watched.requests if not url.startswith("file:")] == []


def test_a_hum_whose_cause_is_lead_dress(bench: Sheet, tmp_path: Path) -> None:
    """Ribbon-joined boards that hum: checks lead to the ribbon's place, the mend is made, the finding raises that fault here."""
    bench.take_in("lapwing", "it hums even with the volume right down", ticket="2291", serial="20611")
    bench.page.get_by_label("Revision").first.select_option("b")
    bench.sign("Low steady hum that follows no control")
    assert "Ribbon cable folded into the wrong place" in bench.page.locator("[data-suspects-list]").inner_text()
    assert "flex-test all six ribbons" in bench.page.locator("[data-needs]").inner_text().lower()
    assert "about" in bench.page.locator("[data-estimate]").inner_text()
    before = bench.shares()
    assert sum(before.values()) == pytest.approx(1, abs=1e-9)

    # nothing inside before it is safe: a check inside cannot be recorded
    for _ in range(8):
        if bench.page.locator("[data-check-next] .job-gate").count():
            break
        bench.result("Not done")
    assert bench.page.locator(".check-fail").is_disabled()
    bench.make_safe()
    assert "Made safe" in bench.page.locator("[data-safe-said]").inner_text()
    for box in bench.page.locator("[data-opening] input[type=checkbox]").all():
        box.check()
    bench.settle()

    # the checks: whatever speaks to the ribbon's place fails, all else passes
    for _ in range(20):
        check = bench.next_id()
        bench.result("Fail" if check.startswith("ribbon-lead-dress/") else "Pass")
        if check.startswith("ribbon-lead-dress/") and bench.shares()["ribbon-lead-dress"] > 0.9:
            break
    after = bench.shares()
    assert (
        max(after, key=lambda id: after[id]) == "ribbon-lead-dress"
        and after["ribbon-lead-dress"] > before["ribbon-lead-dress"]
    )
    assert bench.top() == "Ribbon cable folded into the wrong place"
    bench.page.locator(".suspect").first.get_by_role("button", name="This is it").click()
    bench.settle()
    assert "explained by what was found" in bench.page.locator("[data-suspects-said]").inner_text()

    bench.fill("mains", "236")
    for node, volts in (("A", "361"), ("B", "304 V"), ("C", "275"), ("D", "246")):
        bench.fill(f"node/{node}", volts)
    assert "Every node lies within its spread" in bench.page.locator("[data-supply-verdict]").inner_text()
    bench.fill("noise", "3.1 mV")
    bench.fill("earth-ohms", "0R08")
    bench.fill("insulation", "220M")
    bench.fill(
        "work",
        "Folded the wide ribbon back on its first crease and tied it clear of the heater ribbon.\nHum went from 11 mV to 3 mV.",
    )
    bench.fill("minutes", "50")
    bench.fill("technician", "RK")
    bench.fill("date", "2026-11-26")
    bench.page.locator(".job-owner summary").click()
    bench.fill("owner-name", "Jo Threadgold")
    assert "Not ready to hand over" in bench.readiness()
    bench.close_all()
    assert bench.readiness().startswith("Ready to hand over")

    page = bench.page.locator("[data-owner-page]").inner_text()
    for words in (
        "It hums" if "It hums" in page else "it hums",
        "folded",
        "Folded the wide ribbon",
        "236 V",
        "Jo Threadgold",
        "2291",
    ):
        assert words in page
    shelf = tmp_path / "shelf"
    target = bench.save_finding(shelf)
    text = target.read_text("utf-8")
    assert "Threadgold" not in text and "2291" not in text and "20611" not in text
    audited(shelf)
    seen = Seen(("hum-steady-low",))
    old, new = shares(SHELVES, "lapwing-22", seen), shares([*SHELVES, shelf], "lapwing-22", seen)
    assert new["ribbon-lead-dress"] > old["ribbon-lead-dress"]
    assert new["ribbon-cracked"] < old["ribbon-cracked"]

    # built again with the finding in it, the sheet itself shows the move
    out = tmp_path / "site"
    benchlore("build", *(w for s in (*SHELVES, shelf) for w in ("--shelf", str(s))), "--out", str(out))
    again = Sheet(bench.page, out, "?family=lapwing-22&symptom=hum-steady-low")
    assert again.shares()["ribbon-lead-dress"] == pytest.approx(new["ribbon-lead-dress"], abs=1e-9)


def test_tubes_glow_red_over_an_open_grid_leak(bench: Sheet, tmp_path: Path) -> None:
    """A fixed-bias amp with red plates: the readings point to one tube, the checks to its grid leak, closing up asks for the idle again."""
    bench.take_in("cotillion", "one of the tubes glows red and it hums", ticket="A-17")
    bench.page.locator("[data-sign-offers] button", has_text="glow").first.click()
    bench.settle()
    signs = bench.page.locator("[data-signs]")
    assert "Plates of the output tubes glow red" in signs.inner_text() or "glow" in signs.inner_text().lower()
    assert bench.page.locator("[data-signs] .warning").count() >= 1
    bench.make_safe()
    # measured on the limiter, before the plate goes red: one tube runs away
    bench.fill("mains", "230")
    seats = bench.page.evaluate("() => Benchlore.job.known.family().idle.positions")
    for seat, plate, sense in zip(seats, ("388 V", "392"), ("61 mV", "31"), strict=True):
        bench.fill(f"idle/before/{seat}/plate-volts", plate)
        bench.fill(f"idle/before/{seat}/sense-volts", sense)
    judged = bench.page.locator('[data-idle="before"]').inner_text()
    assert f"{seats[0]} draws more than its share" in judged
    assert bench.page.locator('[data-idle="before"] [data-mark=stop]').count() >= 1
    bench.page.get_by_role("button", name="Note as a sign").first.click()
    bench.settle()
    assert bench.value("sign/one-tube-hot") == "present"

    for _ in range(20):
        check = bench.next_id()
        speaks = bench.page.evaluate(
            "(id) => { const M = Benchlore.job.model; return M.checks[Benchlore.job.known.checkAt.get(id)][5].map(([at]) => M.faults[at]); }",
            check,
        )
        bench.result("Fail" if "grid-leak-open" in speaks else "Pass")
        if bench.shares()["grid-leak-open"] > 0.9:
            break
    found = bench.shares()
    assert max(found, key=lambda id: found[id]) == "grid-leak-open"
    bench.page.locator(".suspect").first.get_by_role("button", name="This is it").click()
    bench.settle()
    lists = bench.page.locator("[data-closing-lists]").inner_text()
    assert "Idle measured again" in lists and "Both grids within 2 V of each other" in lists
    assert bench.page.locator("[data-idle-again]").is_visible()
    for seat, sense in zip(seats, ("28", "29"), strict=True):
        bench.fill(f"idle/after/{seat}/plate-volts", "396")
        bench.fill(f"idle/after/{seat}/sense-volts", sense)
    assert "Within the aim" in bench.page.locator('[data-idle="after"]').inner_text()
    bench.page.get_by_text("How to mend it").first.click()
    bench.page.get_by_role("button", name="Put these under parts used").click()
    bench.settle()
    assert "grid-leak resistor" in bench.value("part/1/what")
    bench.fill("part/1/cost", "0.40")
    bench.fill("work", "Replaced both grid leaks as a pair: one was open under its paint.")
    bench.fill("minutes", "75")
    bench.fill("technician", "MO")
    bench.fill("date", "2026-11-26")
    shelf = tmp_path / "shelf"
    text = bench.save_finding(shelf).read_text("utf-8")
    assert "faults: [grid-leak-open]" in text and "parts_cost: 0.8" in text
    audited(shelf)
    seen = Seen(("tubes-glow-red", "one-tube-hot"))
    old, new = shares(SHELVES, "cotillion-20", seen), shares([*SHELVES, shelf], "cotillion-20", seen)
    assert new["grid-leak-open"] > old["grid-leak-open"]


def test_a_request_only(bench: Sheet, tmp_path: Path) -> None:
    """Exchange the speaker and cool the idle: no suspects are pushed, closing up knows the speaker, the finding moves no fault up."""
    bench.take_in("lapwing", asked="Exchange the speaker, cool the idle", ticket="2300")
    assert "No complaint yet" in bench.page.locator("[data-checks-said]").inner_text()
    assert bench.next_check() == ""
    bench.make_safe()
    bench.tick("touched/speaker")
    bench.page.get_by_label("Parallel R41").check()
    bench.settle()
    lists = bench.page.locator("[data-closing-lists]").inner_text()
    for words in (
        "Polarity proved",
        "Load fits the tap",
        "cross-wise",
        "Gasket",
        "Idle measured again",
        "Plate and screen volts are within",
    ):
        assert words in lists, words
    bench.fill("compare-what", "the shop's known cabinet")
    bench.fill("compare-facts", "16 W at the edge of clipping on both")
    bench.fill("compare-impressions", "RK finds the new one less sharp; knew which was which")
    bench.fill("work", "Fitted the owner's own 8 ohm speaker; 82k across R41, idle from 91 % to 70 %.")
    bench.fill("minutes", "70")
    bench.fill("technician", "RK")
    bench.fill("date", "2026-11-26")
    bench.fill("parts-cost", "1,5")
    page = bench.page.locator("[data-owner-page]").inner_text()
    assert "Measured: 16 W" in page and "Heard, as an impression: RK finds" in page
    shelf = tmp_path / "shelf"
    text = bench.save_finding(shelf).read_text("utf-8")
    assert (
        "symptoms: []" in text
        and "faults: []" in text
        and "request: Exchange the speaker, cool the idle" in text
        and "parts_cost: 1.5" in text
    )
    audited(shelf)
    seen = Seen(("hum-steady-low",))
    old, new = shares(SHELVES, "lapwing-22", seen), shares([*SHELVES, shelf], "lapwing-22", seen)
    assert new == pytest.approx(old)
