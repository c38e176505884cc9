"""Partial derivatives of a tree, by SymPy, as trees again: the same slope is run in Python and printed for the browser.

What is smooth goes to SymPy. ``when``, ``min``, ``max`` and ``abs`` are differentiated arm by arm, so that a guard
such as ``0 when x == 0 else 1/x`` still guards; functions that go in steps have slope zero.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import sympy

from benchlore.reckoning.algebra import Call, Name, Node, Num, names_in, plain_exponent, replaced
from benchlore.reckoning.functions import STEPPED, Impossible
from benchlore.reckoning.running import number

_SMOOTH = {"sqrt": sympy.sqrt, "exp": sympy.exp, "ln": sympy.log, "sin": sympy.sin, "cos": sympy.cos, "atan": sympy.atan}
_BACK = {"exp": "exp", "log": "ln", "sin": "sin", "cos": "cos", "atan": "atan"}
ZERO, ONE = Num(0.0), Num(1.0)


def partial(node: Node, by: str) -> Node:
    """The derivative of ``node`` by the name ``by``; ``Num(0)`` where it does not vary with it.

    Raises ``Impossible`` where a constant of it is no finite number.
    """
    if by not in names_in(node):
        return ZERO
    if isinstance(node, Call) and node.fn in ("when", "min", "max", "abs"):
        return _by_arms(node, by)
    if isinstance(node, Call) and node.fn in STEPPED:
        return ZERO
    corners: dict[str, Node] = {}
    smooth = _to_sympy(node, corners)
    total = _from_sympy(sympy.diff(smooth, _symbol(by)))
    for mark, corner in corners.items():
        slope = partial(corner, by)
        if slope != ZERO:
            total = _plus(total, _times(_from_sympy(sympy.diff(smooth, _symbol(mark))), slope))
    return replaced(total, lambda n: corners.get(n.name) if isinstance(n, Name) else None)


def _by_arms(node: Call, by: str) -> Node:
    """The derivative of what has corners: the derivative of the arm that holds."""
    if node.fn == "abs":
        inner = partial(node.args[0], by)
        return Call("when", (Call("<", (node.args[0], ZERO)), Call("neg", (inner,)), inner))
    if node.fn == "when":
        condition, yes, no = node.args
        return _when(condition, partial(yes, by), partial(no, by))
    first, rest = node.args[0], node.args[1:]
    if not rest:
        return partial(first, by)
    other = rest[0] if len(rest) == 1 else Call(node.fn, rest)
    return _when(Call("<=" if node.fn == "min" else ">=", (first, other)), partial(first, by), partial(other, by))


def _when(condition: Node, yes: Node, no: Node) -> Node:
    return yes if yes == no else Call("when", (condition, yes, no))


def _symbol(name: str) -> Any:
    return sympy.Symbol(name, real=True)


def _to_sympy(node: Node, corners: dict[str, Node]) -> Any:
    """A smooth tree as SymPy's; each part with corners becomes a symbol of its own, kept in ``corners``."""
    if isinstance(node, Num):
        return sympy.Float(node.value)  # never exact: SymPy would work out 9**12**12**12 to its last digit
    if isinstance(node, Name):
        return sympy.pi if node.name == "pi" else _symbol(node.name)
    assert isinstance(node, Call)
    if not any(True for _ in names_in(node)):
        return sympy.Float(number(node, {}))
    if node.fn in ("when", "min", "max", "abs") or node.fn in STEPPED:
        mark = f"corner#{len(corners)}"
        corners[mark] = node
        return _symbol(mark)
    if node.fn == "**" and (exponent := plain_exponent(node.args[1])) is not None:
        return _to_sympy(node.args[0], corners) ** sympy.Rational(exponent.numerator, exponent.denominator)
    args = [_to_sympy(arg, corners) for arg in node.args]
    if node.fn == "log10":
        return sympy.log(args[0]) / sympy.log(10)
    if node.fn in _SMOOTH:
        return _SMOOTH[node.fn](args[0])
    if node.fn == "neg":
        return -args[0]
    a, b = args
    return {"+": lambda: a + b, "-": lambda: a - b, "*": lambda: a * b, "/": lambda: a / b, "**": lambda: a**b}[node.fn]()


def _from_sympy(expr: Any) -> Node:
    """SymPy's tree as ours."""
    if expr.is_Rational or expr.is_Float:
        return _number(float(expr))
    if expr.is_Symbol:
        return Name(expr.name)
    if expr is sympy.pi:
        return Name("pi")
    if expr is sympy.E:
        return Call("exp", (ONE,))
    if expr.is_Add:
        total: Node = ZERO
        for term in expr.as_ordered_terms():
            total = _plus(total, _from_sympy(term))
        return total
    if expr.is_Mul:
        return _product(expr)
    if expr.is_Pow:
        return _power(expr)
    return Call(_BACK[type(expr).__name__], (_from_sympy(expr.args[0]),))


def _number(value: float) -> Node:
    if not math.isfinite(value):
        raise Impossible("a number too large")
    return Num(value) if value >= 0 else Call("neg", (Num(-value),))


def _product(expr: Any) -> Node:
    over: Node = ONE
    under: Node = ONE
    for factor in expr.as_ordered_factors():
        if factor.is_Pow and factor.exp.is_Rational and factor.exp < 0:
            under = _times(under, _from_sympy(factor.base**-factor.exp))
        else:
            over = _times(over, _from_sympy(factor))
    return over if under == ONE else Call("/", (over, under))


def _power(expr: Any) -> Node:
    base, exponent = expr.base, expr.exp
    if exponent.is_Rational and exponent < 0:
        return Call("/", (ONE, _from_sympy(base**-exponent)))
    if exponent == sympy.Rational(1, 2):
        return Call("sqrt", (_from_sympy(base),))
    return Call("**", (_from_sympy(base), _from_sympy(exponent)))


def _plus(a: Node, b: Node) -> Node:
    if a == ZERO:
        return b
    if isinstance(b, Call) and b.fn == "neg":
        return Call("-", (a, b.args[0]))
    return a if b == ZERO else Call("+", (a, b))


def _times(a: Node, b: Node) -> Node:
    if a == ONE:
        return b
    if b == ONE:
        return a
    return ZERO if ZERO in (a, b) else Call("*", (a, b))


def slopes_by(node: Node, names: Mapping[str, bool]) -> dict[str, Node]:
    """The partial derivatives by those names in ``node`` that ``names`` marks as uncertain, where not zero."""
    found: dict[str, Node] = {}
    for name in dict.fromkeys(names_in(node)):
        if names.get(name):
            slope = partial(node, name)
            if slope != ZERO:
                found[name] = slope
    return found
