"""Quantities as the trade writes them, read by one strict ASCII grammar.

The grammar is data (``grammar``): patterns, units, spellings. Python reads it here; the browser gets the same data
and the same few steps in ``assets/js/quantity.js``. Nothing is guessed: what could mean two things is asked about.
"""

from __future__ import annotations

import decimal
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NoReturn

from benchlore.units import ALIASES, BARE, DIMENSIONS, FOLDED, MARKS, UNITS, Unit, symbol

LONGEST = 60
LARGEST = 1e15
STEADY = 12
_HALVES_UP = {digits: decimal.Context(prec=digits, rounding=decimal.ROUND_HALF_UP) for digits in range(1, STEADY + 1)}
_NUMBER = r"[+-]?(?:[0-9]{1,15}(?:\.[0-9]{1,15})?|\.[0-9]{1,15})"
_UNIT = r"([A-Za-z%/\"][A-Za-z0-9%/\" -]{0,19})"
PATTERNS: Mapping[str, str] = {
    "plain": rf"({_NUMBER}) ?{_UNIT}?",
    "marked": rf"([+-]?)([0-9]{{0,9}})([A-Za-z])([0-9]{{1,9}})(?: ?{_UNIT})?",
    "fraction": rf"(?:([0-9]{{1,3}}) )?([0-9]{{1,4}})/([0-9]{{1,4}}) ?{_UNIT}?",
    "ratio": r"([0-9]{1,9}(?:\.[0-9]{1,9})?):1",
    "range": rf"({_NUMBER})\.\.({_NUMBER}) ?{_UNIT}?",
    "comma": r"([+-]?)([0-9]{0,15}),([0-9]{1,15})([^,.]*)",
}
"""Whole-text patterns, written so that Python and JavaScript read them alike."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value or range in SI units, the unit it was written in, and the text as written."""

    low: float
    high: float
    unit: str
    text: str

    @property
    def value(self) -> float:
        """The value in SI; of a range, its middle."""
        return self.low if self.low == self.high else (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        """Was it written ``A..B``?"""
        return self.low != self.high

    @property
    def dimension(self) -> str:
        """Name of the dimension of its unit; a plain number is a ``number``."""
        return UNITS[self.unit].dimension if self.unit in UNITS and self.unit != "1" else "number"

    def in_unit(self, unit: str) -> float:
        """The value in another unit of its dimension."""
        return in_unit(self.value, unit)


@dataclass(frozen=True, slots=True)
class Unknown:
    """Nobody has measured it; said out loud as ``unknown``."""

    text: str = "unknown"


UNKNOWN = Unknown()


class QuantityProblem(ValueError):
    """Text that is no quantity of the kind wanted: what is wrong, and how to mend it."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Reading:
    """A quantity with the size, in SI, of one count of the last digit as typed (0 where that has no meaning)."""

    quantity: Quantity
    step: float


def parse_quantity(text: str, dimension: str) -> Quantity:
    """Read a quantity in an entry: unit written out, ranges allowed, decimal point only.

    ``dimension`` is a key of ``DIMENSIONS`` or ``any``; values come back in SI. Raises ``QuantityProblem``.
    """
    folded = _fold(text)
    if "," in folded:
        _refuse(f"{_quoted(text)} holds a comma", "write the decimals after a point, and thousands without a mark")
    return _read(folded, text, dimension, None).quantity


def read_input(text: str, unit: str) -> Reading:
    """Read what a technician typed into a field whose own unit is ``unit``.

    A plain number is taken in that unit; ``0,5`` is 0.5; ``1,500`` is asked about. Ranges are refused.
    """
    folded = _without_comma(re.sub(" +", " ", _fold(text)))
    if ".." in folded:
        _refuse(f"{_quoted(text)} is a range", "give one value")
    return _read(folded, text, dimension_of(unit), UNITS[unit])


def dimension_of(unit: str) -> str:
    """The name of the dimension that a known unit measures."""
    return UNITS[unit].dimension


def in_unit(value: float, unit: str) -> float:
    """An SI value as a number of ``unit``."""
    known = UNITS[unit]
    shifted = (value - known.offset) / known.scale
    return shifted * 10.0**-known.power if known.power < 0 else shifted / 10.0**known.power


def rounded(value: float, digits: int) -> str:
    """A number with ``digits`` significant figures, plainly written, halves away from zero, no idle zeros.

    Rounded to twelve figures first, so that the last bit of a sum never decides a half; ``quantity.js`` does the same.
    """
    if value == 0 or not math.isfinite(value):
        return "0"
    steady = _HALVES_UP[STEADY].create_decimal(decimal.Decimal(value))
    plain = format(_HALVES_UP[digits].plus(steady), "f")
    return plain.rstrip("0").rstrip(".") if "." in plain else plain


def shown(value: float, unit: str, digits: int = 4) -> str:
    """An SI value as a page shows it in ``unit``: ``14.28 W``, ``4.7 kΩ``, ``85 %``."""
    sign = symbol(unit)
    glue = "" if sign in ("", "\u00b0") or sign.startswith("/") else " "
    return f"{rounded(in_unit(value, unit), digits)}{glue}{sign}"


def engineering(value: float, dimension: str, digits: int = 4) -> str:
    """An SI value with the prefix that keeps its number between 1 and 1000 where the dimension has one."""
    return shown(value, fitting(value, dimension, digits), digits)


def fitting(value: float, dimension: str, digits: int = 4) -> str:
    """The unit with that prefix."""
    table = DIMENSIONS[dimension]
    plain = [u for u in table.units if u.scale == 1.0 and u.offset == 0.0 and u.name.endswith(table.base) and u.power % 3 == 0]
    if dimension in ("ratio", "number") or not plain:
        return table.base
    size = abs(value) * (1 + 0.5 * 10.0**-digits)
    fit = [u for u in plain if size >= 10.0**u.power] if size else []
    unit = max(fit, key=lambda u: u.power) if fit else min(plain, key=lambda u: abs(u.power) if not size else u.power)
    return unit.name


def grammar() -> dict[str, object]:
    """The whole grammar as plain data for the browser; every part is JSON."""
    return {
        "longest": LONGEST,
        "largest": LARGEST,
        "patterns": dict(PATTERNS),
        "folded": dict(FOLDED),
        "units": {u.name: [u.dimension, u.power, u.scale, u.offset, symbol(u.name)] for u in UNITS.values()},
        "dimensions": {d.name: [d.said, d.base, [u.name for u in d.units]] for d in DIMENSIONS.values()},
        "aliases": dict(ALIASES),
        "bare": {name: dict(table) for name, table in BARE.items()},
        "marks": {name: dict(table) for name, table in MARKS.items()},
    }


def _fold(text: str) -> str:
    """Plain spelling in ASCII, or a refusal."""
    if len(text) > LONGEST:
        _refuse(f"this is {len(text)} characters long", f"a quantity has at most {LONGEST}")
    folded = text.strip(" ")
    for sign, plain in FOLDED.items():
        folded = folded.replace(sign, plain)
    if not folded:
        _refuse("nothing is written here", "write a number and its unit")
    odd = next((c for c in folded if not " " <= c <= "~"), None)
    if odd is not None:
        _refuse(f"{_quoted(text)} holds a sign that no quantity has (U+{ord(odd):04X})", "use plain digits and unit letters")
    return folded.strip(" ")


def _without_comma(text: str) -> str:
    """A decimal comma made a point; one that could part thousands is asked about."""
    if "," not in text:
        return text
    found = re.fullmatch(PATTERNS["comma"], text)
    if found is None:
        _refuse(f"{_quoted(text)} has more than one comma or point", "write it without marks between thousands")
    sign, whole, decimals, rest = found.groups()
    if len(decimals) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0"):
        _refuse(
            f"{_quoted(text)} could be {sign}{whole}{decimals}{rest} or {sign}{whole}.{decimals}{rest}",
            "which is meant? Write it without the comma, or with a point",
        )
    return f"{sign}{whole or '0'}.{decimals}{rest}"


def _read(text: str, original: str, dimension: str, own: Unit | None) -> Reading:
    """Try the forms in order; ``own`` is the unit of a plain number (None: a unit must be written)."""
    if found := re.fullmatch(PATTERNS["range"], text):
        return _range(found[1], found[2], _unit(found[3], original, dimension, own), original)
    if found := re.fullmatch(PATTERNS["fraction"], text):
        return _fraction(found[1], found[2], found[3], _unit(found[4], original, dimension, own), original)
    if dimension in ("ratio", "number", "any") and (found := re.fullmatch(PATTERNS["ratio"], text)):
        return _reading(found[1], UNITS["1"], original)
    if found := re.fullmatch(PATTERNS["marked"], text):
        marked = _marked(found[1], found[2], found[3], found[4], found[5], dimension)
        if marked is not None:
            return _reading(marked[0], marked[1], original)
    if found := re.fullmatch(PATTERNS["plain"], text):
        return _reading(found[1], _unit(found[2], original, dimension, own), original)
    _refuse(f"{_quoted(original)} is not a quantity", f"write it as {_example(dimension, own)}")


def _marked(sign: str, whole: str, letter: str, part: str, unit: str | None, dimension: str) -> tuple[str, Unit] | None:
    """``4k7`` as ``4.7`` and kohm; None where the letter marks nothing in this dimension."""
    name = MARKS.get(dimension, {}).get(letter)
    if name is None:
        return None
    if unit is not None and ALIASES.get(unit, unit) != DIMENSIONS[UNITS[name].dimension].base:
        return None
    return f"{sign}{whole or '0'}.{part}", UNITS[name]


def _unit(word: str | None, text: str, dimension: str, own: Unit | None) -> Unit:
    """The unit meant by a word in this dimension, or a refusal that says which units are wanted."""
    if word is None:
        if own is not None:
            return own
        if dimension == "number":
            return UNITS["1"]
        _refuse(f"{_quoted(text)} has no unit", f"write a number and a unit, such as {_example(dimension, None)}")
    spelled = word.strip(" ")
    name = ALIASES.get(spelled, spelled)
    known = UNITS.get(name)
    if known is not None and known.name != "1" and (dimension in ("any", known.dimension)):
        return known
    bare = BARE.get(dimension, {}).get(spelled)
    if bare is not None:
        return UNITS[bare]
    if dimension == "number":
        _refuse(f"{_quoted(text)} has a unit", "a plain number is wanted here")
    if known is not None and known.name != "1" and not (dimension == "resistance" and spelled == "m"):
        _refuse_dimension(text, known, dimension, own)
    _refuse_unit(text, spelled, dimension)


def _refuse_dimension(text: str, known: Unit, dimension: str, own: Unit | None) -> NoReturn:
    want = DIMENSIONS[dimension]
    wanted = own.name if own is not None else want.base
    expected = "a plain number" if wanted == "1" else f"{want.said} ({wanted})"
    _refuse(
        f"{_quoted(text)} is {DIMENSIONS[known.dimension].said} ({known.name}), but {expected} is wanted here",
        f"write it in {_listed(dimension)}" if wanted != "1" else "leave the unit out",
    )


def _refuse_unit(text: str, word: str, dimension: str) -> NoReturn:
    if dimension == "resistance" and word == "m":
        _refuse(f"{_quoted(text)} could be M (millions of ohms) or mohm (thousandths)", "which is meant? Write M or mohm")
    names = list(UNITS) if dimension == "any" else [u.name for u in DIMENSIONS[dimension].units]
    near = next((n for n in names if n.lower() == word.lower()), None)
    hint = f"did you mean {near}?" if near else f"units known here: {_listed(dimension)}"
    _refuse(f"{_quoted(text)}: the unit {_quoted(word)} is not known", hint)


def _reading(number: str, unit: Unit, text: str) -> Reading:
    """One decimal number and its unit, rounded once."""
    value = _si(number, unit, text)
    decimals = len(number.partition(".")[2])
    return Reading(Quantity(value, value, unit.name, text), float(f"1e{unit.power - decimals}") * unit.scale)


def _range(low: str, high: str, unit: Unit, text: str) -> Reading:
    ends = _si(low, unit, text), _si(high, unit, text)
    if ends[0] > ends[1]:
        _refuse(f"{_quoted(text)} runs from high to low", "write the lower end first")
    return Reading(Quantity(ends[0], ends[1], unit.name, text), 0.0)


def _fraction(whole: str | None, over: str, under: str, unit: Unit, text: str) -> Reading:
    if int(under) == 0:
        _refuse(f"{_quoted(text)} divides by zero", "write a fraction such as 1/4 in")
    value = _si("1", unit, text) * ((int(whole or "0") * int(under) + int(over)) / int(under))
    return Reading(Quantity(value, value, unit.name, text), 0.0)


def _si(number: str, unit: Unit, text: str) -> float:
    value = float(f"{number}e{unit.power}") * unit.scale + unit.offset
    if not abs(value) <= LARGEST:
        _refuse(f"{_quoted(text)} is too large", "no bench quantity is that large; check the unit")
    return value


def _example(dimension: str, own: Unit | None) -> str:
    if own is not None:
        return f"12 {own.name}" if own.name != "1" else "12"
    if dimension == "number":
        return "12"
    special = {"ratio": "95 %", "any": "12 V", "resistance": "4k7 or 100 ohm"}
    return special.get(dimension) or f"12 {DIMENSIONS[dimension].base}"


def _listed(dimension: str) -> str:
    if dimension == "any":
        return "V, mA, ohm, W, uF, Hz, mm and their like"
    return ", ".join(u.name for u in DIMENSIONS[dimension].units if u.name != "1")


def _quoted(text: str) -> str:
    return '"' + "".join(c if c.isprintable() else "?" for c in text) + '"'


def _refuse(message: str, hint: str) -> NoReturn:
    raise QuantityProblem(message, hint)
