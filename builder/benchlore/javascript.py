"""Python functions of a small subset, printed as JavaScript: one statement of an algorithm, two places to run it.

The subset: functions of numbers, lists and lists of lists; assignment; ``for`` over ``range`` or a list; ``while``; ``if``;
``return``; arithmetic on floats (``+ - * /``), bit operations on small whole numbers; comparisons; ``and or not``;
``len min max abs range list.append list.copy log exp sqrt``; text in quotes; list literals, ``[x] * n`` and simple
comprehensions.  A call of any other name is printed as it is: the script must have a function of that name.  Anything else
is refused when the site is built, never printed wrongly.
"""

from __future__ import annotations

import ast
import inspect
import json
import textwrap
from types import FunctionType

CALLS = {
    "abs": "Math.abs",
    "log": "Math.log",
    "exp": "Math.exp",
    "sqrt": "Math.sqrt",
    "min": "Math.min",
    "max": "Math.max",
}
BINARY = {
    ast.Add: "+",
    ast.Sub: "-",
    ast.Mult: "*",
    ast.Div: "/",
    ast.BitAnd: "&",
    ast.BitOr: "|",
    ast.LShift: "<<",
    ast.RShift: ">>",
}
COMPARE = {ast.Lt: "<", ast.LtE: "<=", ast.Gt: ">", ast.GtE: ">=", ast.Eq: "===", ast.NotEq: "!=="}


class NotPrintable(Exception):
    """The function uses something outside the subset."""


def javascript_of(functions: tuple[FunctionType, ...], constants: dict[str, float] | None = None) -> str:
    """JavaScript that defines ``functions`` (and the constants they use) under the same names.  Raises ``NotPrintable``."""
    lines = [f"const {name} = {value!r};" for name, value in (constants or {}).items()]
    for function in functions:
        tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
        lines.append(_Printer().function(tree.body[0]))
    return "\n".join(lines) + "\n"


