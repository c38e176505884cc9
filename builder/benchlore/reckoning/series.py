"""Preferred values (IEC 60063): E3 to E24 are a table, E48 to E192 a rule with one exception."""

from __future__ import annotations

import math
from functools import cache

_E24 = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)


@cache
def members(count: int) -> tuple[float, ...]:
    """The members of a series in one decade, from 1 to below 10; ``count`` is 3, 6, 12, 24, 48, 96 or 192."""
    if count <= 24:
        return tuple(value / 10 for value in _E24[:: 24 // count])
    rule = (round(100 * 10 ** (i / count)) for i in range(count))
    return tuple((920 if value == 919 and count == 192 else value) / 100 for value in rule)


def around(value: float, count: int) -> tuple[float, float]:
    """The preferred values at or below and at or above ``value``; 0 twice where it is not above zero."""
    if value <= 0:
        return 0.0, 0.0
    power = math.floor(math.log10(value))
    ladder = [_placed(m, p) for p in (power - 1, power, power + 1) for m in members(count)]
    slack = value * 1e-9  # a value reckoned to 4699.999999999 is 4700
    low = max(step for step in ladder if step <= value + slack)
    high = min(step for step in ladder if step >= value - slack)
    return low, high


def _placed(member: float, power: int) -> float:
    """A member in its decade, as the nearest binary number to its decimals."""
    return float(f"{member}e{power}")


def nearest_in(value: float, count: int) -> float:
    """The preferred value with the smallest difference; of two as near, the larger."""
    low, high = around(value, count)
    return low if value - low < high - value else high


def above(value: float, count: int) -> float:
    """The preferred value at or above ``value``."""
    return around(value, count)[1]


def below(value: float, count: int) -> float:
    """The preferred value at or below ``value``."""
    return around(value, count)[0]
