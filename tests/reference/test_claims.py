"""Spot checks of what the reference shelf says in words: at least twelve claims of each kind, each with what it was checked against.

A claim is a phrase that must stand in the entry, and a figure in it that must come out of arithmetic, a law or a published value.
Published figures of tubes stand in ``test_tube_claims``; the sums of calculators against outside references in ``test_calculators_*``.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from math import exp, isclose, log, log10, pi, sqrt
from pathlib import Path
from typing import Any

import pytest

from benchlore.entries.fastener import Fastener
from benchlore.linking.library import Library
from benchlore.quantity import Quantity

Reckon = Callable[..., dict[str, Any]]
Spice = Callable[[str], dict[str, float]]
REFERENCE = Path(__file__).resolve().parents[2] / "kb" / "reference"
WORKSHOP = REFERENCE.parent / "workshop"
LB_IN = 0.1129848  # N m in a pound-force inch, by definition of pound and inch

RC, OHM, RIPPLE = "t = RC ln(V0/V)", "Ohm's law", "Malvino and Bates, Electronic Principles, 7th ed., example 4-8: I/(2fC)"
KOSOW = "Kosow, Electric Machinery and Transformers, 2nd ed., example 14-3: ratio squared times the load"
PITCH = "equal temperament from A = 440 Hz"
RESONANCE = "f = 1/(2 pi R C)"

# kind, entry, the phrase that says it, what it comes to, the figure in the phrase, how near, checked against
SAID = [
    # ---- faults
    ("faults", "bias-capacitor-dried", "lowers 10 uF by 1.7 V", 1e-3 / 60 / 10e-6, 1.7, 0.05, "half-wave ripple, I/(fC)"),
    ("faults", "filter-dried", "40 uF leave about 21 V", 0.1 / (2 * 60 * 40e-6), 21, 0.3, RIPPLE),
    ("faults", "filter-dried", "10 uF about 83 V", 0.1 / (2 * 60 * 10e-6), 83, 0.5, RIPPLE),
    ("faults", "coupling-leaky-output", "is 0.55 V at the grid", 250 * 0.22 / 100.22, 0.55, 0.005, "divider"),
    ("faults", "coupling-leaky-output", "a leak over 2500 Mohm at 250 V", 10 * (250 - 1) / 1, 2500, 20, "1 V on a 10 Mohm meter"),
    ("faults", "coupling-leaky-preamp", "100 megohms at 200 V puts 2 V", 200 / 101, 2, 0.03, "divider"),
    ("faults", "coupling-open", "1 nF to 160 Hz", 1 / (2 * pi * 1e6 * 1e-9), 160, 1, RESONANCE),
    ("faults", "cathode-bypass-dried", "amplifies 61 times", 100 * 100 / (100 + 62.5), 61, 0.6, "mu 100, ra 62.5k of the Sylvania sheet"),
    ("faults", "cathode-bypass-dried", "it and 32 times without", 100 * 100 / (162.5 + 101 * 1.5), 32, 0.3, "the same, (mu + 1) Rk in series"),
    ("faults", "cathode-resistor-open", "makes 0.83 W", 0.08**2 * 130, 0.83, 0.005, "EL84 sheet: 80 mA in 130 ohm"),
    ("faults", "screen-resistor-open", "takes 3.3 W", 300 * 0.011, 3.3, 0.01, "EL84 sheet 4: 11 mA at 300 V"),
    ("faults", "mains-capacitor-to-chassis", "pass 2.1 mA at 120 V 60 Hz", 2e3 * pi * 60 * 47e-9 * 120, 2.1, 0.05, "2 pi f C V"),
    ("faults", "mains-capacitor-to-chassis", "3.4 mA at 230 V 50 Hz", 2e3 * pi * 50 * 47e-9 * 230, 3.4, 0.05, "2 pi f C V"),
    ("faults", "mains-fuse-wrong", "0.43 A at 230 V", 100 / 230, 0.43, 0.006, "power over volts"),
    ("faults", "mains-selector-wrong", "gives 6.78 V where 6.3", 6.3 * 126 / 117, 6.78, 0.01, "ratio, ANSI C84.1 range A"),
    ("faults", "mains-switch-failed", "makes 0.7 W", (100 / 120) ** 2, 0.7, 0.01, OHM),
    ("faults", "output-selector-worn", "make nearly 2 W", 0.3 * 50 / 8, 2, 0.15, OHM),
    ("faults", "speaker-jack-corroded", "8 ohm 2.5 A flow", sqrt(50 / 8), 2.5, 0.01, OHM),
    ("faults", "rectifier-diode-shorted", "990 V for 2 x 350 V", 2 * sqrt(2) * 350, 990, 1, "twice the peak of a half winding"),
    ("faults", "dropper-drifted", "at 15k it drops 60 V", 15e3 * 4e-3, 60, 0.1, OHM),
    ("faults", "filter-shorted", "16 W in a resistor", 400**2 / 10e3, 16, 0.1, OHM),
    ("faults", "low-voltage-regulator-failed", "has to burn 3.4 W", (350 - 15) * 10e-3, 3.4, 0.06, OHM),
    ("faults", "heater-dc-rectifier-failed", "from 1.8 V on 4700", 1 / (2 * 60 * 4700e-6), 1.8, 0.05, RIPPLE),
    ("faults", "switching-supply-low", "8.3 V on 100", 0.1 / (2 * 60 * 100e-6), 8.3, 0.05, RIPPLE),
    ("faults", "heater-lead-dress", "passes about 1.2 nA", 2e9 * pi * 60 * 1e-12 * 3.15, 1.2, 0.02, "2 pi f C V"),
    ("faults", "supply-decoupling-open", "everything below 16 Hz", 1 / (2 * pi * 10e3 * 1e-6), 16, 0.2, RESONANCE),
    ("faults", "tremolo-oscillator-weak", "speed is about 3 Hz", 1 / (2 * pi * sqrt(6) * 1e6 * 22e-9), 3, 0.06, "phase-shift oscillator"),
    ("faults", "tube-gassy", "5 microamperes through 220k are 1.1 V", 5e-6 * 220e3, 1.1, 0.01, OHM),
    ("faults", "tube-mismatched-pair", "which is 18.7 % of the mean", 100 * 7 / 37.5, 18.7, 0.05, "difference over mean"),
    ("faults", "plate-resistor-noisy", "about 6 microvolts", 1e6 * sqrt(4 * 1.380649e-23 * 298 * 1e5 * 2e4), 6, 0.35, "4kTRB, CODATA k"),
    ("faults", "output-transformer-shorted-turns", "Fifty shorted turns load the whole primary like 36k", 600 * 3000 / 50, 36e3, 1, KOSOW),
    ("faults", "output-transformer-shorted-turns", "fifty shorted turns take 4.4 W", 400**2 / 36e3, 4.4, 0.05, OHM),
    ("faults", "output-transformer-half-open", "6.3 V on one half gives about 0.44 V", 6.3 * 2 / sqrt(6600 / 8), 0.44, 0.005, KOSOW),
    ("faults", "output-transformer-half-open", "makes some 29 V across the primary", sqrt(6600 / 8), 29, 0.5, KOSOW),
    # ---- procedures
    ("procedures", "making-safe", "under 5 V after 4.5 s", 10e3 * 100e-6 * log(450 / 5), 4.5, 0.01, RC),
    ("procedures", "making-safe", "gives 45 mA at first", 1e3 * 450 / 10e3, 45, 0.1, OHM),
    ("procedures", "making-safe", "10 J in all", 100e-6 * 450**2 / 2, 10, 0.2, "E = CV²/2"),
    ("procedures", "making-safe", "20 W at the first instant", 450**2 / 10e3, 20, 0.3, OHM),
    ("procedures", "output-transformer-testing", "makes about 176 V", 6.3 * 28, 176, 0.5, KOSOW),
    ("procedures", "output-transformer-testing", "gives 28 to 1 and about 6.3 kilohm", (6.30 / 0.225) ** 2 * 8 / 1e3, 6.3, 0.03, KOSOW),
    ("procedures", "output-transformer-testing", "gives 0.71 of the 8 ohm", sqrt(4 / 8), 0.71, 0.005, KOSOW),
    ("procedures", "output-transformer-testing", "change the ohms by 1.7 %", 100 * 50 / 3000, 1.7, 0.05, "share of the turns"),
    ("procedures", "output-transformer-testing", "10 H has 63 kilohm at 1 kHz", 2 * pi * 10, 63, 0.5, "2 pi f L"),
    ("procedures", "output-transformer-testing", "keeps about a quarter", abs(1 / (1 + 47 * (1 / 18 + 1 / 62.8j))), 0.25, 0.03, "47k into 18k beside 10 H"),
    ("procedures", "idle-measuring", "gives 14.3 W", (355 - 15) * (0.045 - 0.003), 14.3, 0.03, "plate volts less cathode volts, cathode less screen current"),
    ("procedures", "idle-measuring", "gives 16.0 W", 355 * 0.045, 16.0, 0.03, "the product that forgets both"),
    ("procedures", "idle-measuring", "about 0.39 % for each degree C", 100 / (234.5 + 20), 0.39, 0.005, "copper: zero ohms at -234.5 C by the IACS line"),
    ("procedures", "signal-tracing", "four looks find one stage in sixteen", log(16) / log(2), 4, 0.001, "halving"),
    ("procedures", "tightening-in-order", "assembly torque of a screw in aluminium is 65 %", 100 * 22.2 / 34.2, 65, 0.2, "NASA/TM-2017-219475"),
    ("procedures", "speaker-exchanging", "3 dB more sensitivity is heard like twice", 10 ** (3 / 10), 2, 0.01, "10 log10 of powers"),
    # ---- stages
    ("stages", "heater-ac", "6.3 V heaters within 5 %", 6.3 * 1.05, 6.6, 0.03, "five per cent; the figure's upper end"),
    ("stages", "heater-dc", "11.9..13.2 V", 12.6 * 1.05, 13.2, 0.04, "five per cent; the figure's upper end"),
    ("stages", "rectifier-solid-state", "141 % only without load", 100 * sqrt(2), 141, 0.5, "peak of a sine"),
    # ---- symptoms
    ("symptoms", "ghost-notes", "120 Hz ripple gives 320 and 560 Hz", 440 + 120, 560, 0, "sum and difference"),
    ("symptoms", "ghost-notes", "100 Hz ripple 340 and 540 Hz", 440 - 100, 340, 0, "sum and difference"),
    ("symptoms", "hum-buzz-120", "is 98.0 Hz", 440 * 2 ** (-26 / 12), 98.0, 0.05, f"{PITCH}, G2"),
    ("symptoms", "hum-buzz-120", "seventh fret 123.5 Hz", 440 * 2 ** (-22 / 12), 123.5, 0.05, f"{PITCH}, B2"),
    ("symptoms", "hum-steady-low", "A is 49.0 Hz", 440 * 2 ** (-38 / 12), 49.0, 0.05, f"{PITCH}, G1"),
    ("symptoms", "hum-steady-low", "B flat 58.3 Hz", 440 * 2 ** (-35 / 12), 58.3, 0.05, f"{PITCH}, B flat 1"),
    ("symptoms", "hum-steady-low", "B 61.7 Hz", 440 * 2 ** (-34 / 12), 61.7, 0.05, f"{PITCH}, B1"),
    ("symptoms", "hum-steady-low", "50 Hz lies near a G", 12 * log(50 / 49.0) / log(2), 0, 0.5, "within half a semitone"),
    ("symptoms", "hum-steady-low", "both below the lowest string of a guitar", 440 * 2 ** (-29 / 12), 82.4, 0.05, f"{PITCH}, E2, above 61.7 Hz"),
    ("symptoms", "plate-volts-high", "has 7.7 % too much", 100 * (126 / 117 - 1), 7.7, 0.02, "ratio of the mains"),
    ("symptoms", "plate-volts-high", "114 to 126 V", 120 * 1.05, 126, 0, "ANSI C84.1 range A, 5 %"),
    ("symptoms", "chassis-tingle", "0.7 mA peak AC", 0.35 / 500 * 1e3, 0.7, 0, "IEC 60065 as quoted: 0.35 V peak on the 500 ohm network"),
    ("symptoms", "chassis-tingle", "2 mA DC", 1.0 / 500 * 1e3, 2, 0, "IEC 60065 as quoted: 1.0 V on the 500 ohm network"),
    # ---- terms
    ("terms", "idle-share", "13 W is 108 % of 12 W", 100 * 13 / 12, 108, 0.5, "share"),
    ("terms", "idle-share", "93 % of 14 W", 100 * 13 / 14, 93, 0.5, "share"),
    ("terms", "gain", "20 dB is ten times", 10 ** (20 / 20), 10, 0, "20 log10 of volts"),
    ("terms", "corner-frequency", "down by 3 dB", -20 * log10(1 / sqrt(2)), 3, 0.02, "equal resistance and reactance"),
    ("terms", "impedance", "8 ohm measures about 6 to 7 ohm", 8 * (2 / 3 + 0.9) / 2, 6.5, 0.5, "middle of two thirds to nine tenths, common practice"),
    ("terms", "ripple", "twice mains frequency after full-wave", 2, 2, 0, RIPPLE),
    ("terms", "taper", "all its loudness in the first quarter", -20 * log10(0.25), 12, 0.1, "a quarter turn is only 12 dB down"),
    ("terms", "coupling-capacitor", "A leak of a microampere or two is enough", 1.5e-6 * 220e3, 0.33, 0.01, "volts on 220k"),
    ("terms", "stored-charge", "enough to kill", 100e-6 * 450**2 / 2, 10, 0.2, "10 J, E = CV²/2"),
]


def text_of(kind: str, entry: str) -> str:
    """An entry as it is written, white space joined, so that a phrase may run over a line end."""
    return re.sub(r"\s+", " ", (REFERENCE / kind / f"{entry}.yaml").read_text(encoding="utf-8")).replace("''", "'")


@pytest.mark.parametrize(("kind", "entry", "phrase", "got", "printed", "near", "against"), SAID, ids=[f"{c[1]}-{i}" for i, c in enumerate(SAID)])
def test_what_an_entry_says_comes_out(kind: str, entry: str, phrase: str, got: float, printed: float, near: float, against: str) -> None:
    """The phrase stands in the entry, and its figure agrees with the outside sum."""
    assert phrase in text_of(kind, entry), "the claim was reworded: check it again"
    assert abs(got - printed) <= near, against


def test_at_least_twelve_claims_of_each_kind() -> None:
    """Stages reach theirs with the published points below, terms with the tubes; fasteners and calculators have tables of their own."""
    counted = {kind: sum(claim[0] == kind for claim in SAID) for kind in ("faults", "procedures", "symptoms", "terms", "stages")}
    counted["stages"] += len(STAGES)
    counted["terms"] += len(TERMS_OF_TUBES)
    assert {kind: number for kind, number in counted.items() if number < 12} == {}


# ---- terms: what they say of a tube, against the tube's own entry, whose pins and figures were read
TERMS_OF_TUBES = [
    ("suppressor", "on pin 1 in an [EL34]", "el34", lambda tube: tube.pins["1"] == "g3"),
    ("heater", "as in a 5Y3GT", "5y3gt", lambda tube: tube.pins["2"] == tube.pins["8"] == "f"),
    ("beam-tube", "6L6GC, 6V6GT, KT88", "kt88", lambda tube: tube.construction == "beam tetrode"),
    ("cathode-follower", "stands at 100 to 200 V", "12ax7", lambda tube: 100 < tube.ratings[0].heater_cathode_volts.value < 200),
]


@pytest.mark.parametrize(("term", "phrase", "tube", "holds"), TERMS_OF_TUBES, ids=[t[0] for t in TERMS_OF_TUBES])
def test_what_a_term_says_of_a_tube(library: Library, term: str, phrase: str, tube: str, holds: Callable[[Any], bool]) -> None:
    """The phrase stands in the term and the tube agrees."""
    assert phrase in text_of("terms", term)
    assert holds(library.tubes[tube])


# ---- stages: ranges that the bench may trust, against published points and a simulation of Koren's laws
STAGES = [
    ("rectifier-solid-state", 0, 100 * 380.50 / 300, "ngspice, 2 x 300 V, 75 ohm, 32 uF, 106 mA"),
    ("rectifier-solid-state", 0, 100 * 394.93 / 325, "ngspice, 2 x 325 V, 100 ohm, 47 uF, 141 mA"),
    ("rectifier-solid-state", 1, 20.4, "ngspice, the same: volts peak to peak"),
    ("rectifier-tube", 0, 100 * 265 / 250, "EZ80 data sheet, Mazda, 1963"),
    ("rectifier-tube", 0, 100 * 360 / 350, "EZ80 data sheet, Mazda, 1963"),
    ("cathode-bias-output", 0, 130 * 2 * 0.040, "EL84 sheet 4, 300 V pair"),
    ("cathode-bias-output", 0, 200 * 0.087, "KT66 data sheet, a resistor each"),
    ("single-ended-output", 0, 135 * 0.0535, "EL84 sheet 2"),
    ("single-ended-output", 0, 167 * 0.0804, "SV6L6GC data sheet"),
    ("fixed-bias-unadjusted", 0, -37, "SV6L6GC data sheet, 450 V pair"),
    ("fixed-bias-adjustable", 0, -48, "6550-A, General Electric, 1972"),
]


@pytest.mark.parametrize(("stage", "figure", "value", "against"), STAGES)
def test_a_stage_s_usual_range_holds_the_published_point(library: Library, stage: str, figure: int, value: float, against: str) -> None:
    """A published or simulated case lies inside the range that the stage calls usual."""
    usual = library.stages[stage].figures[figure].value
    assert isinstance(usual, Quantity)
    scale = 100 if usual.unit == "%" else 1
    assert scale * usual.low <= value <= scale * usual.high, against


@pytest.mark.parametrize("supply", [220, 250, 300, 350])
def test_a_gain_stage_reads_as_the_stage_says(spice: Spice, supply: int) -> None:
    """100k and 1.5k with Koren's 12AX7: plate at 55 to 75 % of its node, cathode at 1.1 to 1.8 V, by ngspice."""
    got = spice(f"VB b 0 {supply}\nRL b a 100k\nX1 a 0 k triode\nRK k 0 1.5k\n.control\nop\nprint v(a) v(k)\nquit 0\n.endc")
    assert 0.55 <= got["v(a)"] / supply <= 0.75
    assert 1.0 <= got["v(k)"] <= 1.8


