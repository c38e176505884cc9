"""A valve type: its limits and their rating system, published points, base, substitutes and looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, SOURCES, Caution, Entry, Source
from benchlore.entries.fields import Amount, Choice, Many, Part, Prose, Real, Ref, Slug, Table, Text, spec
from benchlore.quantity import Quantity

SYSTEMS = ("design centre", "design maximum", "absolute maximum", "CCS", "ICAS", "not stated")
BASES = ("noval", "octal", "7-pin miniature", "loctal", "4-pin", "5-pin", "6-pin", "7-pin", "wire-ended")
V = Amount("voltage", least=-5000, most=5000, range_ok=True)
A = Amount("current", least=0, most=20, range_ok=True)
W = Amount("power", least=0, most=2000)
R = Amount("resistance", least=0, most=1e9)


@dataclass(frozen=True, kw_only=True)
class Heater:
    """One way to feed the heater; double triodes have two."""

    volts: Quantity = spec(Amount("voltage", least=0.5, most=100), "Heater volts", need="required", example="6.3 V")
    amps: Quantity = spec(Amount("current", least=0.01, most=20, range_ok=True), "Heater current at those volts", need="required", example="0.76 A")
    pins: str | None = spec(Text(), "Between which pins", example="4 and 5")


@dataclass(frozen=True, kw_only=True)
class Rating:
    """One published set of limits, under one rating system. Never converted into another by a factor."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="design-centre")
    system: str = spec(Choice(SYSTEMS), "Rating system of the sheet", need="required", example="design centre")
    condition: str | None = spec(Text(), "When these limits hold, if not always", example="heater and HT from a vibrator")
    plate_dissipation: Quantity | None = spec(W, "Plate dissipation limit", example="12 W")
    plate_volts: Quantity | None = spec(V, "Plate volts limit (to cathode)", example="300 V")
    screen_volts: Quantity | None = spec(V, "Screen volts limit (to cathode)", example="300 V")
    screen_dissipation: Quantity | None = spec(W, "Screen dissipation limit, continuous", example="2 W")
    screen_dissipation_peak: Quantity | None = spec(W, "Screen dissipation limit at full drive", example="4 W")
    cathode_current: Quantity | None = spec(A, "Cathode current limit", example="65 mA")
    grid_resistor_fixed: Quantity | None = spec(R, "Largest grid-leak with fixed bias", example="300k")
    grid_resistor_cathode: Quantity | None = spec(R, "Largest grid-leak with cathode bias", example="1M")
    heater_cathode_volts: Quantity | None = spec(V, "Heater to cathode limit", example="100 V")
    peak_inverse: Quantity | None = spec(V, "Rectifier: peak inverse volts", example="1500 V")
    peak_current: Quantity | None = spec(A, "Rectifier: peak current per plate", example="750 mA")
    dc_current: Quantity | None = spec(A, "Rectifier: direct current, both plates together", example="250 mA")
    first_capacitor: Quantity | None = spec(Amount("capacitance", least=0, most=1), "Rectifier: largest first capacitor", example="60 uF")
    supply_resistance: Quantity | None = spec(R, "Rectifier: least resistance in each plate's lead", example="100 ohm")
    sources: tuple[Source, ...] = spec(SOURCES, "The sheet", need="required", example="[common practice]")
    note: str | None = spec(Text(), "What is easy to get wrong", example="footnote 1 lowers it with a vibrator")


