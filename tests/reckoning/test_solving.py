"""The solver against SciPy's brentq, and what is said where there is no answer."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from scipy.optimize import brentq  # type: ignore[import-untyped]
from tests.reckoning.making import made, simple

from benchlore.reckoning.solving import root_between

CASES: list[tuple[Callable[[float], float], float, float]] = [
    (lambda x: math.cos(x) - x, 0, 1),
    (lambda x: x**3 - 2 * x - 5, 2, 3),
    (lambda x: math.exp(x) - 1e6, 0, 100),
    (lambda x: x**9 - 1e-3, -1, 1.7),
    (lambda x: math.atan(x - 0.3) * 1e-6, -1e3, 1e3),
    (lambda x: math.log(x) + 20, 1e-12, 1.0),
    (lambda x: (max(x - 10, 0)) ** 1.5 - 1e-3, 0, 300),
    (lambda x: x - 0.0321, 0, 1),
    (lambda x: -x + 1e-9, 0, 1),
    (lambda x: math.copysign(1, x - 0.123456789), 0, 1),
]


@pytest.mark.parametrize(("f", "low", "high"), CASES)
def test_roots_are_those_of_scipy(f: Callable[[float], float], low: float, high: float) -> None:
    """Each root is the one that SciPy's brentq finds, from either end of the bracket."""
    wanted = brentq(f, low, high, xtol=1e-300, rtol=8.9e-16, maxiter=1000)
    for ends in ((low, high), (high, low)):
        found = root_between(f, *ends)
        assert found == pytest.approx(wanted, rel=1e-12, abs=1e-15)


def test_few_guesses() -> None:
    """A smooth equation takes about as many evaluations as brentq's own (at most twenty)."""
    seen: list[float] = []
    root_between(lambda x: seen.append(x) or math.cos(x) - x, 0, 1)  # type: ignore[func-returns-value]
    assert len(seen) <= 20


@pytest.mark.parametrize(("low", "high", "root"), [(0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)])
def test_a_root_at_an_end_is_found(low: float, high: float, root: float) -> None:
    """An end that is itself the answer is the answer."""
    assert root_between(lambda x: x, low, high) == root


def test_no_change_of_sign_is_no_root() -> None:
    """Without a change of sign there is no answer rather than a wrong one."""
    assert root_between(lambda x: x * x + 1, -1, 1) is None


def test_no_root_is_said_in_the_entry_s_words() -> None:
    """Where the bracket holds no answer for what was typed, the page says so and shows nothing."""
    solve = "solve: [{unknown: x, unit: V, equation: x = a, between: ['0', 100*volt], none: The volts lie outside what this circuit can do.}]"
    sound = made(simple("x", "V", more=solve))
    outcome = sound.evaluate({"a": "200"})
    assert outcome.problems == {"": "The volts lie outside what this circuit can do."}
    assert not outcome.results
