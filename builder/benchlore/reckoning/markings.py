"""Values as they are marked on parts (IEC 60062): letter-and-digit codes and three-digit codes, both ways."""

from __future__ import annotations

import re
from collections.abc import Mapping

from benchlore.quantity import QuantityProblem, rounded

TOLERANCE_LETTERS: Mapping[str, float] = {"B": 0.001, "C": 0.0025, "D": 0.005, "F": 0.01, "G": 0.02, "J": 0.05, "K": 0.1, "M": 0.2}
UNMARKED = 0.2
MULTIPLIERS: Mapping[str, tuple[tuple[str, int], ...]] = {
    "ohm": (("R", 0), ("K", 3), ("M", 6), ("G", 9)),
    "F": (("p", -12), ("n", -9), ("u", -6), ("m", -3)),
}
PATTERNS: Mapping[str, str] = {
    "ohm": r"([0-9]{0,4})([RKMGrk])([0-9]{0,4})([BCDFGJKM]?)",
    "F": r"([0-9]{0,4})([pnum])([0-9]{0,4})([BCDFGJKM]?)",
    "digits": r"([0-9]{2,3})([0-9])([BCDFGJKM]?)",
    "point": r"([0-9]{0,2})R([0-9]{1,2})([BCDFGJKM]?)",
}
SMALL: Mapping[str, int] = {"8": -2, "9": -1}
"""The last digit of a capacitor's code that divides instead of multiplying."""


def read_letters(text: str, unit: str) -> tuple[float, float]:
    """Value in SI and tolerance (a ratio) of ``4K7``, ``470RK`` or ``n47``. Raises ``QuantityProblem``."""
    code = text.strip().replace("\u00b5", "u").replace("\u03bc", "u")
    found = re.fullmatch(PATTERNS[unit], code)
    if found is None or not (found[1] or found[3]):
        example = "4K7, R47 or 470RK" if unit == "ohm" else "4n7, n47 or 100nK"
        raise QuantityProblem(f'"{_plain(text)}" is not a letter code', f"write it as it stands on the part, such as {example}")
    letter = found[2].upper() if unit == "ohm" else found[2]
    power = dict(MULTIPLIERS[unit])[letter]
    return float(f"{found[1] or '0'}.{found[3] or '0'}e{power}"), TOLERANCE_LETTERS.get(found[4], UNMARKED)


def read_digits(text: str, unit: str) -> tuple[float, float]:
    """Value in SI and tolerance (a ratio) of ``104``, ``4702`` or ``4R7``; a capacitor's counts picofarads."""
    code = text.strip()
    base = -12 if unit == "F" else 0
    if found := re.fullmatch(PATTERNS["point"], code):
        return float(f"{found[1] or '0'}.{found[2]}e{base}"), TOLERANCE_LETTERS.get(found[3], UNMARKED)
    found = re.fullmatch(PATTERNS["digits"], code)
    if found is None:
        raise QuantityProblem(f'"{_plain(text)}" is not a digit code', "write three or four digits as on the part, such as 104 or 4702")
    power = SMALL.get(found[2], int(found[2])) if unit == "F" else int(found[2])
    return float(f"{found[1]}e{power + base}"), TOLERANCE_LETTERS.get(found[3], UNMARKED)


def letters(value: float, unit: str) -> str:
    """The letter code of a value in SI, to three figures: ``4K7``, ``R47``, ``100n``."""
    if value <= 0:
        return "0R" if unit == "ohm" else "0p"
    table = MULTIPLIERS[unit]
    fitting = [(letter, power) for letter, power in table if value * (1 + 5e-4) >= 10.0**power]
    letter, power = fitting[-1] if fitting else table[0]
    whole, _, part = rounded(value / 10.0**power if power >= 0 else value * 10.0**-power, 3).partition(".")
    return f"{'' if whole == '0' else whole}{letter}{part}"


def digits(value: float, unit: str) -> str:
    """The digit code of a value in SI: three digits, or four where it has three figures; ``4R7`` below ten."""
    counted = rounded(value * 1e12 if unit == "F" else value, 3)
    if float(counted) < 10:
        whole, _, part = counted.partition(".")
        return f"{'' if whole == '0' else whole}R{part or '0'}"
    figures = counted.replace(".", "").rstrip("0")
    length = 2 if len(figures) <= 2 else 3
    zeros = len(counted.partition(".")[0]) - length
    if zeros < 0 or zeros > 9:
        return counted
    return figures.ljust(length, "0") + str(zeros)


def _plain(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text[:40])
