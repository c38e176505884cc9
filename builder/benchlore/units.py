"""The closed list of bench units: stated once, read by Python here and by the browser as exported data.

A unit is a scale and a power of ten on the SI unit of its dimension, kept apart so that ``0.022 uF`` becomes the
decimal ``0.022e-6`` and is rounded once, to the same bits in both languages.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

PREFIXES: Mapping[str, int] = {"G": 9, "M": 6, "k": 3, "m": -3, "u": -6, "n": -9, "p": -12}


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: ``value in SI = number * 10**power * scale + offset``."""

    name: str
    dimension: str
    power: int = 0
    scale: float = 1.0
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class Dimension:
    """What a unit measures: its SI unit, how a sentence names it, and the units that people write.

    ``pint`` is the SI unit in base symbols for the proof of dimensions: ``kg m2 s-3 A-1`` as exponents.
    """

    name: str
    said: str
    base: str
    exponents: Mapping[str, int]
    units: tuple[Unit, ...]


def _prefixed(dimension: str, symbol: str, prefixes: str) -> list[Unit]:
    return [Unit(symbol, dimension)] + [Unit(p + symbol, dimension, PREFIXES[p]) for p in prefixes]


def _dimension(name: str, said: str, base: str, exponents: str, prefixes: str = "", *others: Unit) -> Dimension:
    powers = {part.rstrip("-0123456789"): int(part[len(part.rstrip("-0123456789")) :]) for part in exponents.split()}
    return Dimension(name, said, base, powers, (*_prefixed(name, base, prefixes), *others))


_LB, _IN, _G = 0.45359237, 0.0254, 9.80665

DIMENSIONS: Mapping[str, Dimension] = {
    d.name: d
    for d in (
        _dimension("voltage", "a voltage", "V", "kg1 m2 s-3 A-1", "mku"),
        _dimension("current", "a current", "A", "A1", "mun"),
        _dimension("resistance", "a resistance", "ohm", "kg1 m2 s-3 A-2", "kMGm"),
        _dimension("power", "a power", "W", "kg1 m2 s-3", "mku"),
        _dimension("capacitance", "a capacitance", "F", "kg-1 m-2 s4 A2", "munp"),
        _dimension("inductance", "an inductance", "H", "kg1 m2 s-2 A-2", "mu"),
        _dimension("frequency", "a frequency", "Hz", "s-1", "kM"),
        _dimension("time", "a time", "s", "s1", "mu", Unit("min", "time", 0, 60.0), Unit("h", "time", 0, 3600.0)),
        _dimension("rate", "a rate per time", "/s", "s-1", "", Unit("/min", "rate", 0, 1 / 60), Unit("/h", "rate", 0, 1 / 3600)),
        _dimension(
            "length", "a length", "m", "m1", "mku",
            Unit("cm", "length", -2), Unit("in", "length", 0, _IN), Unit("ft", "length", 0, 12 * _IN),
        ),
        _dimension("area", "an area", "m2", "m2", "", Unit("mm2", "area", -6), Unit("cm2", "area", -4), Unit("in2", "area", 0, _IN**2)),
        _dimension("mass", "a mass", "kg", "kg1", "", Unit("g", "mass", -3), Unit("lb", "mass", 0, _LB), Unit("oz", "mass", 0, _LB / 16)),
        _dimension(
            "force", "a force", "N", "kg1 m1 s-2", "k",
            Unit("lbf", "force", 0, _LB * _G), Unit("ozf", "force", 0, _LB * _G / 16), Unit("kgf", "force", 0, _G),
        ),
        _dimension(
            "torque", "a torque", "N m", "kg1 m2 s-2", "",
            Unit("N cm", "torque", -2), Unit("lbf in", "torque", 0, _LB * _G * _IN), Unit("lbf ft", "torque", 0, _LB * _G * 12 * _IN),
            Unit("ozf in", "torque", 0, _LB * _G * _IN / 16), Unit("kgf cm", "torque", -2, _G),
        ),
        _dimension(
            "conductance", "a conductance", "A/V", "kg-1 m-2 s3 A2", "mu",
            Unit("S", "conductance"), Unit("mS", "conductance", -3), Unit("uS", "conductance", -6),
        ),
        _dimension("ratio", "a ratio", "1", "", "", Unit("%", "ratio", -2)),
        Dimension("number", "a plain number", "1", {}, ()),
        _dimension("level", "a level", "dB", ""),
        _dimension("level re 1 V", "a level against 1 V", "dBV", ""),
        _dimension("level re 0.775 V", "a level against 0.775 V", "dBu", ""),
        _dimension("level re 1 mW", "a level against 1 mW", "dBm", ""),
        Dimension("temperature", "a temperature", "K", {"K": 1}, (Unit("K", "temperature"), Unit("degC", "temperature", 0, 1.0, 273.15))),
        _dimension("energy", "an energy", "J", "kg1 m2 s-2", "mku", Unit("Wh", "energy", 0, 3600.0)),
        _dimension("charge", "a charge", "C", "s1 A1", "mun"),
        _dimension("pressure", "a pressure or stress", "Pa", "kg1 m-1 s-2", "kMG",
                   Unit("psi", "pressure", 0, _LB * _G / _IN**2), Unit("ksi", "pressure", 3, _LB * _G / _IN**2)),
        _dimension("angle", "an angle", "rad", "", "", Unit("deg", "angle", 0, 0.017453292519943295), Unit("turn", "angle", 0, 6.283185307179586)),
        _dimension("resistance per length", "a resistance per length", "ohm/m", "kg1 m1 s-3 A-2", "m",
                   Unit("ohm/km", "resistance per length", -3), Unit("ohm/ft", "resistance per length", 0, 1 / (12 * _IN))),
        _dimension("stiffness", "a force per length", "N/m", "kg1 s-2", "", Unit("N/mm", "stiffness", 3)),
        _dimension("slope", "a voltage per time", "V/s", "kg1 m2 s-4 A-1", "m", Unit("V/us", "slope", 6)),
    )
}
"""Each dimension by its name. A field of the dimension ``any`` takes them all."""

