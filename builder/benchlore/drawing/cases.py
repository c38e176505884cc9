"""One answer of a calculator, as a chart reads it; ``assets/js/sheet.js`` has the same functions for the browser."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchlore.quantity import rounded
from benchlore.reckoning.compiled import Compiled


@dataclass(frozen=True, slots=True)
class Case:
    """What was typed into a calculator, and every value that came of it in SI units; no values where there is no answer."""

    compiled: Compiled | None
    texts: Mapping[str, str]
    values: Mapping[str, float | list[float]]


def case(compiled: Compiled, texts: Mapping[str, str]) -> Case:
    """The calculator's answer to inputs as typed; those left out keep their default."""
    return Case(compiled, texts, compiled.evaluate(texts).values)


def measured(values: Mapping[str, float]) -> Case:
    """Values (SI) that no calculator gave but an entry, for a chart that both can use."""
    return Case(None, {}, dict(values))


def one(o: Case, name: str) -> float:
    """A single value, in SI units."""
    value = o.values[name]
    return value[0] if isinstance(value, list) else value


def many(o: Case, name: str) -> list[float]:
    """The values of a list, in SI units."""
    value = o.values[name]
    return list(value) if isinstance(value, list) else [value]


def answered(o: Case) -> bool:
    """Whether there is an answer."""
    return bool(o.values)


def swept(o: Case, name: str, values: Sequence[float], unit: str) -> list[Case]:
    """The same sum again with other values (SI) of one input, all else as typed."""
    assert o.compiled is not None
    return [case(o.compiled, {**o.texts, name: f"{rounded(value, 6)} {unit}"}) for value in values]
