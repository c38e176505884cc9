"""Amps that share circuit and build, so that they share faults."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.entries.common import (
    CAUTIONS,
    HAZARDS,
    HOW_COMMON,
    Caution,
    Change,
    Entry,
    LeadDress,
)
from benchlore.entries.fields import (
    Amount,
    Choice,
    Code,
    Flag,
    Many,
    Part,
    Prose,
    Real,
    Ref,
    Slug,
    Table,
    Text,
    Whole,
    spec,
)
from benchlore.quantity import Quantity, Unknown

V = Amount("voltage", least=-2000, most=2000, range_ok=True)
A = Amount("current", least=0, most=5, range_ok=True)
R = Amount("resistance", least=0, most=1e8)
ARRANGEMENTS = ("fixed without adjustment", "fixed adjustable", "cathode", "per-tube adjustable")
VIEWS = ("chassis-inside", "chassis-top", "chassis-underside", "front", "rear", "cabinet-rear", "cabinet-front", "baffle")


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A place in one of the family's views; x and y run from 0 (left, top) to 100 (right, bottom)."""

    view: str = spec(Choice(VIEWS), "Which view", need="required", example="chassis-inside")
    x: float = spec(Real(0, 100), "From the left, in hundredths of the width", need="required", example="22")
    y: float = spec(Real(0, 100), "From the top, in hundredths of the height", need="required", example="40")


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A landmark on a view: a labelled box or circle."""

    label: str = spec(Text(40), "What it is", need="required", example="V1")
    shape: str = spec(Choice(("box", "circle")), "Box or circle", need="required", example="circle")
    x: float = spec(Real(0, 100), "Centre from the left", need="required", example="20")
    y: float = spec(Real(0, 100), "Centre from the top", need="required", example="50")
    w: float = spec(Real(0.5, 100), "Width (diameter of a circle), in hundredths of the view's width", need="required", example="6")
    h: float | None = spec(Real(0.5, 100), "Height of a box, in hundredths of the view's height", example="20")


@dataclass(frozen=True, kw_only=True)
class View:
    """An outline to draw places on: its real width and height."""

    view: str = spec(Choice(VIEWS), "Which view", need="required", example="chassis-inside")
    width: Quantity = spec(Amount("length", least=0.05, most=2), "Real width", need="required", example="480 mm")
    height: Quantity = spec(Amount("length", least=0.03, most=2), "Real height", need="required", example="160 mm")
    marks: tuple[Mark, ...] = spec(Many(Part(Mark)), "Landmarks to draw: sockets, transformers, boards, jacks", example="[]")


@dataclass(frozen=True, kw_only=True)
class Variant:
    """A variant or revision, and how to tell it."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="b")
    name: str = spec(Text(80), "What the bench calls it", need="required", example="Revision B")
    from_serial: str | None = spec(Text(60), "From which serial number, where known", example="20450")
    marks: tuple[str, ...] = spec(Many(Text()), "How to tell it", need="required", example="[board marked B in copper by V3]")
    differs: str = spec(Text(600), "What is different", need="required", example="grid leaks 100k; ribbon replaced by pins")


@dataclass(frozen=True, kw_only=True)
class Socket:
    """One tube position."""

    position: str = spec(Code(12), "Position as the bench counts them", need="required", example="V1")
    type: str = spec(Ref("tube"), "Tube type", need="required", example="12ax7")
    job: str = spec(Text(), "What it does", need="required", example="first stage and tone recovery")
    matched: str | None = spec(Choice(("no", "pair", "quartet", "balanced sections")), "Is a matched set needed?", example="pair")
    pins: Mapping[str, Quantity | Unknown] = spec(Table(Amount("voltage", least=-2000, most=2000, range_ok=True), keys="pin"), "Pin to expected volts against chassis", example="{1: 180 V, 3: 1.5 V}")
    note: str | None = spec(Text(), "What to mind at this socket", example="pin 6 is used as a tie point for the screen resistor")


