"""Trees as the browser runs them: JavaScript expressions over the values and the helpers of ``reckon.js``."""

from __future__ import annotations

import json
from collections.abc import Mapping

from benchlore.reckoning.algebra import Call, Name, Node, Num
from benchlore.reckoning.functions import SCALAR, UNIT_CONSTANTS

_JS_OPERATORS = ("+", "-", "*", "<", "<=", ">", ">=")
_JS_MATH: Mapping[str, str] = {"sin": "Math.sin", "cos": "Math.cos", "atan": "Math.atan", "abs": "Math.abs", "floor": "Math.floor"}


def javascript(node: Node, bound: Mapping[str, str] | None = None) -> str:
    """A tree as a JavaScript expression over the values ``v`` and the helpers ``f`` of ``reckon.js``.

    ``bound`` gives the expression of each variable of an enclosing list.
    """
    bound = bound or {}
    if isinstance(node, Num):
        return json.dumps(node.value).replace(".0", "", 1) if node.value == int(node.value) and abs(node.value) < 1e15 else json.dumps(node.value)
    if isinstance(node, Name):
        if node.name in bound:
            return bound[node.name]
        if node.name == "pi":
            return "Math.PI"
        return "1" if node.name in UNIT_CONSTANTS else f"v[{json.dumps(node.name)}]"
    assert isinstance(node, Call)
    args = [javascript(arg, bound) for arg in node.args]
    fn = node.fn
    if fn == "when":
        return f"({args[0]} ? {args[1]} : {args[2]})"
    if fn in ("and", "or"):
        return "(" + (" && " if fn == "and" else " || ").join(args) + ")"
    if fn in ("neg", "not"):
        return f"({'-' if fn == 'neg' else '!'}{args[0]})"
    if fn in _JS_OPERATORS:
        return f"({args[0]} {fn} {args[1]})"
    if fn in ("==", "!="):
        return f"({args[0]} {fn}= {args[1]})"
    if fn in ("min", "max"):
        return f"Math.{fn}({', '.join(args)})"
    if fn in _JS_MATH:
        return f"{_JS_MATH[fn]}({args[0]})"
    return f"f.{_js_helper(fn)}({', '.join(args)})"


def _js_helper(fn: str) -> str:
    """The helper that does a function, with the series of a preferred value put first."""
    assert fn in SCALAR
    return {"/": "div", "**": "pow"}.get(fn, fn)