def test_the_driven_side_of_a_long_tailed_pair_gains_more(spice: Spice) -> None:
    """Why one plate resistor is made smaller: 100k on both sides, Koren's 12AX7 twice, by ngspice."""
    deck = "VB b 0 330\nR1 b p 100k\nR2 b q 100k\nX1 p g k triode\nX2 q h k triode\nRt k 0 10.5k\nVh h 0 20\nVg g h {drive}\n"
    tail = ".control\nop\nprint v(p) v(q)\nquit 0\n.endc"
    still, driven = spice(deck.format(drive=0) + tail), spice(deck.format(drive=0.1) + tail)
    first, second = still["v(p)"] - driven["v(p)"], driven["v(q)"] - still["v(q)"]
    assert 1.0 < first / second < 1.35


# ---- fasteners: every torque that was worked out, and what was read
@pytest.mark.parametrize("fastener", [
    "unc-4-40", "unc-6-32", "unc-8-32", "unc-10-24", "unc-10-32", "unc-1-4-20", "m3", "m4", "m5", "m6", "m8",
])
def test_worked_out_torques(library: Library, fastener: str) -> None:
    """T = K D F with K 0.2 at 75 % of proof on the stress area of ASME B1.1 or ISO 898-1 (formulas from memory)."""
    entry = library.fasteners[fastener]
    (stated,) = [t.torque.value for t in entry.tightness if any(s.known == "computed" for s in t.sources)]
    assert isclose(stated, 0.2 * entry.diameter.value * 0.75 * entry.proof_stress.value * stress_area(entry), rel_tol=0.03)


