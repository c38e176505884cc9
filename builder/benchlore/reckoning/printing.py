"""Trees as people and browsers read them: words and signs, MathML, JavaScript."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from html import escape

from benchlore.reckoning.algebra import Call, Each, Name, Node, Num, Word
from benchlore.reckoning.functions import SCALAR, UNIT_CONSTANTS
from benchlore.units import DIMENSIONS, symbol

_SIGNS: Mapping[str, str] = {"+": " + ", "-": " \u2212 ", "*": " \u00d7 ", "/": " / ", "**": "^"}
_COMPARE: Mapping[str, str] = {"<": " < ", "<=": " \u2264 ", ">": " > ", ">=": " \u2265 ", "==": " = ", "!=": " \u2260 "}
_RANK: Mapping[str, int] = {"when": 0, "or": 1, "and": 2, "not": 3, "+": 5, "-": 5, "*": 6, "/": 6, "neg": 7, "**": 8} | dict.fromkeys(_COMPARE, 4)


@dataclass(frozen=True, slots=True)
class Put:
    """A place in a line of working where a name stands, or its value; ``fenced`` wants brackets round a value."""

    name: str
    fenced: bool = False


Token = str | Put


def words_of(name: str) -> str:
    """A name as it is read: ``plate_volts`` as plate volts."""
    if name in UNIT_CONSTANTS:
        return f"1 {symbol(DIMENSIONS[UNIT_CONSTANTS[name]].base)}"
    return "\u03c0" if name == "pi" else name.replace("_", " ").strip()


def number_text(value: float) -> str:
    """A number of a formula, as short as it can be."""
    return f"{value:.15g}"


def tokens(node: Node, rank: int = 0) -> list[Token]:
    """A tree in one line of words and signs, with brackets only where they are needed."""
    if isinstance(node, Num):
        return [number_text(node.value)]
    if isinstance(node, Name):
        return [words_of(node.name)] if node.name in UNIT_CONSTANTS or node.name == "pi" else [Put(node.name)]
    if isinstance(node, Word):
        return [node.text]
    if isinstance(node, Each):
        heads = ", ".join(variable for variable, _ in node.bindings)
        sources: list[Token] = []
        for _, source in node.bindings:
            sources += [*([", "] if sources else []), *_plain(tokens(source))]
        return ["[", *_plain(tokens(node.body)), f" for each {heads} of ", *sources, "]"]
    own = _RANK.get(node.fn, 9)
    inside = _call_tokens(node, own)
    return ["(", *inside, ")"] if own < rank else inside


def _plain(parts: list[Token]) -> list[Token]:
    """Names of lists and of their items are never put in as values."""
    return [words_of(part.name) if isinstance(part, Put) else part for part in parts]


def _call_tokens(node: Call, own: int) -> list[Token]:
    fn, args = node.fn, node.args
    if fn == "when":
        return [*tokens(args[1], 1), " when ", *tokens(args[0], 1), " else ", *tokens(args[2])]
    if fn in ("and", "or"):
        joined: list[Token] = []
        for arg in args:
            joined += [*([f" {fn} "] if joined else []), *tokens(arg, own)]
        return joined
    if fn == "not":
        return ["not ", *tokens(args[0], own)]
    if fn == "neg":
        return ["\u2212", *tokens(args[0], own)]
    if fn in _SIGNS or fn in _COMPARE:
        left, right = (own + 1, own) if fn == "**" else (own, own if fn in "+*" else own + 1)
        if fn == "**" and isinstance(args[0], Name) and args[0].name not in (*UNIT_CONSTANTS, "pi"):
            return [Put(args[0].name, True), _SIGNS[fn], *tokens(args[1], right)]
        return [*tokens(args[0], left), {**_SIGNS, **_COMPARE}[fn], *tokens(args[1], right)]
    listed: list[Token] = []
    for arg in args:
        listed += [*([", "] if listed else []), *tokens(arg)]
    return [fn, "(", *listed, ")"]


def mathml(node: Node, put: Callable[[str], str]) -> str:
    """Presentation MathML of a tree; ``put`` gives the markup of a name. Everything else is escaped here."""
    if isinstance(node, Num):
        return f"<mn>{number_text(node.value)}</mn>"
    if isinstance(node, Name):
        return f"<mi>{escape(words_of(node.name))}</mi>" if node.name in UNIT_CONSTANTS or node.name == "pi" else put(node.name)
    if isinstance(node, Word):
        return f"<mtext>{escape(node.text)}</mtext>"
    if isinstance(node, Each):
        return _mathml_each(node, put)
    fn, args = node.fn, node.args
    if fn == "/":
        return f"<mfrac>{_row(args[0], put)}{_row(args[1], put)}</mfrac>"
    if fn == "sqrt":
        return f"<msqrt>{mathml(args[0], put)}</msqrt>"
    if fn == "**":
        return f"<msup>{_fenced(args[0], put, 9)}{_row(args[1], put)}</msup>"
    if fn == "sum" and isinstance(args[0], Each):
        return f'<mrow><mo>\u2211</mo>{_mathml_each(args[0], put, "")}</mrow>'
    return f"<mrow>{_mathml_call(fn, args, put)}</mrow>"


def _mathml_call(fn: str, args: tuple[Node, ...], put: Callable[[str], str]) -> str:
    own = _RANK.get(fn, 9)
    if fn == "when":
        when, otherwise = "<mtext>&#xA0;when&#xA0;</mtext>", "<mtext>&#xA0;else&#xA0;</mtext>"
        return f"{_fenced(args[1], put, 1)}{when}{mathml(args[0], put)}{otherwise}{mathml(args[2], put)}"
    if fn in ("and", "or"):
        return f"<mtext>&#xA0;{fn}&#xA0;</mtext>".join(_fenced(arg, put, own) for arg in args)
    if fn in ("not", "neg"):
        sign = "<mtext>not&#xA0;</mtext>" if fn == "not" else "<mo>\u2212</mo>"
        return sign + _fenced(args[0], put, own)
    if fn in _SIGNS or fn in _COMPARE:
        sign = escape({**_SIGNS, **_COMPARE}[fn].strip())
        return f"{_fenced(args[0], put, own)}<mo>{sign}</mo>{_fenced(args[1], put, own if fn in '+*' else own + 1)}"
    inner = "<mo>,</mo>".join(mathml(arg, put) for arg in args)
    return f"<mi>{escape(fn.replace('_', ' '))}</mi><mo>(</mo>{inner}<mo>)</mo>"


def _mathml_each(node: Each, put: Callable[[str], str], opening: str = "<mo>[</mo>") -> str:
    def word(name: str) -> str:
        return f"<mi>{escape(words_of(name))}</mi>"

    heads = ", ".join(variable for variable, _ in node.bindings)
    sources = "<mo>,</mo>".join(mathml(source, word) for _, source in node.bindings)
    closing = "<mo>]</mo>" if opening else ""
    return f"<mrow>{opening}{_fenced(node.body, word, 6)}<mtext>&#xA0;for each {escape(heads)} of&#xA0;</mtext>{sources}{closing}</mrow>"


def _row(node: Node, put: Callable[[str], str]) -> str:
    inside = mathml(node, put)
    return inside if inside.startswith(("<mrow", "<mn", "<mi", "<mfrac", "<msqrt", "<msup")) else f"<mrow>{inside}</mrow>"


def _fenced(node: Node, put: Callable[[str], str], rank: int) -> str:
    inside = mathml(node, put)
    needs = isinstance(node, Call) and node.fn not in ("/", "sqrt") and _RANK.get(node.fn, 9) < rank
    divided = isinstance(node, Call) and node.fn == "/" and rank > 8
    return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>" if needs or divided else inside


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
