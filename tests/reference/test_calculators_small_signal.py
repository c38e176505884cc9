"""Triode stage, couplings and bypasses against a circuit simulator, SciPy, Pint and printed rows."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pint
import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]

Reckon = Callable[..., dict[str, Any]]
Spice = Callable[[str], dict[str, float]]

# Koren's parameters, Glass Audio 8 (1996), Table 1 as re-issued with the errata.
LAWS = {"12ax7": (100, 1.4, 1060, 600, 300), "12at7": (60, 1.35, 460, 300, 300), "12au7": (21.5, 1.3, 1180, 84, 300)}
STAGE = """
Vb b 0 {supply}
Vin g 0 dc 0 ac 1
Rl b a {load}
Rk k 0 {cathode}
{bypass}
Rn a n 1m
X1 a g k triode mu={mu} ex={ex} kg1={kg1} kp={kp} kvb={kvb}
.control
op
print v(a) v(k)
ac lin 1 1k 1k
print vdb(a)
quit 0
.endc
"""


def stage(spice: Spice, tube: str, supply: float, load: float, cathode: float, bypassed: bool) -> dict[str, float]:
    mu, ex, kg1, kp, kvb = LAWS[tube]
    bypass = "Ck k 0 1" if bypassed else ""
    return spice(STAGE.format(supply=supply, load=load, cathode=cathode, bypass=bypass, mu=mu, ex=ex, kg1=kg1, kp=kp, kvb=kvb))


@pytest.mark.parametrize(("tube", "supply", "load", "cathode"), [
    ("12ax7", 300, 100e3, 1500), ("12ax7", 250, 220e3, 3300), ("12ax7", 300, 100e3, 820), ("12at7", 300, 47e3, 470), ("12au7", 250, 47e3, 1200), ("12au7", 300, 100e3, 2200),
])
def test_working_point_and_gain_against_ngspice(reckon: Reckon, spice: Spice, tube: str, supply: float, load: float, cathode: float) -> None:
    """Plate and cathode volts within 0.01 %, gain within 0.005 dB, bypassed and not."""
    at = stage(spice, tube, supply, load, cathode, True)
    bare = stage(spice, tube, supply, load, cathode, False)
    got = reckon("triode-stage", tube=tube, supply=f"{supply} V", plate_resistor=f"{load} ohm", cathode_resistor=f"{cathode} ohm", next_grid="1000 Mohm")
    assert got["plate_volts"].value == pytest.approx(at["v(a)"], rel=1e-4)
    assert got["cathode_volts"].value == pytest.approx(at["v(k)"], rel=1e-4)
    assert got["gain_level"].value == pytest.approx(at["vdb(a)"], abs=0.005)
    assert got["bare_level"].value == pytest.approx(bare["vdb(a)"], abs=0.005)
    shelf = reckon(
        "cathode-bypass", cathode_resistor=f"{cathode} ohm", plate_load=f"{load} ohm", amplification=repr(got["amplification"].value),
        inner_resistance=f"{got['inner_resistance'].value!r} ohm",
    )["shelf"].value
    assert shelf == pytest.approx(at["vdb(a)"] - bare["vdb(a)"], abs=0.01)


@pytest.mark.parametrize("tube", LAWS)
def test_working_point_against_a_root_finder(reckon: Reckon, tube: str) -> None:
    """SciPy's brentq on Koren's law written out anew, to 1e-9."""
    mu, ex, kg1, kp, kvb = LAWS[tube]

    def gap(current: float) -> float:
        plate, grid = 280 - current * 101.8e3, -current * 1.8e3
        drive = plate / kp * math.log1p(math.exp(kp * (1 / mu + grid / math.sqrt(kvb + plate**2))))
        return float(2 * drive**ex / kg1 - current)

    got = reckon("triode-stage", tube=tube, supply="280 V", plate_resistor="100 kohm", cathode_resistor="1.8 kohm")
    assert got["plate_current"].value == pytest.approx(brentq(gap, 0, 280 / 101.8e3, xtol=1e-15), rel=1e-9)


@pytest.mark.parametrize(("supply", "load", "cathode", "following", "milliamps", "gain"), [
    (250, 47, 1.2, 150, 3.02, 13.5), (300, 47, 1.2, 150, 3.65, 13.5), (250, 100, 2.2, 330, 1.63, 14), (350, 220, 3.9, 680, 1.16, 14.5),
])
def test_printed_amplifier_rows(reckon: Reckon, supply: float, load: float, cathode: float, following: float, milliamps: float, gain: float) -> None:
    """ECC82 data sheet, Philips 6.6.1959: what a real tube does; the law comes within 6 %."""
    got = reckon(
        "triode-stage", tube="12au7", supply=f"{supply} V", plate_resistor=f"{load} kohm", cathode_resistor=f"{cathode} kohm", next_grid=f"{following} kohm"
    )
    assert got["plate_current"].value * 1e3 == pytest.approx(milliamps, rel=0.06)
    assert got["gain"].value == pytest.approx(gain, rel=0.06)


def test_plate_at_the_supply_is_a_dead_stage(reckon: Reckon) -> None:
    """Common practice, no source: no drop across the plate resistor means no current."""
    assert reckon("triode-stage", found="299 V")["judged"].verdict.mark == "stop"
    assert reckon("triode-stage", found="203 V")["judged"].verdict.mark == "good"


COUPLING = """
V1 s 0 dc 0 ac 1
Rs s a {source}
C1 a o {farads}
Rl o 0 {leak}
.control
ac lin 1 {hertz} {hertz}
print vdb(o)
quit 0
.endc
"""


@pytest.mark.parametrize(("nanofarads", "source", "leak", "hertz"), [(22, 38e3, 1e6, 5), (4.7, 100e3, 220e3, 82.4), (100, 1e3, 470e3, 41.2)])
def test_coupling_loss_against_ngspice(reckon: Reckon, spice: Spice, nanofarads: float, source: float, leak: float, hertz: float) -> None:
    """The loss below midband at one note, by AC analysis."""
    level = spice(COUPLING.format(source=source, farads=nanofarads * 1e-9, leak=leak, hertz=hertz))["vdb(o)"]
    midband = 20 * math.log10(leak / (leak + source))
    got = reckon("coupling-corner", capacitor=f"{nanofarads} nF", source=f"{source} ohm", leak=f"{leak} ohm", note=f"{hertz} Hz")
    assert got["loss"].value == pytest.approx(midband - level, abs=1e-3)


def test_bypass_at_one_note_against_ngspice(reckon: Reckon, spice: Spice) -> None:
    """A 0.68 uF bypass at 82.4 Hz: how far below full gain, by AC analysis of the linear stage."""
    deck = """