def stress_area(entry: Fastener) -> float:
    """Tensile stress area in square metres."""
    reach = 0.9743 if entry.system == "inch" else 0.9382
    return pi / 4 * (entry.diameter.value - reach * entry.pitch.value) ** 2


@pytest.mark.parametrize(("thread", "area"), [("unc-4-40", 0.00604), ("unc-6-32", 0.00909), ("unc-8-32", 0.01401), ("unc-10-32", 0.01999)])
def test_stress_areas_read(library: Library, thread: str, area: float) -> None:
    """Pencom, screw torque reference: square inches."""
    assert stress_area(library.fasteners[thread]) / 0.0254**2 == pytest.approx(area, rel=0.003)


@pytest.mark.parametrize(("thread", "middle"), [("unc-4-40", 4), ("unc-6-32", 11), ("unc-8-32", 19), ("unc-10-32", 25)])
def test_torques_read(library: Library, thread: str, middle: float) -> None:
    """Digital Equipment Corporation, line printer specifications, table C-1, each within 1 lbf in; the procedures say the same."""
    first = library.fasteners[thread].tightness[0].torque
    assert (first.low / LB_IN, first.high / LB_IN) == pytest.approx((middle - 1, middle + 1), rel=1e-4)
    assert f"{middle} {'lbf in ' if middle == 4 else ''}on {thread[4:]}" in text_of("procedures", "tightening-in-order")


