"""Published figures of tubes: what the sheets print, written here by hand, against what the entries say.

Only figures that were seen on a sheet or in a retyped copy of it stand here. An entry's figure whose source is ``known: memory`` is
not tested: nobody held the sheet, and the entry says so.
"""

from __future__ import annotations

import pytest

from benchlore.entries.common import Source
from benchlore.entries.tube import Point, Rating
from benchlore.linking.library import Library
from benchlore.quantity import Quantity

EL84 = "EL84 data sheet, Philips, sheets 3.3.1955 and 11.11.1953"
GE_6550A = "6550-A Beam Pentode, General Electric, April 1972, pages 2-3"
SV_6L6GC = "SV6L6GC data sheet, Svetlana, 2001, typical operation"
KT66 = "KT66 Output Tetrode, Marconi (M-O Valve), data sheet"
SYLVANIA = "12AX7 data sheet (design-center values), Sylvania, 1950s"
ECC82 = "ECC82 data sheet, Philips, 11.11.1954 and 6.6.1959"
EF86 = "EF86 data sheet, Philips, January 1970, page 2"
EZ80 = "EZ80 data sheet, Mazda, August 1963, pages 1-2"
RC30 = "Receiving Tube Manual, RCA, class A1 and AB1 tables (RC-30)"

# tube, rating, rating system, limits in W, V, A and ohm, the sheet
RATINGS = [
    ("el84", "design-centre", "design centre", {
        "plate_dissipation": 12, "plate_volts": 300, "screen_volts": 300, "screen_dissipation": 2, "screen_dissipation_peak": 4,
        "cathode_current": 0.065, "grid_resistor_fixed": 3e5, "grid_resistor_cathode": 1e6, "heater_cathode_volts": 100}, EL84),
    ("el84", "vibrator", "design centre", {"plate_dissipation": 9, "plate_volts": 250, "screen_volts": 250}, f"{EL84}, sheet 6 footnote 1"),
    ("el34", "current-make", "not stated", {
        "plate_dissipation": 25, "screen_dissipation": 8, "cathode_current": 0.15, "grid_resistor_fixed": 5e5,
        "grid_resistor_cathode": 7e5, "heater_cathode_volts": 100}, "EL34EH data sheet, parameter table"),
    ("6v6gt", "current-make", "not stated", {
        "plate_dissipation": 13.2, "screen_dissipation": 2.2, "heater_cathode_volts": 180}, "6V6EH data sheet, parameter table"),
    ("6l6gc", "design-maximum", "design maximum", {"plate_dissipation": 30, "plate_volts": 500}, "a page citing GE Essential Characteristics 1973"),
    ("kt66", "published-1966", "not stated", {"plate_dissipation": 25, "plate_volts": 500}, "Radio Valve Data, 8th ed., 1966, as quoted"),
    ("6550", "6550a-design-maximum", "design maximum", {"plate_dissipation": 42}, GE_6550A),
    ("12ax7", "design-centre", "design centre", {"plate_dissipation": 1, "plate_volts": 300, "heater_cathode_volts": 180}, SYLVANIA),
    ("12au7", "design-centre", "design centre", {
        "plate_dissipation": 2.75, "plate_volts": 300, "cathode_current": 0.02, "grid_resistor_cathode": 1e6,
        "heater_cathode_volts": 180}, ECC82),
    ("ez80", "published", "not stated", {
        "peak_inverse": 980, "peak_current": 0.27, "first_capacitor": 50e-6, "heater_cathode_volts": 500}, EZ80),
]

