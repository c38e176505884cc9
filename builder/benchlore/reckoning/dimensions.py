"""Proof that a formula adds volts to volts: Pint's unit algebra on our own trees; Pint never reads text."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NoReturn

from pint.util import UnitsContainer

from benchlore.problem import did_you_mean
from benchlore.reckoning.algebra import AlgebraProblem, Call, Each, Name, Node, Num, Word, plain_exponent
from benchlore.reckoning.functions import LIST_TO_NUMBER, UNIT_CONSTANTS
from benchlore.units import DIMENSIONS

Powers = Any
"""Pint's container of exponents on SI base units, or None for what fits any dimension (the literal 0)."""


@dataclass(frozen=True)
class Kind:
    """What a tree gives: its dimension, and whether it is a list."""

    powers: Powers
    is_list: bool = False


PLAIN = Kind(UnitsContainer({}))
ANY = Kind(None)


def kind_of(dimension: str, is_list: bool = False) -> Kind:
    """The kind of a quantity of a named dimension."""
    return Kind(UnitsContainer(dict(DIMENSIONS[dimension].exponents)), is_list)


def named(kind: Kind) -> str | None:
    """The first named dimension with these exponents, or None."""
    if kind.powers is None:
        return "number"
    for dimension in DIMENSIONS.values():
        if UnitsContainer(dict(dimension.exponents)) == kind.powers:
            return "number" if dimension.base == "1" else dimension.name
    return None


def said(kind: Kind) -> str:
    """A dimension in words for a sentence: ``a power (W)``."""
    name = named(kind)
    if name is None:
        return f"something in {kind.powers}"
    if name == "number":
        return "a plain number"
    return f"{DIMENSIONS[name].said} ({DIMENSIONS[name].base})"


def same(a: Kind, b: Kind) -> bool:
    """Do two kinds measure the same? What fits anything fits here too."""
    return a.powers is None or b.powers is None or a.powers == b.powers


class Prover:
    """Finds the kind of a tree, given the kind of each name; raises ``AlgebraProblem`` at the first contradiction."""

    def __init__(self, kind_of_name: Callable[[str], Kind | None], known: Callable[[], list[str]]) -> None:
        self.kind_of_name = kind_of_name
        self.known = known

    def kind(self, node: Node, bound: Mapping[str, Kind] | None = None) -> Kind:
        """What the tree gives; ``bound`` are the variables of an enclosing ``for``."""
        bound = bound or {}
        if isinstance(node, Num):
            return ANY if node.value == 0 else PLAIN
        if isinstance(node, Name):
            return self.name(node.name, bound)
        if isinstance(node, Each):
            return self.each(node, bound)
        if isinstance(node, Word):
            _refuse(f'the word "{node.text}" does not belong to a choice here', 'compare a choice with one of its words: wiring == "series"')
        if node.fn in ("<", "<=", ">", ">=", "==", "!=", "and", "or", "not"):
            self.condition(node, bound)
            return PLAIN
        return self.call(node, bound)

    def name(self, name: str, bound: Mapping[str, Kind]) -> Kind:
        if name in bound:
            return bound[name]
        if name == "pi":
            return PLAIN
        if name in UNIT_CONSTANTS:
            return kind_of(UNIT_CONSTANTS[name])
        found = self.kind_of_name(name)
        if found is None:
            _refuse(f"the name {name} is not known here", did_you_mean(name, self.known()))
        return found

    def each(self, node: Each, bound: Mapping[str, Kind]) -> Kind:
        inner = dict(bound)
        for variable, source in node.bindings:
            kind = self.kind(source, bound)
            if not kind.is_list:
                _refuse(f"for {variable} needs a list, and this is one number", "write the name of a list input")
            inner[variable] = Kind(kind.powers)
        return Kind(self.scalar(node.body, inner).powers, True)

    def scalar(self, node: Node, bound: Mapping[str, Kind]) -> Kind:
        """The kind of a tree that must give one number."""
        kind = self.kind(node, bound)
        if kind.is_list:
            _refuse("a list stands where one number is wanted", "use sum, mean, min, max or count, or [... for x in xs]")
        return kind

    def condition(self, node: Node, bound: Mapping[str, Kind] | None = None) -> None:
        """Prove both sides of every comparison to be of one dimension."""
        bound = bound or {}
        assert isinstance(node, Call)
        if node.fn in ("and", "or", "not"):
            for part in node.args:
                self.condition(part, bound)
            return
        left, right = (self.scalar(arg, bound) for arg in node.args)
        self.agree(left, right, f"compares ({node.fn})")

    def agree(self, left: Kind, right: Kind, doing: str) -> Kind:
        if not same(left, right):
            _refuse(f"this {doing} {said(left)} with {said(right)}", "both sides must be of one dimension")
        return right if left.powers is None else left

    def call(self, node: Call, bound: Mapping[str, Kind]) -> Kind:
        if node.fn in LIST_TO_NUMBER and len(node.args) == 1:
            kind = self.listed(node, bound)
            return PLAIN if node.fn == "count" else Kind(kind.powers)
        if node.fn == "running":
            return self.listed(node, bound)
        if node.fn == "when":
            self.condition(node.args[0], bound)
            return self.agree(self.scalar(node.args[1], bound), self.scalar(node.args[2], bound), "chooses between")
        kinds = [self.scalar(arg, bound) for arg in node.args]
        if node.fn == "upto":
            return Kind(self.plain(node.fn, kinds[0]).powers, True)
        if node.fn in ("+", "-", "min", "max", "mod"):
            words = {"+": "adds", "-": "subtracts", "mod": "divides"}.get(node.fn, f"takes the {node.fn} of")
            total = kinds[0]
            for kind in kinds[1:]:
                total = self.agree(total, kind, words)
            return total
        return self.product(node, kinds)

    def product(self, node: Call, kinds: list[Kind]) -> Kind:
        first = kinds[0].powers
        if node.fn in ("*", "/"):
            second = kinds[1].powers
            if first is None or second is None:
                return ANY
            return Kind(first * second if node.fn == "*" else first / second)
        if node.fn == "**":
            return self.power(node, kinds)
        if node.fn == "sqrt":
            return ANY if first is None else Kind(first**0.5)
        if node.fn in ("neg", "abs") or node.fn.startswith(("nearest_", "above_", "below_")):
            return kinds[0]
        if node.fn in ("digit", "decade"):
            return PLAIN
        return self.plain(node.fn, kinds[0])

    def power(self, node: Call, kinds: list[Kind]) -> Kind:
        exponent = plain_exponent(node.args[1])
        if exponent is None or kinds[0].powers is None:
            self.plain("an exponent that is not a plain number", kinds[1])
            return self.plain("a power with such an exponent", kinds[0])
        return Kind(kinds[0].powers ** float(exponent))

    def plain(self, fn: str, kind: Kind) -> Kind:
        if not same(kind, PLAIN):
            _refuse(f"{fn} takes a plain number, and this is {said(kind)}", "divide by the same dimension first, such as volts/volt")
        return PLAIN

    def listed(self, node: Call, bound: Mapping[str, Kind]) -> Kind:
        kind = self.kind(node.args[0], bound)
        if not kind.is_list:
            _refuse(f"{node.fn} needs a list, and this is one number", f"write {node.fn}(x for x in xs), or the name of a list")
        return kind


def _refuse(message: str, hint: str) -> NoReturn:
    raise AlgebraProblem(message, hint)