@dataclass(frozen=True, kw_only=True)
class Mains:
    """The mains side."""

    volts: tuple[Quantity, ...] = spec(Many(Amount("voltage", least=90, most=260), least=1), "Mains volts it can be set for", need="required", example="[120 V, 230 V]")
    chart_at: Quantity = spec(Amount("voltage", least=90, most=260), "Mains at which the charts below were taken", need="required", example="230 V")
    frequency: Quantity | None = spec(Amount("frequency", least=45, most=65), "Frequency", example="50 Hz")
    fuse: str = spec(Text(), "Fuse, value and kind, per mains voltage", need="required", example="T1A at 230 V, T2A at 120 V, 20 mm")
    other_fuses: tuple[str, ...] = spec(Many(Text()), "Other fuses", example="[HT fuse T250mA]")
    earth: str = spec(Text(), "How the protective earth is made and where to prove it", need="required", example="ring tag on its own screw by the inlet, with shakeproof washer")
    switch: str | None = spec(Text(), "Switches and standby", example="double-pole mains switch; standby breaks the HT centre tap")
    heater_volts: Quantity | None = spec(Amount("voltage", least=2, most=30), "Heater winding volts", example="6.3 V")
    heater_winding: Quantity | None = spec(Amount("current", least=0, most=50), "What the heater winding is rated for", example="4 A")
    rectifier_winding: Quantity | None = spec(Amount("current", least=0, most=20), "What the rectifier heater winding is rated for", example="2 A")
    high_tension: Quantity | None = spec(Amount("voltage", least=50, most=1500), "HT winding, RMS, each half where centre-tapped", example="320 V")
    high_tension_form: str | None = spec(Choice(("centre tap", "bridge", "doubler", "half wave")), "How it is rectified", example="centre tap")


@dataclass(frozen=True, kw_only=True)
class Node:
    """A point of the supply."""

    node: str = spec(Code(12), "Name of the node on the bench", need="required", example="A")
    title: str = spec(Text(), "What it feeds", need="required", example="reservoir and output plates")
    probe: str = spec(Text(), "Where to put the probe", need="required", example="plus end of C21, the large one by the choke")
    volts: Quantity = spec(Amount("voltage", least=-200, most=1500), "Expected volts, no signal, warm", need="required", example="405 V")
    spread: Quantity = spec(Amount("ratio", least=0.01, most=0.5), "Allowed spread either way", need="required", example="8 %")
    fed_from: str | None = spec(Code(12), "Node it is fed from", example="A")
    through: Quantity | Unknown | None = spec(R, "Dropping resistor between them (or choke's resistance)", example="4k7")
    through_rating: Quantity | None = spec(Amount("power", least=0, most=100), "Rating of the dropping resistor", example="2 W")
    capacitor: Quantity | None = spec(Amount("capacitance", least=0, most=0.1), "Capacitor at the node", example="47 uF")
    capacitor_rating: Quantity | None = spec(Amount("voltage", least=1, most=2000), "Its rated volts", example="450 V")


@dataclass(frozen=True, kw_only=True)
class Leg:
    """One resistor of the network that sets the grid bias."""

    part: str = spec(Code(20), "Part number on the board", need="required", example="R38")
    value: Quantity = spec(R, "Value", need="required", example="15k")
    role: str = spec(Choice(("feed", "to ground", "trimmer", "in series", "cathode")), "Its place: feed (from the bias supply), to ground, trimmer, in series with the grids, or the cathode resistor", need="required", example="to ground")
    effect: str = spec(Text(), "What making it smaller does", need="required", example="smaller pulls the grids toward ground: hotter")


@dataclass(frozen=True, kw_only=True)
class Idle:
    """How hard the output tubes idle, and what can be done about it. Currents are of one tube."""

    arrangement: str = spec(Choice(ARRANGEMENTS), "How the bias is made", need="required", example="fixed without adjustment")
    tube: str = spec(Ref("tube"), "Output tube", need="required", example="6v6gt")
    tubes: int = spec(Whole(1, 12), "How many output tubes", need="required", example="2")
    stock_share: Quantity | Unknown = spec(Amount("ratio", least=0.05, most=2, range_ok=True), "Idle share as met: idle plate dissipation over the tube's limit", need="required", example="85..100 %")
    plate_volts: Quantity = spec(V, "Plate volts against chassis, measured", need="required", example="400 V")
    screen_volts: Quantity | Unknown | None = spec(V, "Screen volts against chassis, measured", example="395 V")
    grid_volts: Quantity | Unknown | None = spec(V, "Grid volts against chassis, measured", example="-32 V")
    cathode_volts: Quantity | Unknown | None = spec(V, "Cathode volts against chassis, measured", example="0 V")
    cathode_current: Quantity = spec(A, "Cathode current of one tube (plate and screen together), measured", need="required", example="27 mA")
    screen_current: Quantity | Unknown | None = spec(A, "Screen current of one tube, measured or from the sheet", example="2 mA")
    aim: Quantity = spec(Amount("ratio", least=0.05, most=1.2, range_ok=True), "Idle share to aim for", need="required", example="60..70 %")
    aim_why: str = spec(Text(), "Why that aim", need="required", example="fixed bias, plates near their limit")
    how_to_measure: str = spec(Prose(4000), "How to measure on this chassis", need="required", example="...")
    sense_resistor: Quantity | None = spec(R, "Cathode sense resistor fitted, where there is one", example="1 ohm")
    bias_supply: Quantity | None = spec(V, "Volts at the top of the bias network", example="-52 V")
    network: tuple[Leg, ...] = spec(Many(Part(Leg), key="part"), "The resistors that set the bias", example="[]")
    supply_resistance: Quantity | None = spec(R, "Source resistance of the plate supply, seen from the output stage", example="180 ohm")
    note: str | None = spec(Text(600), "What else to know", example="...")


