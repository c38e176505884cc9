"""How well a result is known (JCGM 100:2008, first order, inputs taken as independent).

A tolerance is a half-width inside which every value is as likely as any other, so its standard uncertainty is the
half-width over the square root of 3 (GUM 4.3.7). Results carry the expanded uncertainty, k = 2.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.quantity import QuantityProblem, read_input
from benchlore.reckoning.running import Slope
from benchlore.units import UNITS

COVERAGE = 2.0
MOST_PARTS = 3
_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,6})?|\.[0-9]{1,6}) ?%")
_DIGITS = re.compile(r"([0-9]{1,3}(?:\.[0-9])?) ?(?:digits?|counts?)")


@dataclass(frozen=True, slots=True)
class Tolerance:
    """Half-width: ``share`` of the reading, plus ``digits`` counts of its last digit, plus ``fixed`` in SI."""

    share: float = 0.0
    digits: float = 0.0
    fixed: float = 0.0

    def half_width(self, value: float, step: float) -> float:
        """The half-width in SI around a reading whose last digit counts ``step``."""
        return self.share * abs(value) + self.digits * step + self.fixed


def read_tolerance(text: str, unit: str) -> Tolerance:
    """Read ``5 %``, ``0.5 % + 2 digits``, ``1 V`` or ``exact``; of a field in ``unit``. Raises ``QuantityProblem``."""
    share = digits = fixed = 0.0
    written = text.strip()
    if written in ("", "exact"):
        return Tolerance()
    parts = [part.strip().replace(",", ".") for part in written.removeprefix("\u00b1").split("+")]
    if len(parts) > MOST_PARTS:
        raise QuantityProblem(f"a tolerance has at most {MOST_PARTS} parts", "write it as 0.5 % + 2 digits")
    for part in parts:
        if found := _PERCENT.fullmatch(part):
            share += float(found[1]) / 100
        elif found := _DIGITS.fullmatch(part):
            digits += float(found[1])
        else:
            fixed += _fixed(part, unit)
    return Tolerance(share, digits, fixed)


def _fixed(text: str, unit: str) -> float:
    try:
        read = read_input(text, unit).quantity
    except QuantityProblem as problem:
        raise QuantityProblem(f'"{text[:40]}" is no tolerance', f"write 5 %, 0.5 % + 2 digits, 1 {unit} or exact") from problem
    value = read.value - UNITS[read.unit].offset
    if value < 0:
        raise QuantityProblem("a tolerance is not below zero", "write its half-width without a sign")
    return value


@dataclass(frozen=True, slots=True)
class Known:
    """The expanded uncertainty (k = 2) in SI, and the share of its square that each quantity brings."""

    expanded: float
    shares: Mapping[str, float]

    @property
    def dominant(self) -> tuple[str, float] | None:
        """The quantity that brings most of it, and its share."""
        if not self.shares:
            return None
        key = max(self.shares, key=lambda k: (self.shares[k], k))
        return key, self.shares[key]


def combined(slope: Slope, half_widths: Mapping[str, float]) -> Known:
    """The law of propagation (GUM equation 10) over independent quantities."""
    squares = {key: (amount * half_widths[key]) ** 2 / 3 for key, amount in slope.items() if half_widths.get(key)}
    total = 0.0
    for square in squares.values():
        total += square
    shares = {key: square / total for key, square in squares.items()} if total > 0 else {}
    return Known(COVERAGE * math.sqrt(total), shares)
