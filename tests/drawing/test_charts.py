"""The charts of the calculators, read back from what was drawn."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from eseries import ESeries, erange
from scipy.optimize import brentq

from benchlore.drawing.bias import twelve_between
from benchlore.drawing.idle import idle_at, power_curve
from benchlore.drawing.printing import CHARTS, charts_script, drawn_case, drawn_ring
from benchlore.drawing.ring import ring_chart
from benchlore.drawing.scales import nice_step
from benchlore.drawing.sheet import Sheet, coordinate, finished
from benchlore.entries.calculator import DRAWINGS
from benchlore.linking.library import Library
from benchlore.reckoning.calculate import compile_calculator
from benchlore.reckoning.compiled import Compiled
from drawing.reading_svg import linear, looks, outside, parsed, points, words

CASES: dict[str, list[dict[str, str]]] = {
    "idle-window": [
        {},
        {"plate_volts": "250 V", "cathode_volts": "8 V", "cathode_current": "60 mA", "supply_resistance": "0 ohm"},
        {"tube": "el84", "plate_volts": "1000 V", "cathode_current": "0.5 mA", "screen_current": "0.1 mA"},
        {"plate_volts": "20 V", "cathode_current": "500 mA", "screen_current": "0 mA"},
    ],
    "bias-change": [
        {},
        {"leg": "ground"},
        {"action": "replace", "added": "10 Mohm"},
        {"feed": "10 ohm", "ground": "2 Mohm", "added": "10 ohm"},
        {"leg": "ground", "action": "replace", "added": "470 kohm", "cathode_current": "300 mA"},
    ],
    "triode-stage": [{}, {"supply": "1000 V", "found": "0 V"}, {"tube": "12au7", "supply": "5 V", "found": "900 V"}],
    "tightening-order": [{"fasteners": str(n), "rounds": str(1 + n % 6)} for n in range(2, 25)],
    "mains-scaling": [
        {},
        {"chart": "-52 V", "spread": "10 %", "found": "60 V"},
        {"chart": "; ".join(["405 V"] * 12), "spread": "; ".join(["8 %"] * 12), "found": "; ".join(["2000 V"] * 12)},
        {"chart": "0 V", "spread": "10 %", "found": "0 V"},
    ],
}


@pytest.fixture(scope="module")
def sums(whole_library: Library) -> dict[str, Compiled]:
    """The calculators that have a drawing, made ready."""
    made = {}
    for id, entry in whole_library.calculators.items():
        if entry.drawing:
            compiled, problems = compile_calculator(entry, whole_library)
            assert compiled is not None, problems
            made[id] = compiled
    return made


def test_every_drawing_named_is_drawn(whole_library: Library, sums: dict[str, Compiled]) -> None:
    """What a calculator names under ``drawing`` is a chart, and each has cases below."""
    assert {whole_library.calculators[id].drawing for id in sums} == set(CHARTS)
    assert set(CASES) == set(sums)
    assert set(DRAWINGS) == set(CHARTS)  # what the field takes is what can be drawn


@pytest.mark.parametrize(("id", "texts"), [(id, texts) for id, cases in CASES.items() for texts in cases])
def test_nothing_off_the_sheet(
    whole_library: Library, sums: dict[str, Compiled], id: str, texts: dict[str, str]
) -> None:
    """At the usual figures and at the ends of what may be typed, all that is drawn lies on the sheet, finite, and twice alike."""
    name = whole_library.calculators[id].drawing or ""
    first, second = (drawn_case(name, sums[id], texts) for _ in range(2))
    assert first is not None and first == second, sums[id].evaluate(texts).problems
    assert outside(first.svg) == []
    assert "nan" not in first.svg.lower() and "inf" not in first.svg.lower()
    root = parsed(first.svg)
    assert root.get("role") == "img" and root[0].tag == "title" and root[0].text and root[1].tag == "desc"
    assert all(len(row) == len(first.head) for row in first.rows)


def test_limit_curve_is_power(sums: dict[str, Compiled]) -> None:
    """P = V · I at every point of the drawn limit, its scales read back from the ticks (the law itself; no source needed)."""
    drawn = drawn_case(
        "idle-window", sums["idle-window"], {"tube": "el84", "plate_volts": "300 V", "cathode_current": "40 mA"}
    )
    assert drawn is not None
    root = parsed(drawn.svg)
    frame = looks(root, "frame")[0]
    foot = float(frame.get("y", "0")) + float(frame.get("height", "0"))
    ticks = [
        (float(t.get("x", "")), float(t.get("y", "")), float((t.text or "").replace("\u2212", "-")))
        for t in looks(root, "tick")
    ]
    across = linear([(x, value) for x, y, value in ticks if y > foot + 10])
    upward = linear([(y - 4, value) for x, y, value in ticks if y <= foot + 10])
    curve = points(looks(root, "limit")[0])
    assert len(curve) > 20
    for x, y in curve:
        watts = (across[0] * x + across[1]) * (upward[0] * y + upward[1]) / 1000
        assert watts == pytest.approx(
            12, rel=0.01
        )  # EL84: 12 W, Philips data sheet 1955; 1 % is a tenth of a unit on the sheet


def test_power_curve_and_window(sums: dict[str, Compiled]) -> None:
    """The curve before it is drawn is exact, and the window agrees with SciPy's root finder and with the sum itself."""
    volts, amps = power_curve([200.0, 450.0, 46.0, 328.0, 0.0, 0.05, 30.0, 220.0], 14.0)
    assert all(v * a == pytest.approx(14, rel=1e-12) for v, a in zip(volts, amps, strict=True))
    values = sums["idle-window"].evaluate({}).values
    slope, power = values["slope"], values["low_share"] * values["limit"]  # type: ignore[operator]
    found = idle_at(values["open_volts"], slope, power)  # type: ignore[arg-type]
    assert found == pytest.approx(brentq(lambda i: (values["open_volts"] - slope * i) * i - power, 0, 0.5), rel=1e-9)
    assert found == pytest.approx(values["low_plate"], rel=1e-9)
    assert idle_at(100.0, 1000.0, 50.0) == -1.0  # a supply too weak for it


