"""The root of an equation between two ends at which its sides change places: Brent's method.

The same steps in the same order stand in ``assets/js/reckon.js``, so that both land on the same number.
(R. P. Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4, procedure zero.)
"""

from __future__ import annotations

from collections.abc import Callable

EPSILON = 2.220446049250313e-16
TINY = 1e-30
MOST_GUESSES = 200


def root_between(f: Callable[[float], float], low: float, high: float) -> float | None:
    """Where ``f`` crosses zero between ``low`` and ``high``; None where it has the same sign at both ends."""
    a, b = low, high
    fa, fb = f(a), f(b)
    if fa == 0:
        return a
    if fb == 0:
        return b
    if (fa > 0) == (fb > 0):
        return None
    c, fc = a, fa
    d = e = b - a
    for _ in range(MOST_GUESSES):
        if abs(fc) < abs(fb):
            a, b, c = b, c, b
            fa, fb, fc = fb, fc, fb
        tolerance = 2 * EPSILON * abs(b) + TINY
        half = (c - b) / 2
        if abs(half) <= tolerance or fb == 0:
            return b
        d, e = _stride(a, b, c, fa, fb, fc, d, e, half, tolerance)
        a, fa = b, fb
        b += d if abs(d) > tolerance else (tolerance if half > 0 else -tolerance)
        fb = f(b)
        if (fb > 0) == (fc > 0):
            c, fc = a, fa
            d = e = b - a
    return b


def _stride(
    a: float, b: float, c: float, fa: float, fb: float, fc: float, d: float, e: float, half: float, tolerance: float
) -> tuple[float, float]:
    """The next step by secant or inverse quadratic interpolation where that is safe, else by halving."""
    if abs(e) < tolerance or abs(fa) <= abs(fb):
        return half, half
    s = fb / fa
    if a == c:
        p, q = 2 * half * s, 1 - s
    else:
        q, r = fa / fc, fb / fc
        p = s * (2 * half * q * (q - r) - (b - a) * (r - 1))
        q = (q - 1) * (r - 1) * (s - 1)
    if p > 0:
        q = -q
    else:
        p = -p
    if 2 * p < min(3 * half * q - abs(tolerance * q), abs(e * q)):
        return p / q, d
    return half, half
