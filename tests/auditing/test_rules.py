"""Each rule passes what is sound and reports what is not, at the line where it is written.

The sums behind the physics rules are the reference shelf's own, which prove themselves against published examples at every build.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.keeping import Keep
from benchlore.pipeline import check
from benchlore.problem import Problem

ROOT = Path(__file__).resolve().parents[2]
SUMS = ("idle-dissipation", "heater-budget", "cabinets", "dropping-resistor")
Audit = Callable[..., list[Problem]]


@pytest.fixture(scope="session")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Keep:
    """The calculators are compiled once for all tests of this file."""
    return Keep(tmp_path_factory.mktemp("kept"))


@pytest.fixture
def audit(tmp_path: Path, kept: Keep) -> Audit:
    """Audit the small shelf with pieces of one of its files replaced; gives the problems."""
    shelf = tmp_path / "shelf"
    shutil.copytree(ROOT / "tests" / "kb_small", shelf)
    for name in SUMS:
        shutil.copy(ROOT / "kb" / "reference" / "calculators" / f"{name}.yaml", shelf / "calculators")
        text = (shelf / "calculators" / f"{name}.yaml").read_text()
        lines = [line for line in text.splitlines() if not line.startswith("see:")]
        (shelf / "calculators" / f"{name}.yaml").write_text("\n".join(lines) + "\n")

    def run(file: str = "", *changes: tuple[str, str]) -> list[Problem]:
        if file:
            path = shelf / file
            text = path.read_text()
            for old, new in changes:
                assert old in text, old
                text = text.replace(old, new, 1)
            path.write_text(text)
        return [p for p in check([shelf], kept).problems if "calculator" not in p.place.file]

    return run


FAMILY = "families/tarn-15.yaml"


def test_the_small_shelf_is_sound(audit: Audit) -> None:
    """What the failing cases below are made from has no problem."""
    assert audit() == []


@pytest.mark.parametrize(
    ("where", "old", "new", "said"),
    [
        ("idle.stock_share", "stock_share: 60..72 %", "stock_share: 95..115 %", "its own volts and amps give 66"),
        ("supply[2].volts", "volts: 227 V", "volts: 300 V", "is not below node B"),
        ("supply[2].through_rating", "through_rating: 1 W", "through_rating: 0.1 W", "into heat, more than its 0.1 W"),
        (
            "supply[0].capacitor_rating",
            "capacitor_rating: 450 V",
            "capacitor_rating: 250 V",
            "more than the capacitor's 250 V",
        ),
        ("mains.heater_winding", "heater_winding: 2 A", "heater_winding: 1 A", "more than its 1 A"),
        ("speaker.ohms", "ohms: 16 ohm, wiring: parallel", "ohms: 2 ohm, wiring: parallel", "no tap serves that"),
        (
            "idle.plate_volts",
            "  note: Plates and screens stand above the 250 V of the sheet; idle low and leave them air.\n",
            "",
            "is over the",
        ),
        ("supply[1].fed_from", "fed_from: A", "fed_from: Z", 'there is no node of this supply "Z"'),
        ("weak_points[1].since", "since: b", "since: c", 'there is no revision of this family "c"'),
        ("opening[1]", "    warning: the reservoir keeps 290 V for minutes\n", "", "a hazard without words"),
        ("idle.tubes", "  tubes: 2\n", "  tubes: 4\n", "the sockets hold 2"),
        ("summary", "  A flat, wide combo with", "  TODO A flat, wide combo with", "still to be written"),
    ],
)
def test_a_family_that_contradicts_itself(audit: Audit, where: str, old: str, new: str, said: str) -> None:
    """One slip is one problem, at the field that is wrong."""
    problems = audit(FAMILY, (old, new))
    wanted = [where] if where != "idle.plate_volts" else [where, "idle.screen_volts"]
    assert [p.where for p in problems] == wanted, "\n".join(map(str, problems))
    assert said in problems[0].message
    assert problems[0].place.line > 1


def test_cathode_volts_must_fit_current_and_resistor(audit: Audit) -> None:
    """Two tubes of 30 mA on a shared 270 ohm stand at 16.2 V (Ohm's law), not at 24 V."""
    resistor = "    - {part: R38, value: 270 ohm, role: cathode, effect: smaller is hotter}\n"
    changes = [
        ("arrangement: fixed without adjustment", "arrangement: cathode"),
        (
            "    - {part: R38, value: 15k, role: to ground, effect: smaller pulls the grids toward ground; hotter}\n",
            resistor,
        ),
        ("cathode_volts: 0 V", "cathode_volts: 16.2 V"),
    ]
    assert audit(FAMILY, *changes) == []
    (problem,) = audit(FAMILY, ("cathode_volts: 16.2 V", "cathode_volts: 24 V"))
    assert "does not fit 270 ohm" in problem.message


def test_live_steps_and_live_checks_say_what_is_live(audit: Audit) -> None:
    """A step with power on without a warning, and a live check without a caution, are problems."""
    problems = audit("procedures/idle-measuring.yaml", ("warning:", "why:"))
    assert any("needs both hazard and warning" in p.message for p in problems)


@pytest.mark.parametrize(
    ("template", "sound"),
    [
        ("http://bench.example", True),
        ("sheets/load.html{?id}", True),
        ("javascript:alert(1)", False),
        ("//bench.example/x", False),
        ("{+title}", False),
        ("https://{id}/x", False),
        ("sheets/../../x.html", False),
        ("https://jo@bench.example/", False),
    ],
)
def test_a_shops_links_lead_to_the_web_or_into_the_site(audit: Audit, template: str, sound: bool) -> None:
    """What the site would leave out is said where it is written; the host is never a value of an entry."""
    problems = audit("shop.yaml", ("template: https://bench.example/load{?plate_volts,id}", f'template: "{template}"'))
    assert [p.where for p in problems] == ([] if sound else ["links[0].template"])


def test_nothing_of_an_owner_in_a_finding(audit: Audit) -> None:
    """Mail addresses and telephone numbers are refused; part numbers and dates are not taken for them."""
    file = "findings/2025-03-04-tarn-15.yaml"
    assert audit(file, ("learned: ", "learned: Ring 020 555 0199 when done. "))[0].where == "learned"
    assert audit(file, ("Ring 020 555 0199 when done. ", "Write to jo@example.org "))[0].where == "learned"
    assert (
        audit(file, ("Write to jo@example.org ", "R38 150k-220k on 2025-03-04; 12AX7, 6.3 V at 0.3 A; 400 V 22 uF. "))
        == []
    )


def test_a_finding_names_a_check_and_a_technician_that_exist(audit: Audit) -> None:
    """A slip in either is met with the nearest."""
    problems = audit(
        "findings/2025-03-04-tarn-15.yaml",
        ("bias-supply-dried/", "bias-supply-dried/x"),
        ("technician: ", "technician: X"),
    )
    assert {p.where for p in problems} == {"checks[0].check", "technician"}