class _Printer:
    def __init__(self) -> None:
        self.depth = 0

    def function(self, node: ast.stmt) -> str:
        if not isinstance(node, ast.FunctionDef):
            raise NotPrintable(type(node).__name__)
        arguments = [a.arg for a in node.args.args]
        body = [s for s in node.body if not (isinstance(s, ast.Expr) and isinstance(s.value, ast.Constant))]
        names = sorted(_assigned(body) - set(arguments))
        declared = f"  let {', '.join(names)};\n" if names else ""
        return f"function {node.name}({', '.join(arguments)}) {{\n{declared}{self.block(body)}}}"

    def block(self, body: list[ast.stmt]) -> str:
        self.depth += 1
        text = "".join("  " * self.depth + self.statement(s) + "\n" for s in body)
        self.depth -= 1
        return text

    def closed(self, head: str, body: list[ast.stmt]) -> str:
        return f"{head} {{\n{self.block(body)}{'  ' * self.depth}}}"

    def statement(self, node: ast.stmt) -> str:
        if isinstance(node, ast.Assign) and len(node.targets) == 1:
            return f"{self.of(node.targets[0])} = {self.of(node.value)};"
        if isinstance(node, ast.AnnAssign) and node.value is not None:
            return f"{self.of(node.target)} = {self.of(node.value)};"
        if isinstance(node, ast.AugAssign):
            return f"{self.of(node.target)} {BINARY[type(node.op)]}= {self.of(node.value)};"
        if isinstance(node, ast.Return):
            return f"return {self.of(node.value)};" if node.value else "return;"
        if isinstance(node, ast.Expr):
            return f"{self.of(node.value)};"
        if isinstance(node, ast.While) and not node.orelse:
            return self.closed(f"while ({self.of(node.test)})", node.body)
        if isinstance(node, ast.If):
            text = self.closed(f"if ({self.of(node.test)})", node.body)
            return text + (" " + self.closed("else", node.orelse) if node.orelse else "")
        if isinstance(node, ast.For) and not node.orelse:
            return self.loop(node)
        if isinstance(node, ast.Continue):
            return "continue;"
        raise NotPrintable(f"{type(node).__name__} in line {node.lineno}")

    def loop(self, node: ast.For) -> str:
        name = self.of(node.target)
        call = node.iter
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "range":
            ends = [self.of(a) for a in call.args]
            start, stop = ("0", ends[0]) if len(ends) == 1 else ends[:2]
            return self.closed(f"for ({name} = {start}; {name} < {stop}; {name} += 1)", node.body)
        return self.closed(f"for ({name} of {self.of(call)})", node.body)

    def of(self, node: ast.expr) -> str:
        method = getattr(self, f"of_{type(node).__name__.lower()}", None)
        if method is None:
            raise NotPrintable(f"{type(node).__name__} in line {node.lineno}")
        text: str = method(node)
        return text

    def of_name(self, node: ast.Name) -> str:
        return node.id

    def of_constant(self, node: ast.Constant) -> str:
        if node.value is True or node.value is False or node.value is None:
            return {True: "true", False: "false", None: "null"}[node.value]
        if isinstance(node.value, str):
            return json.dumps(node.value)
        if not isinstance(node.value, int | float):
            raise NotPrintable(type(node.value).__name__)
        return repr(node.value)

    def of_list(self, node: ast.List) -> str:
        return f"[{', '.join(self.of(e) for e in node.elts)}]"

    def of_listcomp(self, node: ast.ListComp) -> str:
        (loop,) = node.generators
        source, name = self.of(loop.iter), self.of(loop.target)
        kept = "".join(f".filter(({name}) => {self.of(c)})" for c in loop.ifs)
        return f"{source}{kept}.map(({name}) => {self.of(node.elt)})"

    def of_subscript(self, node: ast.Subscript) -> str:
        return f"{self.of(node.value)}[{self.of(node.slice)}]"

    def of_binop(self, node: ast.BinOp) -> str:
        if isinstance(node.op, ast.Mult) and isinstance(node.left, ast.List) and len(node.left.elts) == 1:
            return f"new Array({self.of(node.right)}).fill({self.of(node.left.elts[0])})"
        operator = BINARY.get(type(node.op))
        if operator is None:
            raise NotPrintable(f"operator in line {node.lineno}")
        return f"({self.of(node.left)} {operator} {self.of(node.right)})"

    def of_unaryop(self, node: ast.UnaryOp) -> str:
        sign = "!" if isinstance(node.op, ast.Not) else "-"
        return f"({sign}{self.of(node.operand)})"

    def of_boolop(self, node: ast.BoolOp) -> str:
        return "(" + (" && " if isinstance(node.op, ast.And) else " || ").join(self.of(v) for v in node.values) + ")"

    def of_compare(self, node: ast.Compare) -> str:
        parts, left = [], node.left
        for operator, right in zip(node.ops, node.comparators, strict=True):
            if type(operator) not in COMPARE:
                raise NotPrintable(f"comparison in line {node.lineno}")
            parts.append(f"{self.of(left)} {COMPARE[type(operator)]} {self.of(right)}")
            left = right
        return "(" + " && ".join(parts) + ")"

    def of_ifexp(self, node: ast.IfExp) -> str:
        return f"({self.of(node.test)} ? {self.of(node.body)} : {self.of(node.orelse)})"

    def of_call(self, node: ast.Call) -> str:
        if node.keywords:
            raise NotPrintable(f"argument by name in line {node.lineno}")
        arguments = [self.of(a) for a in node.args]
        if isinstance(node.func, ast.Attribute) and node.func.attr in ("append", "copy"):
            target = self.of(node.func.value)
            return f"{target}.push({arguments[0]})" if node.func.attr == "append" else f"{target}.slice()"
        if not isinstance(node.func, ast.Name):
            raise NotPrintable(f"call in line {node.lineno}")
        name = node.func.id
        if name == "len":
            return f"{arguments[0]}.length"
        if name in ("min", "max") and len(arguments) == 1:
            return f"{CALLS[name]}(...{arguments[0]})"
        if name == "range":
            return f"Array.from({{length: {arguments[0]}}}, (_, i) => i)"
        return f"{CALLS.get(name, name)}({', '.join(arguments)})"


def _assigned(body: list[ast.stmt]) -> set[str]:
    """Names that a body assigns; JavaScript wants them declared."""
    found = set()
    for statement in body:
        for node in ast.walk(statement):
            if isinstance(node, ast.ListComp):
                continue
            if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
                found.add(node.id)
    return found