@pytest.mark.parametrize(("fastener", "phrase", "millimetres"), [
    ("unc-6-32", "5/16 in is 7.94 mm", 25.4 * 5 / 16), ("unc-4-40", "4-40 is 2.84 mm", 25.4 * 0.112), ("m4", "8-32 is 4.17 mm", 25.4 * 0.164),
    ("m5", "10-32 screw (4.83 mm", 25.4 * 0.190), ("m6", "1/4-20 is 6.35 mm", 25.4 / 4), ("unc-8-32", "11/32 in is 8.73 mm", 25.4 * 11 / 32),
    ("setscrew-6-32", "1/16 in is 1.59 mm", 25.4 / 16), ("unc-1-4-20", "7/16 in is 11.1 mm", 25.4 * 7 / 16),
])
def test_sizes_that_pass_for_each_other(fastener: str, phrase: str, millimetres: float) -> None:
    """Inch sizes in millimetres, 25.4 to the inch by definition."""
    assert phrase in text_of("fasteners", fastener)
    said = re.findall(r"([\d.]+) mm", phrase)[-1]
    assert float(said) == pytest.approx(millimetres, abs=0.5 * 10 ** -len(said.partition(".")[2]))


# ---- calculators that no other test of this folder reckons
def test_calculators_not_tried_elsewhere(reckon: Reckon) -> None:
    """A text-book discharge, Radiotron's way to plate heat, the EL84 sheet's 300 V pair, and a parallel circuit."""
    waited = reckon("capacitor-discharge", volts="450 V", capacitance="100 uF", resistor="220k", safe="60 V")
    assert waited["wait"].value == pytest.approx(0.22e6 * 100e-6 * log(450 / 60), rel=1e-6)
    assert 450 * exp(-waited["wait"].value / waited["constant"].value) == pytest.approx(60)
    idle = reckon("idle-dissipation", tube="6v6gt", plate_volts="355 V", sense_volts="15 V", sense_resistor="333.333 ohm", screen_current="3 mA")
    assert idle["plate_power"].value == pytest.approx(14.28, rel=1e-4)
    pair = reckon("idle-shared-cathode", plate_volts="310.4 V", cathode_volts="10.4 V", cathode_resistor="130 ohm", screen_current="4 mA")
    assert pair["plate_power"].value == pytest.approx(10.8, rel=1e-3)
    assert reckon("resistors-parallel", ohms="470 ohm; 470 ohm; 1k")["total"].value == pytest.approx(1 / (2 / 470 + 1 / 1000), rel=1e-9)


