"""Ordinary algebra, read through a whitelist on Python's ``ast`` into a small tree of our own.

Nothing is ever evaluated as code, and SymPy never sees text: only trees that passed here. ``A when C else B`` is
Python's conditional with one word exchanged, so that a formula reads as it is said.
"""

from __future__ import annotations

import ast
import keyword
import re
import warnings
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NoReturn

from benchlore.problem import did_you_mean
from benchlore.reckoning.functions import LEAST_ARGUMENTS, RESERVED

LONGEST = 2000
DEEPEST = 60
MOST_NODES = 600
LARGEST_EXPONENT = 12.0
NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
_NUMBER = re.compile(r"[0-9]{1,15}(?:\.[0-9]{1,15})?(?:e-?[0-9]{1,2})?|\.[0-9]{1,15}")


@dataclass(frozen=True, slots=True)
class Num:
    """A plain number."""

    value: float


@dataclass(frozen=True, slots=True)
class Name:
    """An input, symbol, intermediate, unknown, result or unit constant."""

    name: str


@dataclass(frozen=True, slots=True)
class Word:
    """A quoted word of a choice; stands only beside ``==`` and ``!=`` and becomes its position."""

    text: str


@dataclass(frozen=True, slots=True)
class Call:
    """An operator (``+``, ``<``, ``when``, ``and``) or function and its arguments."""

    fn: str
    args: tuple[Node, ...]


@dataclass(frozen=True, slots=True)
class Each:
    """``[body for a, b in zip(xs, ys)]``: a list made item by item."""

    body: Node
    bindings: tuple[tuple[str, Node], ...]


Node = Num | Name | Word | Call | Each


class AlgebraProblem(ValueError):
    """A formula that cannot be taken: what is wrong and how to mend it."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}; {hint}")
        self.message = message
        self.hint = hint


def parse(text: str) -> Node:
    """The tree of a formula that gives a number or a list. Raises ``AlgebraProblem``."""
    return _Reader(text).formula()


def parse_condition(text: str) -> Node:
    """The tree of a condition: comparisons joined by ``and``, ``or``, ``not``."""
    return _Reader(text).condition()


def parse_equation(text: str) -> tuple[Node, Node]:
    """Both sides of ``left = right``."""
    sides = re.split(r"(?<![=<>!])=(?!=)", text)
    if len(sides) != 2:
        raise AlgebraProblem("an equation has two sides", "join them by one =, such as drop = current * resistance")
    return parse(sides[0].strip()), parse(sides[1].strip())


def children(node: Node) -> tuple[Node, ...]:
    """The parts of a node that are nodes."""
    if isinstance(node, Call):
        return node.args
    if isinstance(node, Each):
        return (node.body, *(source for _, source in node.bindings))
    return ()


def names_in(node: Node) -> Iterator[str]:
    """Every free name in a tree, in reading order, repeats included; the variables of ``for`` are not free."""
    if isinstance(node, Name):
        yield node.name
    elif isinstance(node, Each):
        bound = {variable for variable, _ in node.bindings}
        yield from (name for name in names_in(node.body) if name not in bound)
        for _, source in node.bindings:
            yield from names_in(source)
    else:
        for child in children(node):
            yield from names_in(child)


def replaced(node: Node, put: Callable[[Node], Node | None]) -> Node:
    """A tree in which ``put`` may exchange any node; where it gives None the node's parts are visited."""
    new = put(node)
    if new is not None:
        return new
    if isinstance(node, Call):
        return Call(node.fn, tuple(replaced(arg, put) for arg in node.args))
    if isinstance(node, Each):
        return Each(replaced(node.body, put), tuple((name, replaced(source, put)) for name, source in node.bindings))
    return node


def plain_exponent(node: Node) -> Fraction | None:
    """An exponent written as a number, a negative number, or a fraction of two numbers; None for anything else."""
    if isinstance(node, Num):
        return Fraction(repr(node.value))
    if isinstance(node, Call) and node.fn == "neg":
        inner = plain_exponent(node.args[0])
        return None if inner is None else -inner
    if isinstance(node, Call) and node.fn == "/":
        over, under = (plain_exponent(arg) for arg in node.args)
        return over / under if over is not None and under else None
    return None