@dataclass(frozen=True, kw_only=True)
class Tap:
    """A secondary tap of the output transformer."""

    label: str = spec(Text(60), "As printed by the socket", need="required", example="8 ohm")
    load: Quantity = spec(Amount("resistance", least=0.5, most=600), "Load it wants", need="required", example="8 ohm")


@dataclass(frozen=True, kw_only=True)
class Output:
    """Output transformer and power."""

    power: Quantity = spec(Amount("power", least=0.1, most=1000), "Power at clipping into the nominal load", need="required", example="18 W")
    primary: Quantity | Unknown = spec(R, "Primary load, plate to plate for push-pull", need="required", example="8k")
    primary_resistance: str | None = spec(Text(), "Winding resistance, each half", example="118 ohm and 132 ohm")
    taps: tuple[Tap, ...] = spec(Many(Part(Tap), least=1), "Secondary taps", need="required", example="[{label: 8 ohm, load: 8 ohm}]")
    feedback: str | None = spec(Text(), "Where feedback is taken and what it does", example="from the 8 ohm tap through 4k7 to the tail")


@dataclass(frozen=True, kw_only=True)
class Speaker:
    """The speaker or speakers built in."""

    count: int = spec(Whole(1, 16), "How many", need="required", example="1")
    size: Quantity = spec(Amount("length", least=0.05, most=0.6), "Nominal size", need="required", example="12 in")
    ohms: Quantity = spec(Amount("resistance", least=1, most=64), "Nominal impedance of each", need="required", example="8 ohm")
    wiring: str = spec(Choice(("single", "series", "parallel", "series-parallel")), "How they are joined", need="required", example="single")
    power: Quantity = spec(Amount("power", least=1, most=1000), "Rated power of each", need="required", example="30 W")
    sensitivity: Quantity | Unknown = spec(Amount("level", least=60, most=120), "Sensitivity, 1 W at 1 m", need="required", example="97 dB")
    fixed: str = spec(Text(), "How it is fixed", need="required", example="four 10-32 studs with nuts, from the rear; gasket between")
    fastener: str | None = spec(Ref("fastener"), "The fastener", example="unc-10-32")


@dataclass(frozen=True, kw_only=True)
class OpenStep:
    """A step of opening or closing on this very family."""

    do: str = spec(Text(600), "What to do", need="required", example="Lay the amp face down on a blanket.")
    hazard: str | None = spec(Choice(HAZARDS), "What can hurt", example="stored charge")
    warning: str | None = spec(Text(), "In words: what can hurt", example="the reservoir keeps 400 V for minutes")
    tears: str | None = spec(Text(), "What tears, bends or breaks if it is forced", example="the foil on the back panel")
    expect: str | None = spec(Text(), "What is seen when it went well", example="the chassis slides freely")


