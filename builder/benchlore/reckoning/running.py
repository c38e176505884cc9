"""Runs the steps of a calculator on numbers, and carries slopes through them (first order, forward).

``reckon.js`` does the same in the browser with the functions printed for it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import cast

from benchlore.reckoning.algebra import Call, Name, Node, Num
from benchlore.reckoning.functions import PI, SCALAR, UNIT_CONSTANTS, Impossible, reduce_list, upto
from benchlore.reckoning.solving import root_between
from benchlore.reckoning.steps import Formula, Map, Reduce, Root, Spread, Step

Value = float | list[float]
Values = dict[str, Value]
Slope = dict[str, float]
"""How fast a value varies with each measured quantity, by that quantity's key."""
Slopes = dict[str, Slope | list[Slope]]
CONSTANTS: Mapping[str, float] = {"pi": PI, **dict.fromkeys(UNIT_CONSTANTS, 1.0)}


class NoRoot(Impossible):
    """An unknown has no answer between its ends; the entry's words say so."""


class Failed(Impossible):
    """A step that could not be done: ``name`` is what it would have set."""

    def __init__(self, reason: str, name: str, said: bool = False) -> None:
        super().__init__(reason)
        self.name = name
        self.said = said  # the reason is a whole sentence of the entry


def number(node: Node, values: Mapping[str, Value]) -> float:
    """The value of a tree. Raises ``Impossible``."""
    if isinstance(node, Num):
        return node.value
    if isinstance(node, Name):
        found = values.get(node.name)
        return cast(float, CONSTANTS[node.name] if found is None else found)
    assert isinstance(node, Call)
    if node.fn == "when":
        return number(node.args[1] if holds(node.args[0], values) else node.args[2], values)
    return SCALAR[node.fn](*(number(arg, values) for arg in node.args))


def holds(node: Node, values: Mapping[str, Value]) -> bool:
    """Is a condition true for these values?"""
    assert isinstance(node, Call)
    if node.fn == "and":
        return all(holds(part, values) for part in node.args)
    if node.fn == "or":
        return any(holds(part, values) for part in node.args)
    if node.fn == "not":
        return not holds(node.args[0], values)
    return bool(SCALAR[node.fn](*(number(arg, values) for arg in node.args)))


def run(steps: Iterable[Step], values: Values) -> None:
    """Set the value of every step, in order. Raises ``Failed``."""
    for step in steps:
        try:
            values[step.name] = _run(step, values)
        except Failed:
            raise
        except NoRoot as error:
            raise Failed(str(error), step.name, said=True) from None
        except Impossible as error:
            raise Failed(str(error), step.name) from None


def _run(step: Step, values: Values) -> Value:
    if isinstance(step, Formula):
        return _finite(number(step.node, values))
    if isinstance(step, Map):
        return [_finite(number(step.node, item)) for item in _items(step, values)]
    if isinstance(step, Root):
        return _solve(step, values)
    source = values[step.of]
    if isinstance(step, Reduce):
        return _finite(reduce_list(step.fn, cast(list[float], source)))
    if step.fn == "upto":
        return upto(cast(float, source))
    sums: list[float] = []
    for item in cast(list[float], source):
        sums.append(_finite((sums[-1] if sums else 0.0) + item))
    return sums


def _finite(value: float) -> float:
    if not math.isfinite(value):
        raise Impossible("a number too large")
    return float(value)


def _items(step: Map, values: Values) -> Iterator[Values]:
    """The names as each item sees them: one table, its variables set anew for each."""
    columns = [cast(list[float], values[source]) for _, source in step.over]
    if len({len(column) for column in columns}) > 1:
        raise Impossible("lists of different length")
    seen = dict(values)
    for row in zip(*columns, strict=True):
        for (variable, _), item in zip(step.over, row, strict=True):
            seen[variable] = item
        yield seen


def _solve(step: Root, values: Values) -> float:
    def residual(guess: float) -> float:
        tried = {**values, step.name: guess}
        run(step.inner, tried)
        return cast(float, tried[step.residual])

    low, high = cast(float, values[step.low]), cast(float, values[step.high])
    found = root_between(residual, low, high)
    if found is None:
        raise NoRoot(step.none)
    return found


def slopes_of(steps: Iterable[Step], values: Values, slopes: Slopes) -> None:
    """Carry slopes through steps whose values are known. Raises ``Impossible`` where a slope does not exist."""
    for step in steps:
        if isinstance(step, Formula):
            slopes[step.name] = _chain(step.slopes, values, slopes)
        elif isinstance(step, Map):
            slopes[step.name] = [
                _chain(step.slopes, item, _item_slopes(step, i, slopes)) for i, item in enumerate(_items(step, values))
            ]
        elif isinstance(step, Reduce):
            slopes[step.name] = _reduce_slopes(step, values, slopes)
        elif isinstance(step, Spread):
            slopes[step.name] = _spread_slopes(step, values, slopes)
        else:
            slopes[step.name] = _root_slopes(step, values, slopes)


def _chain(partials: Mapping[str, Node], values: Mapping[str, Value], slopes: Slopes) -> Slope:
    """The chain rule: the sum over names of the partial derivative times that name's own slope."""
    total: Slope = {}
    for name, node in partials.items():
        slope = cast(Slope, slopes.get(name))
        if slope:
            _add(total, slope, _finite(number(node, values)))
    return total


def _add(total: Slope, slope: Slope, factor: float) -> None:
    for key, amount in slope.items():
        total[key] = total.get(key, 0.0) + factor * amount


def _item_slopes(step: Map, index: int, slopes: Slopes) -> Slopes:
    own: Slopes = {var: cast(list[Slope], slopes[source])[index] for var, source in step.over if slopes.get(source)}
    return {**slopes, **own}


def _reduce_slopes(step: Reduce, values: Values, slopes: Slopes) -> Slope:
    items = cast(list[Slope], slopes.get(step.of) or [])
    if step.fn == "count" or not items:
        return {}
    if step.fn in ("sum", "mean"):
        total: Slope = {}
        for item in items:
            _add(total, item, 1.0 if step.fn == "sum" else 1.0 / len(items))
        return total
    source = cast(list[float], values[step.of])
    index = {"first": 0, "last": len(source) - 1}.get(step.fn)
    if index is None:
        index = source.index(min(source) if step.fn == "min" else max(source))
    return dict(items[index])


def _spread_slopes(step: Spread, values: Values, slopes: Slopes) -> list[Slope]:
    count = len(cast(list[float], values[step.name]))
    items = cast(list[Slope], slopes.get(step.of)) if step.fn == "running" else None
    if not items:
        return [{} for _ in range(count)]
    sums: list[Slope] = []
    for item in items:
        total = dict(sums[-1]) if sums else {}
        _add(total, item, 1.0)
        sums.append(total)
    return sums


def _root_slopes(step: Root, values: Values, slopes: Slopes) -> Slope:
    """The implicit function theorem: minus the residual's slope by each quantity over its slope by the unknown."""
    inside: Values = dict(values)
    run(step.inner, inside)
    own = f"{step.name}#"
    carried: Slopes = {**slopes, step.name: {own: 1.0}}
    slopes_of(step.inner, inside, carried)
    residual = dict(cast(Slope, carried[step.residual]))
    by_unknown = residual.pop(own, 0.0)
    if not residual and by_unknown == 0:
        return {}  # nothing measured moves it
    if by_unknown == 0:
        raise Impossible("an equation that does not vary with its unknown there")
    return {key: -amount / by_unknown for key, amount in residual.items()}