# tube, point, figures as printed (of a pair's current, half), the sheet
POINTS = [
    ("el84", "single-250", {
        "plate_volts": 250, "screen_volts": 250, "grid_volts": -7.3, "cathode_resistor": 135, "plate_current": 0.048,
        "screen_current": 0.0055, "transconductance": 0.0113, "plate_resistance": 38e3, "load": 5200, "power_out": 5.7}, EL84),
    ("el84", "single-250-low-load", {"load": 4500, "power_out": 5.7, "plate_current": 0.048, "screen_current": 0.0055}, EL84),
    ("el84", "pair-250", {
        "plate_volts": 250, "cathode_resistor": 130, "plate_current": 0.031, "screen_current": 0.0035, "load": 8000, "power_out": 11}, EL84),
    ("el84", "pair-300", {
        "plate_volts": 300, "cathode_resistor": 130, "plate_current": 0.036, "screen_current": 0.004, "load": 8000, "power_out": 17}, EL84),
    ("el84", "triode-250", {
        "plate_volts": 250, "cathode_resistor": 270, "plate_current": 0.034, "load": 3500, "power_out": 1.95}, EL84),
    ("6v6gt", "single-250", {
        "plate_volts": 250, "screen_volts": 250, "grid_volts": -12.5, "plate_current": 0.045, "screen_current": 0.0045,
        "transconductance": 0.0041}, RC30),
    ("6v6gt", "single-180", {
        "plate_volts": 180, "screen_volts": 180, "grid_volts": -8.5, "plate_current": 0.029, "screen_current": 0.003,
        "transconductance": 0.0037, "plate_resistance": 50e3}, "6V6GT data sheet, General Electric, 1955"),
    ("6v6gt", "pair-285", {
        "plate_volts": 285, "screen_volts": 285, "grid_volts": -19, "plate_current": 0.070 / 2, "load": 8000, "power_out": 14}, RC30),
    ("6l6gc", "single-250", {
        "plate_volts": 250, "screen_volts": 250, "cathode_resistor": 167, "plate_current": 0.075, "screen_current": 0.0054}, SV_6L6GC),
    ("6l6gc", "single-300-200", {
        "plate_volts": 300, "screen_volts": 200, "cathode_resistor": 218, "plate_current": 0.051, "screen_current": 0.003}, SV_6L6GC),
    ("6l6gc", "pair-450", {
        "plate_volts": 450, "screen_volts": 400, "grid_volts": -37, "plate_current": 0.116 / 2, "screen_current": 0.0056 / 2,
        "load": 5600, "power_out": 55}, SV_6L6GC),
    ("el34", "single-250", {"plate_volts": 250, "screen_volts": 265, "grid_volts": -13.5}, "EL34EH data sheet"),
    ("6550", "average-250", {
        "plate_volts": 250, "screen_volts": 250, "grid_volts": -14, "plate_current": 0.14, "screen_current": 0.012,
        "transconductance": 0.011, "plate_resistance": 15e3}, GE_6550A),
    ("6550", "single-400", {
        "plate_volts": 400, "screen_volts": 225, "grid_volts": -16.5, "plate_current": 0.087, "screen_current": 0.004}, GE_6550A),
    ("6550", "pair-450-taps", {
        "plate_volts": 450, "screen_volts": 450, "grid_volts": -48, "plate_current": 0.150 / 2, "screen_current": 0.006}, GE_6550A),
    ("kt66", "single-250", {
        "plate_volts": 250, "screen_volts": 250, "cathode_resistor": 170, "plate_current": 0.085, "screen_current": 0.0063,
        "transconductance": 0.0063}, KT66),
    ("kt66", "pair-258", {
        "plate_volts": 258, "screen_volts": 258, "cathode_resistor": 200, "plate_current": 0.081, "screen_current": 0.006}, KT66),
    ("12ax7", "section-250", {
        "plate_volts": 250, "grid_volts": -2, "plate_current": 0.0012, "amplification": 100, "plate_resistance": 62500,
        "transconductance": 0.0016}, SYLVANIA),
    ("12ax7", "section-100", {
        "plate_volts": 100, "grid_volts": -1, "plate_current": 0.0005, "amplification": 100, "plate_resistance": 80e3,
        "transconductance": 0.00125}, SYLVANIA),
    ("12au7", "section-250", {
        "plate_volts": 250, "grid_volts": -8.5, "plate_current": 0.0105, "amplification": 17, "plate_resistance": 7700,
        "transconductance": 0.0022}, ECC82),
    ("12au7", "section-100", {
        "plate_volts": 100, "grid_volts": 0, "plate_current": 0.0118, "amplification": 19.5, "plate_resistance": 6250,
        "transconductance": 0.0031}, ECC82),
    ("12au7", "stage-250", {"cathode_resistor": 1200, "plate_current": 0.00302, "load": 47e3}, ECC82),
    ("12au7", "stage-300", {"cathode_resistor": 1200, "plate_current": 0.00365, "load": 47e3}, ECC82),
    ("ef86", "pentode-250", {
        "plate_volts": 250, "screen_volts": 140, "grid_volts": -2.2, "plate_current": 0.003, "screen_current": 0.0006,
        "transconductance": 0.0022, "plate_resistance": 2.5e6}, EF86),
    ("ez80", "row-250", {"direct_volts": 265, "direct_current": 0.09}, EZ80),
    ("ez80", "row-350", {"direct_volts": 360, "direct_current": 0.09}, EZ80),
    ("gz34", "drop-225", {"drop": 17, "direct_current": 0.225}, "5AR4/GZ34 data sheet, tube voltage drop, as retyped"),
    ("5y3gt", "current-make", {"direct_volts": 360, "direct_current": 0.125}, "data sheet of a current-production 5Y3"),
]