# ---- the demonstration shop: figures that must hang together
def test_full_power_is_volts_squared_over_ohms() -> None:
    """Every family's 'so many volts into so many ohms is the full power'."""
    said = [found for path in sorted((WORKSHOP / "families").glob("*.yaml")) for found in re.findall(r"([\d.]+) V into ([\d.]+) ohm.*?full ([\d.]+) W", path.read_text())]
    assert len(said) >= 12
    assert all(float(volts) ** 2 / float(ohms) == pytest.approx(float(watts), rel=0.03) for volts, ohms, watts in said)


def test_idle_shares_of_findings() -> None:
    """What a finding says of the idle afterwards agrees with its own volts, currents and the family's tube."""
    from benchlore.linking.link import link
    from benchlore.reading.shelf import read_shelves

    reading = read_shelves([REFERENCE, WORKSHOP])
    library = link(reading.entries, reading.broken).library
    said = 0
    for finding in library.findings.values():
        found = re.search(r"Idle afterwards (\d+) (?:to|and) (\d+) mA at (\d+) V, (\d+) %", finding.fix or "")
        if found is None:
            continue
        low, high, volts, share = map(float, found.groups())
        idle = library.families[finding.family].idle
        tube = library.tubes[idle.tube]
        limit = next(r.plate_dissipation.value for r in tube.ratings if r.key == tube.judged_by)
        amperes = (low + high) / 2000 - idle.screen_current.value
        got = 100 * (volts - idle.cathode_volts.value) * amperes / limit
        assert got == pytest.approx(share, abs=3), finding.id
        said += 1
    assert said >= 12
