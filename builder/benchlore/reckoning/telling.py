"""Trees as people read them: words and signs in one line, and MathML."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from html import escape

from benchlore.reckoning.algebra import Call, Each, Name, Node, Num, Word, replaced
from benchlore.reckoning.functions import UNIT_CONSTANTS
from benchlore.units import DIMENSIONS, symbol

_SIGNS: Mapping[str, str] = {"+": " + ", "-": " \u2212 ", "*": " \u00d7 ", "/": " / ", "**": "^"}
_COMPARE: Mapping[str, str] = {"<": " < ", "<=": " \u2264 ", ">": " > ", ">=": " \u2265 ", "==": " = ", "!=": " \u2260 "}
_RANK: Mapping[str, int] = {"when": 0, "or": 1, "and": 2, "not": 3, "+": 5, "-": 5, "*": 6, "/": 6, "neg": 7, "**": 8} | dict.fromkeys(_COMPARE, 4)


@dataclass(frozen=True, slots=True)
class Put:
    """A place in a line of working where a name stands, or its value; ``fenced`` wants brackets round a value."""

    name: str
    fenced: bool = False


@dataclass(frozen=True, slots=True)
class Fork:
    """``yes when test else no``: the symbols say it whole, the numbers only the arm that holds."""

    test: Node
    said: tuple[Token, ...]
    yes: tuple[Token, ...]
    no: tuple[Token, ...]


Token = str | Put | Fork
Choices = Mapping[str, tuple[str, ...]]
"""The labels of every choice, in order of position."""


def words_of(name: str) -> str:
    """A name as it is read: ``plate_volts`` as plate volts."""
    if name in UNIT_CONSTANTS:
        return f"1 {symbol(DIMENSIONS[UNIT_CONSTANTS[name]].base)}"
    return "\u03c0" if name == "pi" else name.replace("_", " ").strip()


def in_sentence(label: str) -> str:
    """A label as it stands within a sentence: its capital gone unless it begins a word in capitals."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def number_text(value: float) -> str:
    """A number of a formula, as short as it can be."""
    return f"{value:.15g}".replace("e-0", "e-")


def _counted_unit(node: Node) -> str | None:
    """A number times a unit as people write it: ``60 * second`` is 60 s."""
    if isinstance(node, Call) and node.fn == "*" and isinstance(node.args[0], Num) and isinstance(node.args[1], Name):
        dimension = UNIT_CONSTANTS.get(node.args[1].name)
        if dimension is not None:
            return f"{number_text(node.args[0].value)} {symbol(DIMENSIONS[dimension].base)}"
    return None


def displayed(node: Node, choices: Choices) -> Node:
    """A tree in which the positions of choices are their labels again, for people."""

    def label(part: Node) -> Node | None:
        if isinstance(part, Call) and part.fn in ("==", "!=") and isinstance(part.args[0], Name) and isinstance(part.args[1], Num):
            labels = choices.get(part.args[0].name)
            if labels is not None:
                return Call(part.fn, (part.args[0], Word(labels[int(part.args[1].value)])))
        return None

    return replaced(node, label)


def tokens(node: Node, choices: Choices, rank: int = 0) -> list[Token]:
    """A tree in one line of words and signs, with brackets only where they are needed."""
    if isinstance(node, Num):
        return [number_text(node.value)]
    if isinstance(node, Name):
        return [words_of(node.name)] if node.name in UNIT_CONSTANTS or node.name == "pi" else [Put(node.name)]
    if isinstance(node, Word):
        return [node.text]
    if isinstance(node, Each):
        return _each_tokens(node, choices)
    if (unit := _counted_unit(node)) is not None:
        return [unit]
    own = _RANK.get(node.fn, 9)
    inside = _call_tokens(node, own, choices)
    return ["(", *inside, ")"] if own < rank else inside


def plain(parts: Iterable[Token]) -> str:
    """Tokens with every name as a name, whatever its value."""
    return "".join(_plain_token(part) for part in parts)


def _plain_token(part: Token) -> str:
    if isinstance(part, Fork):
        return f"{plain(part.yes)} when {plain(part.said)} else {plain(part.no)}"
    return words_of(part.name) if isinstance(part, Put) else part


def _each_tokens(node: Each, choices: Choices) -> list[Token]:
    heads = ", ".join(variable for variable, _ in node.bindings)
    sources = ", ".join(plain(tokens(source, choices)) for _, source in node.bindings)
    return [f"[{plain(tokens(node.body, choices))} for each {heads} of {sources}]"]


def _call_tokens(node: Call, own: int, choices: Choices) -> list[Token]:
    fn, args = node.fn, node.args
    if fn == "when":
        said = tokens(displayed(args[0], choices), choices, 1)
        return [Fork(args[0], tuple(said), tuple(tokens(args[1], choices, 1)), tuple(tokens(args[2], choices)))]
    if fn in ("not", "neg"):
        return ["not " if fn == "not" else "\u2212", *tokens(args[0], choices, own)]
    if fn in ("and", "or"):
        return _joined([tokens(arg, choices, own) for arg in args], f" {fn} ")
    if fn in _SIGNS or fn in _COMPARE:
        left, right = (own + 1, own) if fn == "**" else (own, own if fn in "+*" else own + 1)
        if fn == "**" and isinstance(args[0], Name) and args[0].name not in (*UNIT_CONSTANTS, "pi"):
            return [Put(args[0].name, True), _SIGNS[fn], *tokens(args[1], choices, right)]
        return [*tokens(args[0], choices, left), {**_SIGNS, **_COMPARE}[fn], *tokens(args[1], choices, right)]
    return [fn, "(", *_joined([tokens(arg, choices) for arg in args], ", "), ")"]


def _joined(parts: list[list[Token]], between: str) -> list[Token]:
    joined: list[Token] = []
    for part in parts:
        joined += [*([between] if joined else []), *part]
    return joined


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
    if (unit := _counted_unit(node)) is not None:
        return f"<mn>{escape(unit)}</mn>"
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
    needs = isinstance(node, Call) and node.fn not in ("/", "sqrt") and _counted_unit(node) is None and _RANK.get(node.fn, 9) < rank
    divided = isinstance(node, Call) and node.fn == "/" and rank > 8
    return f"<mrow><mo>(</mo>{inside}<mo>)</mo></mrow>" if needs or divided else inside