TWIN = "1 a2, 2 g2, 3 k2, 4 h, 5 h, 6 a1, 7 g1, 8 k1, 9 hct"
BEAM = "2 h, 3 a, 4 g2, 5 g1, 7 h, 8 k+bp"
KVT = "kicad-library-vacuum-tube, commit 4acf4fe"
PINS = [
    ("el84", "2 g1, 3 k+g3, 4 h, 5 h, 7 a, 9 g2", EL84),
    ("el34", "1 g3, 2 h, 3 a, 4 g2, 5 g1, 7 h, 8 k", "EL34EH data sheet"),
    ("6v6gt", BEAM, KVT),
    ("6l6gc", BEAM, "a page citing GE Essential Characteristics 1973"),
    ("kt66", BEAM, "a page citing Radio Valve Data, 8th ed."),
    *((tube, TWIN, KVT) for tube in ("12ax7", "12ax7a", "12at7", "12au7", "12ay7", "5751")),
    ("6sn7gt", "1 g2, 2 a2, 3 k2, 4 g1, 5 a1, 6 k1, 7 h, 8 h", KVT),
    ("5y3gt", "2 f, 4 a1, 6 a2, 8 f", KVT),
    ("ez80", "1 a2, 3 k, 4 h, 5 h, 7 a1", EZ80),
    ("ef86", "1 g2, 3 k, 4 h, 5 h, 6 a, 7 s, 8 g3, 9 g1", "KiCad symbol library Valve, kicad-symbols 6.0.10-1"),
]

KOREN = "Koren, Improved Vacuum-Tube Models for SPICE, Glass Audio 8 no. 5, 1996, Table 1 with the errata"
LAWS = [
    ("12ax7", (100, 1.4, 1060, None, 600, 300), KOREN), ("12at7", (60, 1.35, 460, None, 300, 300), KOREN),
    ("12au7", (21.5, 1.3, 1180, None, 84, 300), KOREN), ("ecc88", (28, 1.3, 330, None, 320, 300), f"{KOREN}, 6DJ8"),
    ("6l6gc", (8.7, 1.35, 1460, 4500, 48, 12), KOREN), ("6550", (7.9, 1.35, 890, 4200, 60, 24), KOREN),
    ("el34", (11, 1.35, 650, 4200, 60, 24), KOREN), ("kt88", (8.8, 1.35, 730, 4200, 32, 16), KOREN),
    ("6v6gt", (12.67, 1.198, 915, 4500, 38.07, 30.2), "qucs-s library Tubes.lib, commit c988d9a"),
]


def rating(library: Library, tube: str, key: str) -> Rating:
    """A rating of a tube by its key."""
    return next(r for r in library.tubes[tube].ratings if r.key == key)


def point(library: Library, tube: str, key: str) -> Point:
    """A working point of a tube by its key."""
    return next(p for p in library.tubes[tube].points if p.key == key)


