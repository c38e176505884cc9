"""The root of an equation between two ends at which its sides change places: Brent's method.

Written in the subset that ``javascript.py`` prints, so that the browser runs this very text and lands on the same
number. (R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4, procedure zero.)
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchlore.javascript import javascript_of

EPSILON = 2.220446049250313e-16
TINY = 1e-30
MOST_GUESSES = 200


def root_between(f: Callable[[float], float], low: float, high: float) -> float | None:
    """Where ``f`` crosses zero between ``low`` and ``high``; None where it has the same sign at both ends."""
    a = low
    b = high
    fa = f(a)
    fb = f(b)
    if (fa > 0 and fb > 0) or (fa < 0 and fb < 0):
        return None
    c = a
    fc = fa
    d = b - a
    e = d
    for _guess in range(MOST_GUESSES):
        if abs(fc) < abs(fb):
            a = b
            b = c
            c = a
            fa = fb
            fb = fc
            fc = fa
        tolerance = 2 * EPSILON * abs(b) + TINY
        half = (c - b) / 2
        if abs(half) <= tolerance or fb == 0:
            return b
        before = d
        d = stride(a, b, c, fa, fb, fc, e, half, tolerance)
        e = half if d == half else before
        a = b
        fa = fb
        b = b + (d if abs(d) > tolerance else (tolerance if half > 0 else -tolerance))
        fb = f(b)
        if (fb > 0) == (fc > 0):
            c = a
            fc = fa
            d = b - a
            e = d
    return b


def stride(
    a: float, b: float, c: float, fa: float, fb: float, fc: float, e: float, half: float, tolerance: float
) -> float:
    """The next step by secant or inverse quadratic interpolation where that is safe, else by halving."""
    if abs(e) < tolerance or abs(fa) <= abs(fb):
        return half
    s = fb / fa
    p = 2 * half * s
    q = 1 - s
    if a != c:
        t = fa / fc
        r = fb / fc
        p = s * (2 * half * t * (t - r) - (b - a) * (r - 1))
        q = (t - 1) * (r - 1) * (s - 1)
    if p > 0:
        q = -q
    else:
        p = -p
    if 2 * p < min(3 * half * q - abs(tolerance * q), abs(e * q)):
        return p / q
    return half


def solver_script() -> str:
    """The same two functions as JavaScript."""
    printed: tuple[Any, ...] = (root_between, stride)
    return javascript_of(printed, {"EPSILON": EPSILON, "TINY": TINY, "MOST_GUESSES": MOST_GUESSES})
