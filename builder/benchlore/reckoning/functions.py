"""What each sign and function of the algebra does to numbers; the browser's ``reckon.js`` does the same.

Every one either gives a number or raises ``Impossible`` with the reason in words: no NaN or infinity ever travels.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from benchlore.reckoning.series import above, below, nearest_in

PI = math.pi


class Impossible(ArithmeticError):
    """A sum that has no answer for these values, said in words (``division by zero``)."""


def _divide(a: float, b: float) -> float:
    if b == 0:
        raise Impossible("division by zero")
    return a / b


def _power(a: float, b: float) -> float:
    if a == 0 and b < 0:
        raise Impossible("division by zero")
    if a < 0 and b != math.floor(b):
        raise Impossible("a fractional power of a negative number")
    try:
        return math.pow(a, b)
    except (OverflowError, ValueError):
        raise Impossible("a number too large") from None


def _sqrt(a: float) -> float:
    if a < 0:
        raise Impossible("the square root of a negative number")
    return math.sqrt(a)


def _exp(a: float) -> float:
    try:
        return math.exp(a)
    except OverflowError:
        raise Impossible("a number too large") from None


def _positive(a: float) -> float:
    if a <= 0:
        raise Impossible("the logarithm of zero or of a negative number")
    return a


def _mod(a: float, b: float) -> float:
    return a - b * math.floor(_divide(a, b))


def decade(a: float) -> float:
    """The power of ten of the first significant figure, safe at powers of ten; of 0 it is 0."""
    if a == 0:
        return 0.0
    return float(math.floor(math.log10(abs(a) * (1 + 1e-12))))


def digit(a: float, n: float) -> float:
    """The ``n``-th significant figure of ``a`` rounded to twelve figures; n from 1."""
    if not 1 <= n <= 9:
        raise Impossible("a figure before the first or after the ninth")
    scaled = abs(a) / 10.0 ** (decade(a) - n + 1)
    return float(math.floor(scaled * (1 + 1e-12)) % 10)


SCALAR: Mapping[str, Callable[..., float]] = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": _divide,
    "**": _power,
    "neg": lambda a: -a,
    "<": lambda a, b: a < b,
    "<=": lambda a, b: a <= b,
    ">": lambda a, b: a > b,
    ">=": lambda a, b: a >= b,
    "==": lambda a, b: a == b,
    "!=": lambda a, b: a != b,
    "not": lambda a: not a,
    "sqrt": _sqrt,
    "exp": _exp,
    "ln": lambda a: math.log(_positive(a)),
    "log10": lambda a: math.log10(_positive(a)),
    "sin": math.sin,
    "cos": math.cos,
    "atan": math.atan,
    "abs": abs,
    "floor": lambda a: float(math.floor(a)),
    "mod": _mod,
    "min": min,
    "max": max,
    "digit": digit,
    "decade": decade,
    **{f"nearest_e{n}": (lambda a, n=n: nearest_in(a, n)) for n in (6, 12, 24, 48, 96, 192)},
    **{f"above_e{n}": (lambda a, n=n: above(a, n)) for n in (6, 12, 24, 48, 96, 192)},
    **{f"below_e{n}": (lambda a, n=n: below(a, n)) for n in (6, 12, 24, 48, 96, 192)},
}
"""Functions of plain numbers. ``when``, ``and`` and ``or`` are lazy and are taken care of where trees are run."""

LEAST_ARGUMENTS: Mapping[str, tuple[int, int]] = {
    **dict.fromkeys(("sqrt", "exp", "ln", "log10", "sin", "cos", "atan", "abs", "floor", "decade"), (1, 1)),
    **{name: (1, 1) for name in SCALAR if name.startswith(("nearest_", "above_", "below_"))},
    **dict.fromkeys(("sum", "mean", "count", "first", "last", "running", "upto"), (1, 1)),
    "mod": (2, 2),
    "digit": (2, 2),
    "min": (1, 8),
    "max": (1, 8),
}
"""Every function that may be written by name, and how many arguments it takes."""

LIST_TO_NUMBER = ("sum", "mean", "count", "first", "last", "min", "max")
LIST_TO_LIST = ("running",)
STEPPED = frozenset(name for name in SCALAR if name in ("floor", "mod", "digit", "decade") or "_e" in name)
"""Functions that go in steps: their derivative is taken as zero."""

LARGEST_UPTO = 60

UNIT_CONSTANTS: Mapping[str, str] = {
    "volt": "voltage", "amp": "current", "watt": "power", "ohm_": "resistance", "siemens": "conductance",
    "farad": "capacitance", "henry": "inductance", "hertz": "frequency", "second": "time", "metre": "length",
    "kilogram": "mass", "newton": "force", "joule": "energy", "coulomb": "charge", "pascal": "pressure", "kelvin": "temperature",
}
"""Names that are 1 in SI and carry a dimension."""

RESERVED = frozenset({*LEAST_ARGUMENTS, *UNIT_CONSTANTS, "pi", "when", "zip"})


def reduce_list(name: str, items: list[float]) -> float:
    """``sum``, ``mean``, ``count``, ``first``, ``last``, ``min`` or ``max`` of a list of numbers."""
    if name == "count":
        return float(len(items))
    if not items:
        if name == "sum":
            return 0.0
        raise Impossible(f"the {name} of an empty list")
    if name in ("sum", "mean"):
        total = 0.0
        for item in items:  # in order, as the browser does it
            total += item
        return total if name == "sum" else total / len(items)
    return items[0] if name == "first" else items[-1] if name == "last" else min(items) if name == "min" else max(items)


def upto(n: float) -> list[float]:
    """The list 1, 2 ... n."""
    if not (0 <= n <= LARGEST_UPTO and n == math.floor(n)):
        raise Impossible(f"a list of {n:g} items (0 to {LARGEST_UPTO} are possible)")
    return [float(i) for i in range(1, int(n) + 1)]