UNITS: Mapping[str, Unit] = {unit.name: unit for dimension in DIMENSIONS.values() for unit in dimension.units}

ALIASES: Mapping[str, str] = {
    "ohms": "ohm", "R": "ohm", "kR": "kohm", "Kohm": "kohm", "MR": "Mohm",
    "mfd": "uF", "MFD": "uF", "Nm": "N m", "Ncm": "N cm",
    "in lbf": "lbf in", "lb in": "lbf in", "in lb": "lbf in", "in-lb": "lbf in", "lb-in": "lbf in", "in-lbf": "lbf in", "lbf-in": "lbf in",
    "ft lbf": "lbf ft", "lb ft": "lbf ft", "ft lb": "lbf ft", "ft-lb": "lbf ft", "lb-ft": "lbf ft", "ft-lbf": "lbf ft", "lbf-ft": "lbf ft",
    "oz in": "ozf in", "in oz": "ozf in", "oz-in": "ozf in", "in-oz": "ozf in",
    '"': "in", "sec": "s", "per hour": "/h", "turns": "turn",
    "volt": "V", "volts": "V", "amp": "A", "amps": "A", "ampere": "A", "watt": "W", "watts": "W", "milliamp": "mA", "milliamps": "mA",
    "millivolt": "mV", "millivolts": "mV", "hertz": "Hz", "inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "hour": "h", "hours": "h",
}
"""Other spellings that mean one unit and nothing else."""

BARE: Mapping[str, Mapping[str, str]] = {
    "resistance": {"k": "kohm", "K": "kohm", "M": "Mohm", "G": "Gohm"},
    "capacitance": {"u": "uF", "n": "nF", "p": "pF"},
    "inductance": {"m": "mH", "u": "uH"},
    "voltage": {"k": "kV", "m": "mV"},
    "current": {"m": "mA", "u": "uA"},
    "frequency": {"k": "kHz", "M": "MHz"},
    "power": {"m": "mW", "k": "kW"},
    "any": {"k": "kohm", "K": "kohm", "M": "Mohm", "u": "uF", "n": "nF", "p": "pF"},
}
"""A prefix written without its unit, where only one unit can be meant."""

MARKS: Mapping[str, Mapping[str, str]] = {
    "resistance": {"R": "ohm", "r": "ohm", "k": "kohm", "K": "kohm", "M": "Mohm", "G": "Gohm"},
    "capacitance": {"F": "F", "m": "mF", "u": "uF", "n": "nF", "p": "pF"},
    "inductance": {"H": "H", "m": "mH", "u": "uH"},
    "voltage": {"V": "V"},
    "any": {"R": "ohm", "k": "kohm", "K": "kohm", "M": "Mohm", "u": "uF", "n": "nF", "p": "pF"},
}
"""IEC 60062: the letter that stands where the decimal point would."""

FOLDED: Mapping[str, str] = {
    "\u00b5": "u", "\u03bc": "u", "\u03a9": "ohm", "\u2126": "ohm", "\u2212": "-", "\u00b0C": "degC",
    "\u00a0": " ", "\u2009": " ", "\u202f": " ", "\u00b2": "2", "\u00b7": " ",
}
"""Signs outside ASCII that are read as their plain spelling; every other one is refused."""

SHOWN: Mapping[str, str] = {"ohm": "\u03a9", "deg": "\u00b0", "degC": "\u00b0C", "m2": "m\u00b2", "in2": "in\u00b2"}


def symbol(unit: str) -> str:
    """A unit as a page shows it: ``kohm`` as kΩ, ``uF`` as µF, ``1`` as nothing."""
    if unit == "1":
        return ""
    if unit == "degC":
        return SHOWN[unit]
    if unit == "deg":
        return SHOWN[unit]
    words = unit.replace("ohm", SHOWN["ohm"]).replace("m2", SHOWN["m2"]).replace("in2", SHOWN["in2"])
    known = UNITS.get(unit)
    return "\u00b5" + words[1:] if known is not None and known.power == -6 and words.startswith("u") else words


def base_of(dimension: str) -> str:
    """The SI unit in which values of a dimension are kept."""
    return DIMENSIONS[dimension].base
