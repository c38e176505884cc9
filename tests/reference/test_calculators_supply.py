"""Supply sums against a circuit simulator, text-book examples and preferred-number packages."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import eseries  # type: ignore[import-untyped]
import pytest

Reckon = Callable[..., dict[str, Any]]
Spice = Callable[[str], dict[str, float]]

# Two ideal half windings, silicon diodes, capacitor input; the last 0.4 s of 2.5 s are steady.
CAPACITOR_INPUT = """
V1 a 0 sin(0 {peak} {hertz})
V2 b 0 sin(0 {peak} {hertz} 0 0 180)
R1 a c {ohms}
R2 b d {ohms}
D1 c o silicon
D2 d o silicon
.model silicon d(is=1e-9 n=1.8)
C1 o 0 {farads} ic={start}
RL o 0 {load}
.tran 20u 2.5 2.1 20u uic
.control
run
meas tran level avg v(o) from=2.1 to=2.5
meas tran swing pp v(o) from=2.1 to=2.5
quit 0
.endc
"""


def steady(spice: Spice, volts: float, hertz: float, ohms: float, farads: float, load: float) -> tuple[float, float]:
    """Direct volts and peak-to-peak ripple by ngspice."""
    deck = CAPACITOR_INPUT.format(peak=volts * math.sqrt(2), hertz=hertz, ohms=ohms, farads=farads, load=load, start=1.2 * volts)
    got = spice(deck)
    return got["level"], got["swing"]


@pytest.mark.parametrize(("volts", "hertz", "ohms", "farads", "load"), [
    (300, 60, 75, 32e-6, 3600), (325, 50, 100, 47e-6, 2800), (250, 50, 60, 47e-6, 6000), (400, 60, 200, 40e-6, 4000),
])
def test_ripple_against_ngspice(reckon: Reckon, spice: Spice, volts: float, hertz: float, ohms: float, farads: float, load: float) -> None:
    """Direct volts within 1 % and ripple within 3 % of the simulated steady state; the quick rule is an upper bound."""
    level, swing = steady(spice, volts, hertz, ohms, farads, load)
    got = reckon(
        "ripple", winding=f"{volts} V", frequency=f"{hertz} Hz", source=f"{ohms} ohm", capacitor=f"{farads * 1e6} uF", current=f"{level / load * 1e3} mA", drop="0.8 V"
    )
    assert got["direct_volts"].value == pytest.approx(level, rel=0.01)
    assert got["ripple"].value == pytest.approx(swing, rel=0.03)
    assert got["ripple_quick"].value > swing


def test_rectifier_limits(reckon: Reckon) -> None:
    """EZ80, Mazda 1963: 50 uF and 270 mA are its limits; being on the limit is not being over it."""
    at = {"rectifier": "rectifier", "tube": "ez80", "winding": "250 V", "source": "400 ohm", "current": "90 mA", "drop": "20 V"}
    assert reckon("ripple", **at, capacitor="50 uF")["capacitor_use"].verdict.mark == "good"
    assert reckon("ripple", **at, capacitor="100 uF")["capacitor_use"].verdict.mark == "stop"
    assert reckon("ripple", **{**at, "source": "20 ohm"})["peak_current"].verdict.mark == "stop"


def test_sag_between_and_beyond(reckon: Reckon, spice: Spice) -> None:
    """Between the two loads the straight line holds within 0.5 %; at light load the real supply stands higher (ngspice)."""
    supply = (325.0, 50.0, 100.0, 47e-6)
    volts = {load: steady(spice, *supply, load)[0] for load in (2800, 4000, 5600, 20000)}
    amps = {load: v / load for load, v in volts.items()}
    given = {
        "light_volts": f"{volts[5600]} V", "light_current": f"{amps[5600]:.10g} A", "heavy_volts": f"{volts[2800]} V", "heavy_current": f"{amps[2800]:.10g} A",
    }
    between = reckon("supply-sag", **given, other_current=f"{amps[4000]:.10g} A")["other_volts"].value
    assert between == pytest.approx(volts[4000], rel=0.005)
    light = reckon("supply-sag", **given, other_current=f"{amps[20000]:.10g} A")["other_volts"].value
    assert light < volts[20000]


def test_sag_of_a_divider(reckon: Reckon) -> None:
    """Open and loaded volts of a 400 V divider give its two resistors in parallel (Thevenin, from memory)."""
    open_volts = 400 * 33 / 253
    source = 220e3 * 33e3 / 253e3
    load = 100e3
    loaded = open_volts * load / (load + source)
    got = reckon("supply-sag", light_volts=f"{open_volts:.12g} V", light_current="0 mA", heavy_volts=f"{loaded:.12g} V", heavy_current=f"{loaded / load:.10g} A")
    assert got["source_resistance"].value == pytest.approx(source, rel=1e-9)


@pytest.mark.parametrize(("drop", "milliamps"), [(100, 3.1), (61, 17), (142, 1.07), (18, 40), (7.4, 10)])
def test_nearest_value_against_eseries(reckon: Reckon, drop: float, milliamps: float) -> None:
    """The nearest E12 value, against the PyPI package eseries (IEC 60063)."""
    got = reckon("dropping-resistor", from_volts=f"{200 + drop} V", to_volts="200 V", current=f"{milliamps} mA")
    wanted = drop / milliamps * 1e3
    assert got["resistor"].value == pytest.approx(wanted, rel=1e-12)
    assert got["nearest"].value == pytest.approx(eseries.find_nearest(eseries.E12, wanted), rel=1e-9)


@pytest.mark.parametrize(("heat", "rating"), [(0.2, 0.5), (0.25, 0.5), (0.832, 2), (1.0, 2), (2.4, 5), (6, 25)])
def test_rating_with_twice_the_margin(reckon: Reckon, heat: float, rating: float) -> None:
    """EL84 pair, Philips 1955: 0.832 W wants 2 W; the rule itself (twice) is common practice."""
    got = reckon("dropping-resistor", from_volts="110 V", to_volts="10 V", current=f"{heat * 10} mA")
    assert got["rating"].value == rating


@pytest.mark.parametrize(("mains", "mark"), [(114, "good"), (126, "good"), (132.5, "stop"), (107, "stop"), (127, "mind")])
def test_mains_bands(reckon: Reckon, mains: float, mark: str) -> None:
    """ANSI C84.1 range A (from memory): 114 to 126 V is plus or minus 5 % of 120 V."""
    assert reckon("mains-scaling", chart_mains="120 V", mains=f"{mains} V")["heater_now"].verdict.mark == mark


def test_vintage_primary_on_todays_mains(reckon: Reckon) -> None:
    """A 117 V primary on 126 V: 6.3 V becomes 6.785 V and 350 V becomes 376.9 V (own arithmetic on ANSI C84.1)."""
    got = reckon("mains-scaling", chart_mains="117 V", mains="126 V", chart="350 V; -45 V", spread="10 %; 10 %", found="377 V; -48.5 V")
    assert got["expected"].value == pytest.approx([376.923, -48.4615], rel=1e-5)
    assert got["low"].value[1] < -48.4615 < got["high"].value[1]
    assert got["heater_now"].value == pytest.approx(6.785, abs=0.001)
    assert got["farthest"].verdict.mark == "good"


def test_heater_budget_of_published_tubes(reckon: Reckon) -> None:
    """Two EL84 (0.76 A, Philips 1955) and three 12AX7 (0.3 A, Sylvania) draw 2.42 A."""
    got = reckon("heater-budget", amps="0.76 A; 0.3 A", number="2; 3", winding="2.42 A")
    assert got["total"].value == pytest.approx(2.42)
    assert got["use"].verdict.mark != "stop"  # at the rating is not over it
    assert reckon("heater-budget", amps="0.76 A; 0.3 A; 1.1 A", number="2; 3; 1", winding="3 A")["use"].verdict.mark == "stop"