@dataclass(frozen=True, kw_only=True)
class Point:
    """A published working point."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="pair-300")
    service: str = spec(Text(), "Service as printed", need="required", example="two valves, class AB, cathode bias")
    plate_volts: Quantity | None = spec(V, "Plate volts to cathode unless the note says otherwise", example="300 V")
    screen_volts: Quantity | None = spec(V, "Screen volts", example="300 V")
    grid_volts: Quantity | None = spec(V, "Grid volts", example="-7.3 V")
    cathode_resistor: Quantity | None = spec(R, "Cathode resistor, shared where the service has two valves", example="130 ohm")
    plate_current: Quantity | None = spec(A, "Idle plate current of ONE valve or section", example="36 mA")
    screen_current: Quantity | None = spec(A, "Idle screen current of ONE valve", example="4 mA")
    transconductance: Quantity | None = spec(Amount("conductance", least=0, most=1), "Transconductance there", example="11.3 mA/V")
    plate_resistance: Quantity | None = spec(R, "Internal resistance there", example="38k")
    amplification: float | None = spec(Real(0, 1000), "Amplification factor there", example="100")
    load: Quantity | None = spec(R, "Load (plate to plate where there are two)", example="8k")
    power_out: Quantity | None = spec(W, "Output at full drive", example="17 W")
    direct_volts: Quantity | None = spec(V, "Rectifier: direct volts at that current", example="360 V")
    direct_current: Quantity | None = spec(A, "Rectifier: direct current", example="90 mA")
    drop: Quantity | None = spec(V, "Rectifier: drop at that current", example="17 V")
    sources: tuple[Source, ...] = spec(SOURCES, "The sheet", need="required", example="[common practice]")
    note: str | None = spec(Text(), "Conditions or traps", example="per section")


@dataclass(frozen=True, kw_only=True)
class Law:
    """Parameters of a published current law (Koren 1996). They hold for that law alone."""

    form: str = spec(Choice(("koren triode", "koren pentode")), "Which law", need="required", example="koren pentode")
    mu: float = spec(Real(0.1, 1000), "mu", need="required", example="11")
    ex: float = spec(Real(0.5, 3), "exponent", need="required", example="1.35")
    kg1: float = spec(Real(1, 1e5), "kg1", need="required", example="650")
    kg2: float | None = spec(Real(1, 1e6), "kg2 (pentode)", example="4200")
    kp: float = spec(Real(1, 1e4), "kp", need="required", example="60")
    kvb: float = spec(Real(0.1, 1e5), "kvb", need="required", example="24")
    sources: tuple[Source, ...] = spec(SOURCES, "Where the parameters were published", need="required", example="[common practice]")
    note: str | None = spec(Text(), "How far it can be trusted", example="97 mA where the sheet says 100 mA")


@dataclass(frozen=True, kw_only=True)
class Substitute:
    """Another type in the same socket."""

    tube: str | None = spec(Ref("tube"), "The other type, where the book has it", example="el34")
    name: str | None = spec(Text(40), "The other type by name, where the book has no entry", example="7189")
    verdict: str = spec(Choice(("yes", "with changes", "no")), "May it go in?", need="required", example="with changes")
    why: str = spec(Text(), "What differs, and what must be changed first", need="required", example="heater takes 0.6 A more; pin 1 must go to pin 8")


@dataclass(frozen=True, kw_only=True)
class Look:
    """A sign that can be seen or heard on the tube itself."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="white-getter")
    sign: str = spec(Text(), "What is seen", need="required", example="the silver patch has turned white")
    means: str = spec(Text(), "What it means", need="required", example="air has got in; the tube is finished")
    do: str = spec(Text(), "What to do", need="required", example="replace it, and look for the crack")
    faults: tuple[str, ...] = spec(Many(Ref("fault")), "Faults it belongs to", example="[tube-lost-vacuum]")


@dataclass(frozen=True, kw_only=True)
class Tube(Entry):
    """A valve type."""

    summary: str = spec(Prose(), "What it is and where it is met, in a few sentences", need="required", example="A small output pentode on the nine-pin base.")
    role: str = spec(Choice(("output", "small signal", "rectifier")), "What it does in an amp", need="required", example="output")
    construction: str = spec(Text(), "Triode, double triode, beam tetrode, pentode, full-wave rectifier ...", need="required", example="output pentode")
    base: str = spec(Choice(BASES), "Base", need="required", example="noval")
    pins: Mapping[str, str] = spec(Table(Text(40), keys="pin"), "Pin number to job: a anode, g1 g2 g3 grids, k cathode, h heater, f filament, hct heater tap, s shield, bp beam plates, nc, ic", need="required", example="{2: g1, 3: k+g3}")
    pins_sources: tuple[Source, ...] = spec(SOURCES, "Source of the pin chart", example="[common practice]")
    heater: tuple[Heater, ...] = spec(Many(Part(Heater), least=1), "Heater or filament", need="required", example="[{volts: 6.3 V, amps: 0.76 A}]")
    judged_by: str | None = spec(Slug(), "Key of the rating by which the bench judges", example="design-centre")
    ratings: tuple[Rating, ...] = spec(Many(Part(Rating), key="key"), "Published limits, one record per rating system and condition", need="required", example="[]")
    points: tuple[Point, ...] = spec(Many(Part(Point), key="key"), "Published working points", example="[]")
    laws: tuple[Law, ...] = spec(Many(Part(Law)), "Published current laws, for sums only", example="[]")
    traps: tuple[str, ...] = spec(Many(Text(600)), "What is easy to get wrong about its figures", example="[]")
    substitutes: tuple[Substitute, ...] = spec(Many(Part(Substitute)), "What may go in its socket and what may not", example="[]")
    looks: tuple[Look, ...] = spec(Many(Part(Look), key="key"), "What glass, getter, glow and rattle say", example="[]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")

    @property
    def rating(self) -> Rating | None:
        """The rating by which the bench judges: the one named, else the first."""
        named = next((r for r in self.ratings if r.key == self.judged_by), None)
        return named or next(iter(self.ratings), None)
