"""The order of work of a calculator, as plain data: what the cache keeps, Python runs and the browser is handed.

A tree is kept as JSON: a number, a name, or ``[sign, part, ...]``. A step reads names that earlier steps set.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from benchlore.reckoning.algebra import Call, Name, Node, Num


@dataclass(frozen=True, slots=True)
class Formula:
    """``name = node``; ``slopes`` holds the partial derivative by each name in it that it varies with."""

    name: str
    node: Node
    slopes: Mapping[str, Node]


@dataclass(frozen=True, slots=True)
class Map:
    """A list made item by item over lists of equal length; ``over`` pairs each variable with its list."""

    name: str
    node: Node
    slopes: Mapping[str, Node]
    over: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Reduce:
    """One number from a list: ``sum``, ``mean``, ``count``, ``first``, ``last``, ``min`` or ``max``."""

    name: str
    fn: str
    of: str


@dataclass(frozen=True, slots=True)
class Spread:
    """A list from a list (``running`` sums) or from a number (``upto``)."""

    name: str
    fn: str
    of: str


@dataclass(frozen=True, slots=True)
class Root:
    """The unknown ``name`` at which ``residual`` is zero between ``low`` and ``high`` (all names).

    ``inner`` are the steps that must be done again for each guess; ``none`` is said where there is no answer.
    """

    name: str
    low: str
    high: str
    inner: tuple[Step, ...]
    residual: str
    none: str


Step = Formula | Map | Reduce | Spread | Root


def node_data(node: Node) -> Any:
    """A tree as JSON."""
    if isinstance(node, Num):
        return node.value
    if isinstance(node, Name):
        return node.name
    if isinstance(node, Call):
        return [node.fn, *(node_data(arg) for arg in node.args)]
    raise TypeError("words and lists are resolved before a tree is kept")


def node_of(data: Any) -> Node:
    """A tree from its JSON."""
    if isinstance(data, str):
        return Name(data)
    if isinstance(data, list):
        return Call(data[0], tuple(node_of(part) for part in data[1:]))
    return Num(float(data))


def step_data(step: Step) -> list[Any]:
    """A step as JSON: its kind, its name, and the rest."""
    if isinstance(step, Formula):
        return ["formula", step.name, node_data(step.node), _slopes_data(step.slopes)]
    if isinstance(step, Map):
        return ["map", step.name, node_data(step.node), _slopes_data(step.slopes), [list(pair) for pair in step.over]]
    if isinstance(step, Root):
        return ["root", step.name, step.low, step.high, [step_data(s) for s in step.inner], step.residual, step.none]
    return ["reduce" if isinstance(step, Reduce) else "spread", step.name, step.fn, step.of]


def step_of(data: list[Any]) -> Step:
    """A step from its JSON."""
    kind, name, *rest = data
    if kind == "formula":
        return Formula(name, node_of(rest[0]), _slopes_of(rest[1]))
    if kind == "map":
        return Map(name, node_of(rest[0]), _slopes_of(rest[1]), tuple((v, s) for v, s in rest[2]))
    if kind == "root":
        return Root(name, rest[0], rest[1], tuple(step_of(s) for s in rest[2]), rest[3], rest[4])
    return (Reduce if kind == "reduce" else Spread)(name, rest[0], rest[1])


def _slopes_data(slopes: Mapping[str, Node]) -> dict[str, Any]:
    return {name: node_data(node) for name, node in slopes.items()}


def _slopes_of(data: Mapping[str, Any]) -> dict[str, Node]:
    return {name: node_of(node) for name, node in data.items()}