@dataclass(frozen=True, kw_only=True)
class Hardware:
    """Something that works loose or must be tight."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="ot-nuts")
    what: str = spec(Text(), "What it holds", need="required", example="output transformer")
    where: str = spec(Text(), "Where it is", need="required", example="chassis top, right of the tubes")
    fastener: str | None = spec(Ref("fastener"), "The fastener", example="unc-8-32")
    count: int = spec(Whole(1, 64), "How many", need="required", example="4")
    drive: str = spec(Text(), "Driver or socket that fits", need="required", example="11/32 in socket")
    how_tight: str = spec(Text(), "How tight, and by what rule", need="required", example="finger-tight, then a quarter turn; crosswise")
    order: str | None = spec(Choice(("crosswise", "starwise", "any", "ends last")), "Order of tightening", example="crosswise")
    found_loose: str = spec(Choice(HOW_COMMON), "How often it is found loose", need="required", example="common")
    recheck: str = spec(Text(), "When to look again", need="required", example="every service")
    heard: str | None = spec(Text(), "What is heard when it is loose", example="buzz at low E")
    earth: bool | None = spec(Flag(), "Does it carry the protective earth?", example="no")
    spots: tuple[Spot, ...] = spec(Many(Part(Spot)), "Where it is on the views, one spot per fastener", example="[]")


@dataclass(frozen=True, kw_only=True)
class DressedPair(LeadDress):
    """A lead-dress point of this very family, with where it is on a view."""

    ends: tuple[Spot, ...] = spec(Many(Part(Spot), most=2), "Two spots: the thing kept, and what it must stay away from", example="[]")


@dataclass(frozen=True, kw_only=True)
class WeakPoint:
    """A fault this family is known for."""

    fault: str = spec(Ref("fault"), "The fault", need="required", example="ribbon-cracked")
    common: str = spec(Choice(HOW_COMMON), "How common in this family", need="required", example="common")
    here: str = spec(Text(600), "What is special here", need="required", example="the ribbon nearest the output sockets breaks at the upper board first")
    since: str | None = spec(Slug(), "Since which revision (its key)", example="b")
    until: str | None = spec(Slug(), "Until which revision (its key)", example="b")


@dataclass(frozen=True, kw_only=True)
class Family(Entry):
    """A family of amps."""

    maker: str = spec(Text(60), "Maker", need="required", example="Corvane")
    years: str = spec(Text(40), "Years built", need="required", example="1994 to 2003")
    build: str = spec(Choice(("combo", "head", "rack", "head and cabinet")), "Form", need="required", example="combo")
    construction: str = spec(Choice(("printed board", "turret board", "eyelet board", "tag strip", "ribbon-joined boards", "point to point")), "How the circuit is built", need="required", example="printed board")
    summary: str = spec(Prose(), "What it is, and what the bench should know first", need="required", example="...")
    usual_needs: tuple[str, ...] = spec(Many(Text(), least=1), "What this family usually needs when it comes in, to quote at intake", need="required", example="[]")
    how_to_tell: tuple[str, ...] = spec(Many(Text(), least=1), "Marks by which to know it", need="required", example="[]")
    variants: tuple[Variant, ...] = spec(Many(Part(Variant), key="key"), "Variants and revisions, oldest first", example="[]")
    stages: tuple[str, ...] = spec(Many(Ref("stage"), least=1), "The circuit blocks it is made of, in signal order, then supply and build", need="required", example="[fixed-bias-unadjusted]")
    tubes: tuple[Socket, ...] = spec(Many(Part(Socket), key="position", least=1), "Tubes by socket", need="required", example="[]")
    mains: Mains = spec(Part(Mains), "The mains side", need="required", example="{}")
    supply: tuple[Node, ...] = spec(Many(Part(Node), key="node", least=1), "Supply chart", need="required", example="[]")
    idle: Idle = spec(Part(Idle), "How hard the output tubes idle", need="required", example="{}")
    output: Output = spec(Part(Output), "Output transformer and loads", need="required", example="{}")
    speaker: Speaker | None = spec(Part(Speaker), "Built-in speaker; a head has none", example="{}")
    opening: tuple[OpenStep, ...] = spec(Many(Part(OpenStep), least=2), "Opening it without tearing it or being hurt by it", need="required", example="[]")
    closing: tuple[OpenStep, ...] = spec(Many(Part(OpenStep), least=1), "Closing it", need="required", example="[]")
    hardware: tuple[Hardware, ...] = spec(Many(Part(Hardware), key="key", least=1), "What works loose", need="required", example="[]")
    lead_dress: tuple[DressedPair, ...] = spec(Many(Part(DressedPair), key="key", least=1), "Wires that must lie apart", need="required", example="[]")
    weak_points: tuple[WeakPoint, ...] = spec(Many(Part(WeakPoint), key="fault", least=1), "Faults it is known for", need="required", example="[]")
    changes: tuple[Change, ...] = spec(Many(Part(Change), key="key"), "Changes worth offering", example="[]")
    test_notes: tuple[str, ...] = spec(Many(Text()), "Notes for testing it", example="[]")
    noise: Quantity | None = spec(Amount("voltage", least=0, most=1), "Noise at the speaker, all controls down", example="3 mV")
    views: tuple[View, ...] = spec(Many(Part(View), key="view"), "Outlines to draw hardware and lead dress on", example="[]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")
