"""How the physics rules ask: the shop's own sums, fed with what an entry says of itself."""

from __future__ import annotations

from collections.abc import Mapping

from benchlore.quantity import Quantity, Unknown
from benchlore.reckoning.book import Sums


def known(value: Quantity | Unknown | None) -> Quantity | None:
    """The quantity, where it was measured and written."""
    return value if isinstance(value, Quantity) else None


def ask(sums: Sums, calculator: str, given: Mapping[str, str], *results: str) -> list[float] | None:
    """Results in SI of a sum of the book; None where the book has no such sum, or it has no answer.

    The formula stands in the calculator's entry alone; a rule only compares.
    """
    sum_ = sums.get(calculator)
    if sum_ is None:
        return None
    outcome = sum_.evaluate(given)
    if outcome.problems:
        return None
    values = [outcome.values.get(name) for name in results]
    return (
        [v for v in values if isinstance(v, int | float)] if all(isinstance(v, int | float) for v in values) else None
    )


def in_si(value: float, unit: str) -> str:
    """A number in an SI unit as a sum's input."""
    return f"{value:.12g} {unit}"