def figures(record: Rating | Point, names: dict[str, float]) -> dict[str, float]:
    """The named figures of a record, in SI units."""
    found = {name: getattr(record, name) for name in names}
    return {name: value.value if isinstance(value, Quantity) else value for name, value in found.items()}


@pytest.mark.parametrize(("tube", "key", "system", "limits", "sheet"), RATINGS, ids=lambda v: v if isinstance(v, str) else None)
def test_ratings_are_those_of_the_sheet(
    library: Library, tube: str, key: str, system: str, limits: dict[str, float], sheet: str
) -> None:
    """Every limit that was read on a sheet, in the rating system of that sheet."""
    found = rating(library, tube, key)
    assert (found.system, figures(found, limits)) == (system, pytest.approx(limits)), sheet


@pytest.mark.parametrize(("tube", "key", "printed", "sheet"), POINTS, ids=lambda v: v if isinstance(v, str) else None)
def test_points_are_those_of_the_sheet(library: Library, tube: str, key: str, printed: dict[str, float], sheet: str) -> None:
    """Every published working point that was read; a pair's currents are halved to one tube."""
    assert figures(point(library, tube, key), printed) == pytest.approx(printed), sheet


@pytest.mark.parametrize(("tube", "pins", "source"), PINS, ids=lambda v: v if isinstance(v, str) and len(v) < 8 else "")
def test_pins_are_those_of_the_source(library: Library, tube: str, pins: str, source: str) -> None:
    """Base connections."""
    wanted = dict(pin.split(" ") for pin in pins.split(", "))
    found = {str(number): job for number, job in library.tubes[tube].pins.items()}
    assert {number: found.get(number) for number in wanted} == wanted, source


@pytest.mark.parametrize(("tube", "law", "source"), LAWS, ids=lambda v: v if isinstance(v, str) and len(v) < 8 else "")
def test_laws_are_those_of_the_source(library: Library, tube: str, law: tuple[float | None, ...], source: str) -> None:
    """Parameters of the published current laws: mu, ex, kg1, kg2, kp, kvb."""
    (found,) = library.tubes[tube].laws
    assert (found.mu, found.ex, found.kg1, found.kg2, found.kp, found.kvb) == law, source


def test_a_limit_is_never_another_one_converted(library: Library) -> None:
    """Two systems of one type do not stand to each other by one factor (IEC 60134: each limit is rated anew)."""
    old, new = rating(library, "6v6gt", "design-centre"), rating(library, "6v6gt", "design-maximum")
    assert (old.plate_dissipation.value, new.plate_dissipation.value) == (12, 14)  # RCA manual, two eras, from memory
    assert new.plate_dissipation.value / old.plate_dissipation.value != pytest.approx(new.plate_volts.value / old.plate_volts.value, rel=0.01)
    assert (rating(library, "6550", "design-centre").plate_dissipation.value, 42) == (35, 42)


def test_a_grid_leak_may_be_larger_with_cathode_bias(library: Library) -> None:
    """Holds for every output tube whose sheet gives both (why: a runaway checks itself there)."""
    both = [r for tube in library.tubes.values() for r in tube.ratings if r.grid_resistor_fixed and r.grid_resistor_cathode]
    assert len(both) >= 12
    assert all(r.grid_resistor_fixed.value < r.grid_resistor_cathode.value for r in both)


def test_what_was_not_read_says_so(library: Library) -> None:
    """A figure claims to be read only where a sheet or its retyped copy was seen: these are all of those."""
    read = {(tube, key) for tube, key, *_ in RATINGS} | {(tube, key) for tube, key, *_ in POINTS}
    extra = {("12ax7a", "section-250"), ("7189", "7189a-design-maximum"), ("ef86", "stage-250"), ("ef86", "stage-350")}

    def claims(sources: tuple[Source, ...]) -> bool:
        return any(source.known == "read" for source in sources)

    told = {(t.id, r.key) for t in library.tubes.values() for r in (*t.ratings, *t.points) if claims(r.sources)}
    assert told == read | extra  # extra: the plain type's row; the ten-per-cent statement; gains in the note