V1 g 0 dc 0 ac 1
B1 i k V=-92.199*V(g,k)
Rp a i 50.2465k
Rl a 0 100k
Rk k 0 1.5k
Ck k 0 {farads}
.control
ac lin 1 82.4 82.4
print vdb(a)
quit 0
.endc
"""
    small, full = (spice(deck.format(farads=f))["vdb(a)"] for f in ("0.68u", "1"))
    got = reckon("cathode-bypass", changed="0.68 uF", amplification="92.199", inner_resistance="50.2465 kohm", note="82.4 Hz")
    assert got["new_loss"].value == pytest.approx(full - small, abs=1e-3)


def test_leak_of_a_divider(reckon: Reckon) -> None:
    """A 400 V divider read backwards gives its upper resistor (NEETS rule, from memory)."""
    got = reckon("leaky-coupling", plate_side="400 V", grid_found=f"{400 * 33 / 253} V", grid_meant="0 V", leak="33 kohm")
    assert got["leak_resistance"].value == pytest.approx(220e3, rel=1e-9)


def test_leak_between_published_points(reckon: Reckon) -> None:
    """EL84, Philips 1955: the grid lifted from -8.97 V to -7.3 V takes 31 mA to 48 mA; the sum comes within 5 % of the 17 mA."""
    got = reckon("leaky-coupling", tube="el84", grid_found="-7.3 V", grid_meant="-8.97 V", cathode_current="34.5 mA", screen_current="3.5 mA", plate_volts="250 V", cathode_volts="0 V")
    assert got["extra_current"].value == pytest.approx(0.017, rel=0.05)


@pytest.mark.parametrize(("upper", "lower", "meter"), [(1e6, 1e6, 10e6), (220e3, 33e3, 10e6), (100e3, 62e3, 1e6)])
def test_meter_loading_against_ngspice(reckon: Reckon, spice: Spice, upper: float, lower: float, meter: float) -> None:
    """What the simulator reads with the meter on, turned back into what stands there without it."""
    deck = f"V1 t 0 400\nR1 t n {upper}\nR2 n 0 {lower}\nRm n 0 {meter}\nR3 t f {upper}\nR4 f 0 {lower}\n.control\nop\nprint v(n) v(f)\nquit 0\n.endc\n"
    at = spice(deck)
    got = reckon("meter-loading", reading=f"{at['v(n)']} V", upper=f"{upper} ohm", lower=f"{lower} ohm", input_resistance=f"{meter} ohm")
    assert got["true_volts"].value == pytest.approx(at["v(f)"], rel=1e-5)


@pytest.mark.parametrize("volts", [0.001, 0.316227766, 0.7745966692, 1.0, 1.2277, 24.5])
def test_levels_against_pint(reckon: Reckon, volts: float) -> None:
    """dBm in 600 ohm and dBu, against Pint's own logarithmic units."""
    units: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    milliwatts = volts**2 / 600 * 1e3
    expected = units.Quantity(milliwatts, "milliwatt").to("dBm").magnitude
    got = reckon("levels", volts=f"{volts} V", load="600 ohm")
    assert got["dbm"].value == pytest.approx(expected, abs=1e-9)
    assert got["dbu"].value == pytest.approx(expected, abs=1e-9)  # the same by definition in 600 ohm
    back = reckon("levels", given="dbu", level=f"{expected:.9f} dB")
    assert back["rms"].value == pytest.approx(volts, rel=1e-8)