def test_resistors_are_the_series() -> None:
    """Outside check: the values swept are those of E12 in the ``eseries`` package (IEC 60063)."""
    assert twelve_between(2_500, 600_000) == pytest.approx(list(erange(ESeries.E12, 2_500, 600_000)), rel=1e-9)


def order_drawn(svg: str) -> list[int]:
    """Places in the order of the numbers inside the rings, each read from where its ring lies (clockwise from the top)."""
    root = parsed(svg)
    rings = looks(root, "first", "knob")
    numbers = words(root, "first-number", "number")
    assert numbers == [str(n) for n in range(1, len(rings) + 1)]
    turns = [math.atan2(float(e.get("cx", "")) - 170, 168 - float(e.get("cy", ""))) % math.tau for e in rings]
    return [round(turn / math.tau * len(rings)) % len(rings) + 1 for turn in turns]


@pytest.mark.parametrize(("fasteners", "order"), [("4", [1, 3, 2, 4]), ("8", [1, 5, 3, 7, 2, 6, 4, 8])])
def test_ring_order(sums: dict[str, Compiled], fasteners: str, order: list[int]) -> None:
    """Four cross-wise and eight star-wise: common practice, no source; the eight also ASME PCC-1, from memory."""
    drawn = drawn_ring(sums["tightening-order"], fasteners)
    assert order_drawn(drawn.svg) == order
    assert [row[1] for row in drawn.rows] == [str(place) for place in order]
    assert not any("N m" in said for said in words(parsed(drawn.svg)))


def test_rings_do_not_touch() -> None:
    """Two dozen fasteners, the most that the sum takes, still stand apart."""
    sheet = Sheet()
    ring_chart(sheet, [float(n) for n in range(1, 25)], [], [])
    rings = looks(parsed(finished(sheet).svg), "first", "knob")
    places = [(float(e.get("cx", "")), float(e.get("cy", "")), float(e.get("r", ""))) for e in rings]
    for (x1, y1, r1), (x2, y2, r2) in pairwise(places):
        assert math.hypot(x2 - x1, y2 - y1) > r1 + r2


def test_found_outside_is_a_cross(sums: dict[str, Compiled]) -> None:
    """A reading outside its spread differs in shape and in words, not in colour alone."""
    drawn = drawn_case("supply-chart", sums["mains-scaling"], {})
    assert drawn is not None
    root = parsed(drawn.svg)
    outside_rows = [
        row
        for row in drawn.rows
        if not float(row[2].split()[0]) <= float(row[4].split()[0]) <= float(row[3].split()[0])
    ]
    assert len(outside_rows) == 1
    assert (
        len(looks(root, "found-bad")) == 2 * len(outside_rows) + 2
    )  # a cross is two lines; one more stands in the legend
    assert words(root, "row-bad") == ["found 240 V: outside"]


@pytest.mark.parametrize("span", [1e-6, 0.03, 1, 7, 130, 999, 2000])
def test_steps_are_round(span: float) -> None:
    """A scale has at most five parts, each 1, 2 or 5 times a power of ten."""
    step = nice_step(span, 5)
    assert span / step <= 5 * (1 + 1e-9) and span / step > 1.9
    assert round(step / 10 ** math.floor(math.log10(step) + 1e-9), 6) in (1, 2, 5)


def test_coordinates_are_short() -> None:
    """A coordinate has one decimal at most, halves up, in both languages alike."""
    assert [coordinate(v) for v in (0.25, 0.24, 12.0, 1 / 3, -0.04, 328.95)] == ["0.3", "0.2", "12", "0.3", "0", "329"]


def test_printed_script_is_steady() -> None:
    """The script is the same at every build and names every chart."""
    script = charts_script()
    assert script == charts_script()
    assert all(f'"{name}":' in script for name in CHARTS)
