"""Markings, threads, clutches, orders, speakers, estimates: against standards, tables and packages."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import Any

import eseries
import numpy as np
import pint
import pytest
from scipy.stats import linregress  # type: ignore[import-untyped]

Reckon = Callable[..., dict[str, Any]]

COLOURS = ["black", "brown", "red", "orange", "yellow", "green", "blue", "violet", "grey", "white"]


@pytest.mark.parametrize(("code", "ohms", "tolerance"), [
    ("4K7", 4700, 0.2), ("R47", 0.47, 0.2), ("4R7", 4.7, 0.2), ("1M0", 1e6, 0.2), ("K47", 470, 0.2), ("470RK", 470, 0.1), ("2K2J", 2200, 0.05),
])
def test_letters(reckon: Reckon, code: str, ohms: float, tolerance: float) -> None:
    """IEC 60062:2016, letter-and-digit code (from memory); the trailing K is a tolerance."""
    got = reckon("marking-codes", resistor_code=code)
    assert got["resistor_value"].value == pytest.approx(ohms)
    assert got["resistor_band"].value == pytest.approx(tolerance)


@pytest.mark.parametrize(("bands", "colours", "ohms", "tolerance"), [
    ("four", "brown black - orange gold", 10e3, 0.05), ("four", "yellow violet - green silver", 4.7e6, 0.1), ("five", "yellow violet black red brown", 47e3, 0.01),
    ("four", "green blue - gold gold", 5.6, 0.05), ("three", "red red - brown gold", 220, 0.2), ("five", "brown black black silver red", 1.0, 0.02),
])
def test_colours(reckon: Reckon, bands: str, colours: str, ohms: float, tolerance: float) -> None:
    """IEC 60062:2016, colour code (from memory)."""
    first, second, third, multiplier, last = colours.split()
    third = "black" if third == "-" else third
    got = reckon("marking-codes", bands=bands, band_1=first, band_2=second, band_3=third, multiplier=multiplier, tolerance_band=last)
    assert got["colour_value"].value == pytest.approx(ohms)
    assert got["colour_tolerance"].value == pytest.approx(tolerance)


@pytest.mark.parametrize("figure", [10, 12, 15, 22, 27, 33, 39, 47, 56, 68, 82])
@pytest.mark.parametrize("place", range(-2, 7))
def test_colours_both_ways(reckon: Reckon, figure: int, place: int) -> None:
    """Each E12 value coded into bands reads back as itself."""
    ohms = figure * 10.0**place
    coded = reckon("marking-codes", resistor=f"{ohms:.2f} ohm")
    words = [coded[f"colour_{n}"].text for n in (1, 2, 3)]
    assert words == [COLOURS[figure // 10], COLOURS[figure % 10], COLOURS[place] if place >= 0 else ("gold", "silver")[-place - 1]]
    back = reckon("marking-codes", bands="four", band_1=words[0], band_2=words[1], multiplier=words[2])
    assert back["colour_value"].value == pytest.approx(ohms)


@pytest.mark.parametrize(("digits", "farads"), [("104", 1e-7), ("103", 1e-8), ("472", 4.7e-9), ("221", 2.2e-10), ("105", 1e-6)])
def test_capacitor_digits_both_ways(reckon: Reckon, digits: str, farads: float) -> None:
    """Three digits count picofarads (IEC 60062, from memory)."""
    assert reckon("marking-codes", capacitor_digits=digits)["digits_value"].value == pytest.approx(farads)
    assert reckon("marking-codes", capacitor=f"{farads * 1e12:.0f} pF")["capacitor_marking"].text == digits


@pytest.mark.parametrize(("fastener", "square_inches"), [("unc-6-32", 0.00909), ("unc-8-32", 0.01401), ("unc-4-40", 0.00604), ("unc-10-32", 0.01999)])
def test_stress_area_inch(reckon: Reckon, fastener: str, square_inches: float) -> None:
    """Screw torque reference, Pencom: printed stress areas; allow 0.2 % for its rounding."""
    assert reckon("torque", fastener=fastener)["stress_area"].value == pytest.approx(square_inches * 0.0254**2, rel=0.002)


@pytest.mark.parametrize(("fastener", "square_mm"), [("m3", 5.03), ("m4", 8.78), ("m5", 14.2), ("m6", 20.1)])
def test_stress_area_metric(reckon: Reckon, fastener: str, square_mm: float) -> None:
    """ISO 898-1:2013, nominal stress areas (from memory)."""
    assert reckon("torque", fastener=fastener)["stress_area"].value == pytest.approx(square_mm * 1e-6, rel=0.002)


def test_torque_units_against_pint(reckon: Reckon) -> None:
    """10 lbf in is 1.12985 N m; the 6-32 at 375 lbf and 0.2 is 10.35 lbf in (Pencom; nut factor from NASA RP-1228, memory)."""
    units: pint.UnitRegistry[Any] = pint.UnitRegistry()
    metric = units.Quantity(10, "force_pound * inch").to("newton * metre").magnitude
    got = reckon("torque", applied="10 lbf in", fastener="unc-6-32", nut_factor="0.2", fraction="75 %")
    assert got["applied_metric"].value == pytest.approx(metric, rel=1e-6)
    assert got["torque"].value == pytest.approx(units.Quantity(10.35, "force_pound * inch").to("newton * metre").magnitude, rel=0.002)


@pytest.mark.parametrize(("fastener", "printed", "near"), [("unc-6-32", 11, 1), ("unc-8-32", 19, 1)])
def test_routine_torque_is_a_sound_clamp(reckon: Reckon, fastener: str, printed: float, near: float) -> None:
    """Torque table C-1 citing ANSI B18.6.3-1972 (Digital Equipment): 11 and 19 lbf in for steel; neither passes the proof load."""
    for torque in (printed - near, printed + near):
        assert reckon("torque", fastener=fastener, applied=f"{torque} lbf in")["applied_share"].verdict.mark in ("good", "mind")


@pytest.mark.parametrize("wiring", ["parallel", "series"])
def test_nearest_pair_against_every_pair(reckon: Reckon, wiring: str) -> None:
    """No pair of E24 values, of all pairs over eleven decades (the eseries package's list), comes nearer to the value wanted."""
    values = np.array([value * 10.0**decade for decade in range(-2, 9) for value in eseries.series(eseries.E24)])
    one, two = np.meshgrid(values, values)
    every = one * two / (one + two) if wiring == "parallel" else one + two
    for target in (0.47, 1.03, 6.19, 23.7, 99, 101, 133, 252.5, 777, 1234, 4999, 8.05e3, 9.9e3, 44.2e3, 123.456e3, 1.07e6):
        got = reckon("resistors-parallel", wiring=wiring, target=f"{target} ohm")
        for value in (got["pair_one"].value, got["pair_two"].value):
            assert value == pytest.approx(eseries.find_nearest(eseries.E24, value), rel=1e-9)
        assert abs(got["pair_reached"].value - target) <= np.abs(every - target).min() * (1 + 1e-5) + 1e-9 * target, target


def test_clutch_line_against_scipy(reckon: Reckon) -> None:
    """Slope, intercept and scatter against scipy.stats.linregress; JCGM 100:2008 H.3 (from memory) as data, 1 added to each correction."""
    settings = [1.521, 2.012, 2.512, 3.003, 3.507, 3.999, 4.513, 5.002, 5.503, 6.010, 6.511]
    pulls = [0.829, 0.831, 0.834, 0.841, 0.836, 0.835, 0.844, 0.843, 0.841, 0.839, 0.840]
    got = reckon(
        "clutch-calibration", setting="; ".join(map(str, settings)), pull="; ".join(f"{p} N" for p in pulls), lever="1000 mm", wanted="0.84 N m"
    )
    line = linregress(settings, pulls)
    assert got["slope"].value == pytest.approx(line.slope, rel=1e-9)
    assert got["base"].value == pytest.approx(line.intercept, rel=1e-9)
    assert line.slope == pytest.approx(0.00218, abs=5e-6)  # as printed in H.3
    assert line.intercept - 1 == pytest.approx(-0.1712, abs=5e-5)
    rest = np.array(pulls) - line.intercept - line.slope * np.array(settings)
    assert got["scatter"].value == pytest.approx(math.sqrt(float(rest @ rest) / 9), rel=1e-9)
    assert got["scatter"].value == pytest.approx(0.0035, abs=5e-5)  # as printed in H.3


def test_clutch_with_a_heavy_lever(reckon: Reckon) -> None:
    """A level bar adds its weight at half its length (statics): 0.2 kg, 300 mm, 0.294 N m at every number."""
    light = reckon("clutch-calibration", lever="300 mm")
    heavy = reckon("clutch-calibration", lever="300 mm", own_mass="0.2 kg")
    assert heavy["base"].value - light["base"].value == pytest.approx(0.2 * 9.80665 * 0.15, rel=1e-9)
    assert heavy["slope"].value == pytest.approx(light["slope"].value, rel=1e-9)


@pytest.mark.parametrize("count", range(2, 25))
def test_order_is_fair(reckon: Reckon, count: int) -> None:
    """Each fastener once; the second lies as nearly opposite the first as can be (the sense of every cross pattern)."""
    order = [round(n) for n in reckon("tightening-order", fasteners=str(count))["order"].value]
    assert sorted(order) == list(range(1, count + 1))
    assert order[0] == 1
    if count > 3:
        assert abs(order[1] - 1 - count / 2) <= 0.5
    for one, next_one in itertools.pairwise(order):
        if count >= 6:
            assert min((next_one - one) % count, (one - next_one) % count) >= 2 or count == 6, order


def test_orders_of_the_trade(reckon: Reckon) -> None:
    """Common practice, no source: four cross-wise, eight star-wise."""
    assert reckon("tightening-order", fasteners="4")["order"].value == pytest.approx([1, 3, 2, 4])
    assert reckon("tightening-order", fasteners="8")["order"].value == pytest.approx([1, 5, 3, 7, 2, 6, 4, 8])


@pytest.mark.parametrize(("wiring", "groups"), [("series", [[0, 1, 2, 3]]), ("parallel", [[0], [1], [2], [3]]), ("strings", [[0, 1], [2, 3]]), ("groups", [[0, 1], [2, 3]])])
def test_cabinet_against_nodal_analysis(reckon: Reckon, wiring: str, groups: list[list[int]]) -> None:
    """Load and powers of four unlike speakers, from Kirchhoff's laws solved with NumPy."""
    ohms = [4.0, 8.0, 16.0, 6.0]
    got = reckon(
        "cabinets", ohms="; ".join(f"{r} ohm" for r in ohms), rating="50 W; 50 W; 50 W; 50 W", string="1; 1; 2; 2", wiring=wiring, power="40 W"
    )
    # branches between nodes; node 0 is ground, node 1 the hot terminal, node 2 and 3 inside
    ends = {
        "series": [(1, 2), (2, 3), (3, 4), (4, 0)], "parallel": [(1, 0)] * 4,
        "strings": [(1, 2), (2, 0), (1, 3), (3, 0)], "groups": [(1, 2), (1, 2), (2, 0), (2, 0)],
    }[wiring]
    nodes = max(max(pair) for pair in ends)
    matrix, source = np.zeros((nodes, nodes)), np.zeros(nodes)
    for (a, b), r in zip(ends, ohms, strict=True):
        for p, q in ((a, b), (b, a)):
            if p:
                matrix[p - 1, p - 1] += 1 / r
                if q:
                    matrix[p - 1, q - 1] -= 1 / r
    source[0] = 1.0
    volts = np.concatenate([[0.0], np.linalg.solve(matrix, source)])
    load = volts[1]
    assert got["load"].value == pytest.approx(load, rel=1e-9)
    powers = [40 * (volts[a] - volts[b]) ** 2 / r / load for (a, b), r in zip(ends, ohms, strict=True)]
    assert got["each"].value == pytest.approx(powers, rel=1e-9)
    assert sum(got["each"].value) == pytest.approx(40)


@pytest.mark.parametrize(("load", "tap", "mark"), [(8, 8, "good"), (16, 16, "good"), (5.333, 4, "mind"), (2, 4, "mind"), (1.5, 4, "stop"), (32, 16, "mind"), (40, 16, "stop")])
def test_tap_and_mismatch(reckon: Reckon, load: float, tap: float, mark: str) -> None:
    """Common practice, no source: nearest tap by ratio; a factor of two is bearable, more is not."""
    got = reckon("cabinets", ohms=f"{load} ohm", rating="100 W", string="1", wiring="parallel")
    assert got["tap"].value == tap
    assert got["mismatch"].verdict.mark == mark


def test_speaker_levels(reckon: Reckon) -> None:
    """Power ratios 2, 4 and 8 are 3.01, 6.02 and 9.03 dB (Malvino and Bates, 7th ed., example 16-4)."""
    for ratio, decibels in ((2, 3.01), (4, 6.02), (8, 9.03)):
        got = reckon("speaker-exchange", new_level="97 dB", old_level="97 dB", old_rating="10 W", new_rating=f"{10 * ratio} W")
        assert got["at_limits"].value == pytest.approx(decibels, abs=0.005)
    flattered = reckon("speaker-exchange", old_level="97 dB", new_level="100 dB", new_basis="volts", new_ohms="4 ohm")
    assert abs(flattered["change"].value) < 0.02  # 2.83 V into 4 ohm is 2 W


@pytest.mark.parametrize(("gauge", "millimetres", "ohms_per_km"), [(18, 1.0237, 20.95), (20, 0.8118, 33.31), (22, 0.6438, 52.96)])
def test_cable_against_the_gauge_formula(reckon: Reckon, gauge: int, millimetres: float, ohms_per_km: float) -> None:
    """ASTM B258 diameters, copper of 1.7241e-8 ohm m at 20 degrees (computed with the packages fluids and GNU units)."""
    got = reckon("speaker-cable", wire=str(gauge), length="10 m", load="8 ohm")
    assert got["resistance"].value == pytest.approx(0.02 * ohms_per_km, rel=0.001)
    assert got["area"].value == pytest.approx(math.pi / 4 * (millimetres * 1e-3) ** 2, rel=0.001)
    assert got["loss"].value == pytest.approx(-20 * math.log10(8 / (8 + 0.02 * ohms_per_km)), rel=0.001)


@pytest.mark.parametrize(("reading", "volts", "watts"), [("rms", 12.65, 20.0), ("peak_to_peak", 35.78, 20.0), ("peak_to_peak", 20, 6.25)])
def test_output_power(reckon: Reckon, reading: str, volts: float, watts: float) -> None:
    """Malvino and Bates, example 12-8: 20 V peak to peak in 8 ohm is 6.25 W; the rest by the power rule (NEETS, from memory)."""
    assert reckon("output-power", reading=reading, volts=f"{volts} V", load="8 ohm")["power"].value == pytest.approx(watts, rel=0.001)


@pytest.mark.parametrize(("primary", "secondary", "load", "seen"), [(500, 25, 8, 3200), (1500 / 10, 75 / 10, 8, 3200), (44.7214, 1, 4, 8000)])
def test_reflected_load(reckon: Reckon, primary: float, secondary: float, load: float, seen: float) -> None:
    """Kosow, 2nd ed., examples 14-3 and 14-5; Kumar and Jain, example 13.2."""
    got = reckon("output-transformer", primary_volts=f"{primary} V", secondary_volts=f"{secondary} V", load=f"{load} ohm")
    assert got["reflected"].value == pytest.approx(seen, rel=1e-4)


def test_estimate_holds_nine_in_ten(reckon: Reckon) -> None:
    """Sums of beta-distributed hours, drawn with NumPy: the range low..high holds about nine in ten.

    The three-point rule is Malcolm and others, Operations Research 7 (1959), from memory; this draws its own distribution.
    """
    work = [(0.5, 0.7, 1.2), (0.7, 1.0, 2.5), (0.3, 0.5, 0.7), (0.5, 1.0, 1.5)]
    columns = {name: "; ".join(f"{w[i]} h" for w in work) for i, name in enumerate(("least", "likely", "most"))}
    got = reckon("estimate", **columns, rate="60 /h", price="0", number="0", tax="0 %")
    draw = np.random.default_rng(7)
    total = np.zeros(20_000)
    for least, likely, most in work:
        ahead, behind = 1 + 4 * (likely - least) / (most - least), 1 + 4 * (most - likely) / (most - least)
        total += 60 * (least + (most - least) * draw.beta(ahead, behind, 20_000))
    inside = np.mean((total >= got["low"].value) & (total <= got["high"].value))
    assert 0.85 < inside < 0.96
    assert got["total"].value == pytest.approx(float(total.mean()), rel=0.01)