def check_name(name: str) -> None:
    """Refuse a name that the algebra cannot use."""
    if not NAME.fullmatch(name):
        raise AlgebraProblem(f'"{name}" cannot be used in a formula', "use small letters, digits and _, beginning with a letter, at most 40")
    if name in RESERVED or keyword.iskeyword(name):
        raise AlgebraProblem(f'"{name}" already means something in formulas', "choose another name")


_BINARY: Mapping[type[ast.operator], str] = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}
_COMPARE: Mapping[type[ast.cmpop], str] = {
    ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "==", ast.NotEq: "!=",
}


class _Reader:
    """Turns one formula's text into a tree, counting nodes and depth."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.nodes = 0

    def formula(self) -> Node:
        return self.value(self.parsed(), 0)

    def condition(self) -> Node:
        return self.truth(self.parsed(), 0)

    def parsed(self) -> ast.expr:
        """Python's own syntax tree of the text, after the checks that keep its parser safe."""
        text = self.text
        if len(text) > LONGEST:
            _refuse(f"the formula is {len(text)} characters long", f"keep it under {LONGEST}; give parts of it names in let")
        odd = next((c for c in text if not " " <= c <= "~"), None)
        if odd is not None:
            _refuse(f"a sign that is not in the algebra (U+{ord(odd):04X})", "write it in plain letters and signs")
        if re.search(r"\bif\b", text):
            _refuse("if is not in the algebra", "write A when C else B")
        if _deepest_bracket(text) > DEEPEST // 2:
            _refuse("the formula is nested too deeply", "give parts of it names in let")
        source = re.sub(r"\bwhen\b", "if  ", text.strip())
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # what Python only frowns on is refused below
                return ast.parse(source, mode="eval").body
        except SyntaxError as error:
            near = text.strip()[max((error.offset or 1) - 1, 0) :][:12]
            _refuse(f'the formula cannot be read near "{near}"' if near else "the formula ends too early", "check its signs and brackets")
        except (ValueError, MemoryError, RecursionError):
            _refuse("the formula is nested too deeply", "give parts of it names in let")

    def count(self, depth: int) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES or depth > DEEPEST:
            _refuse("the formula is too large", "give parts of it names in let")

    def value(self, node: ast.expr, depth: int) -> Node:
        """A tree that gives a number or a list."""
        self.count(depth)
        if isinstance(node, ast.Constant):
            return self.number(node)
        if isinstance(node, ast.Name):
            return Name(node.id)
        if isinstance(node, ast.BinOp) and type(node.op) in _BINARY:
            return self.binary(node, depth + 1)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub | ast.UAdd):
            inner = self.value(node.operand, depth + 1)
            return inner if isinstance(node.op, ast.UAdd) else Call("neg", (inner,))
        if isinstance(node, ast.IfExp):
            arms = self.value(node.body, depth + 1), self.value(node.orelse, depth + 1)
            return Call("when", (self.truth(node.test, depth + 1), *arms))
        if isinstance(node, ast.Call):
            return self.call(node, depth + 1)
        if isinstance(node, ast.ListComp):
            return self.each(node.elt, node.generators, depth + 1)
        if isinstance(node, ast.Compare | ast.BoolOp) or (isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not)):
            _refuse("a comparison stands where a number is wanted", "compare only between when and else")
        _refuse(f'"{self.segment(node)}" is not in the algebra', "use + - * / **, brackets, names, numbers, when ... else and the listed functions")

    def number(self, node: ast.Constant) -> Num:
        written = self.segment(node)
        if isinstance(node.value, bool) or not isinstance(node.value, int | float) or not _NUMBER.fullmatch(written):
            _refuse(f'"{written}" is not a plain number', "write it as 12, 0.5 or 1e-6; words of a choice stand only beside == and !=")
        return Num(float(written))

    def binary(self, node: ast.BinOp, depth: int) -> Call:
        left, right = self.value(node.left, depth), self.value(node.right, depth)
        fn = _BINARY[type(node.op)]
        if fn == "**":
            exponent = plain_exponent(right)
            if exponent is not None and abs(exponent) > LARGEST_EXPONENT:
                _refuse(f"the power {float(exponent):g} is too large", f"powers up to {LARGEST_EXPONENT:g} are taken")
            if exponent is None and not any(True for _ in names_in(right)):
                _refuse("a power that is itself a sum", "work it out and write the number")
            if isinstance(right, Call) and right.fn == "**":
                _refuse("a power of a power", "use brackets and names to say what is meant")
        return Call(fn, (left, right))

    def truth(self, node: ast.expr, depth: int) -> Node:
        """A tree that is true or false."""
        self.count(depth)
        if isinstance(node, ast.BoolOp):
            parts = tuple(self.truth(value, depth + 1) for value in node.values)
            return Call("and" if isinstance(node.op, ast.And) else "or", parts)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
            return Call("not", (self.truth(node.operand, depth + 1),))
        if isinstance(node, ast.Compare):
            return self.compare(node, depth + 1)
        _refuse(f'"{self.segment(node)}" is not a condition', "compare two things, such as share > 1")

    def compare(self, node: ast.Compare, depth: int) -> Node:
        sides = [self.side(part, depth) for part in (node.left, *node.comparators)]
        pairs: list[Node] = []
        for op, left, right in zip(node.ops, sides, sides[1:], strict=False):
            fn = _COMPARE.get(type(op))
            if fn is None:
                _refuse(f'"{self.segment(node)}" compares in a way that is not in the algebra', "use < <= > >= == !=")
            if (isinstance(left, Word) or isinstance(right, Word)) and fn not in ("==", "!="):
                _refuse("words can only be equal or not", "use == or !=")
            pairs.append(Call(fn, (left, right)))
        return pairs[0] if len(pairs) == 1 else Call("and", tuple(pairs))

    def side(self, node: ast.expr, depth: int) -> Node:
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            return Word(node.value)
        return self.value(node, depth)

    def call(self, node: ast.Call, depth: int) -> Node:
        if not isinstance(node.func, ast.Name) or node.keywords or any(isinstance(a, ast.Starred) for a in node.args):
            _refuse(f'"{self.segment(node)}" is not a function of the algebra', "write NAME(value, ...)")
        fn = node.func.id
        limits = LEAST_ARGUMENTS.get(fn)
        if limits is None:
            _refuse(f"the function {fn} is not known", did_you_mean(fn, LEAST_ARGUMENTS))
        if not limits[0] <= len(node.args) <= limits[1]:
            _refuse(f"{fn} takes {limits[0]} value{'s' if limits[0] > 1 else ''}, not {len(node.args)}", f"write {fn}(value)")
        return Call(fn, tuple(self.argument(arg, depth) for arg in node.args))

    def argument(self, node: ast.expr, depth: int) -> Node:
        if isinstance(node, ast.GeneratorExp):
            self.count(depth)
            return self.each(node.elt, node.generators, depth + 1)
        return self.value(node, depth)

    def each(self, body: ast.expr, generators: list[ast.comprehension], depth: int) -> Each:
        if len(generators) != 1 or generators[0].ifs or generators[0].is_async:
            _refuse("one plain for is taken", "write value for x in xs, or for x, y in zip(xs, ys)")
        target, source = generators[0].target, generators[0].iter
        targets = target.elts if isinstance(target, ast.Tuple) else [target]
        zipped = isinstance(source, ast.Call) and isinstance(source.func, ast.Name) and source.func.id == "zip" and not source.keywords
        sources = source.args if zipped and isinstance(source, ast.Call) else [source]
        variables = [t.id if isinstance(t, ast.Name) else "" for t in targets]
        if len(variables) != len(sources) or len(set(variables)) != len(variables):
            _refuse("for needs one name for each list", "write for x in xs, or for x, y in zip(xs, ys)")
        for variable in variables:
            check_name(variable)
        inner = self.value(body, depth)
        if any(isinstance(part, Each) for part in walk(inner)):
            _refuse("a for inside a for", "give the inner one a name in let")
        return Each(inner, tuple((v, self.value(s, depth)) for v, s in zip(variables, sources, strict=True)))

    def segment(self, node: ast.expr) -> str:
        written = self.text.strip()[node.col_offset : node.end_col_offset] if node.lineno == node.end_lineno == 1 else self.text.strip()
        return written if len(written) <= 40 else written[:37] + "..."


def walk(node: Node) -> Iterator[Node]:
    """A tree's nodes, each before its parts."""
    yield node
    for child in children(node):
        yield from walk(child)


def _deepest_bracket(text: str) -> int:
    depth = deepest = 0
    for c in text:
        depth += (c in "([{") - (c in ")]}")
        deepest = max(deepest, depth)
    return deepest


def _refuse(message: str, hint: str) -> NoReturn:
    raise AlgebraProblem(message, hint)
