"""Classic scripts for the browser: the grammar of quantities, and each calculator as data with its functions printed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from benchlore.quantity import grammar
from benchlore.reckoning.algebra import Node
from benchlore.reckoning.compiled import BandForm, Compiled, Line
from benchlore.reckoning.markings import MULTIPLIERS, PATTERNS, SMALL, TOLERANCE_LETTERS, UNMARKED
from benchlore.reckoning.outcome import ACROSS
from benchlore.reckoning.printing import javascript
from benchlore.reckoning.series import members
from benchlore.reckoning.solving import solver_script
from benchlore.reckoning.steps import Formula, Map, Root, Step
from benchlore.reckoning.telling import Fork, Put, Token, words_of

_SERIES = (6, 12, 24, 48, 96, 192)


def grammar_script() -> str:
    """``assets/js/grammar.js``: units, patterns, preferred values, markings and the solver, as Python has them."""
    data = {
        **grammar(),
        "series": {str(count): list(members(count)) for count in _SERIES},
        "markings": {
            "patterns": dict(PATTERNS), "multipliers": {unit: [list(pair) for pair in table] for unit, table in MULTIPLIERS.items()},
            "tolerances": dict(TOLERANCE_LETTERS), "unmarked": UNMARKED, "small": dict(SMALL),
        },
        "across": ACROSS,
    }
    return (
        "// Made by the builder: the grammar of quantities as data, and the solver printed from solving.py.\n"
        f'(function (B) {{\n"use strict";\nB.grammar = {_json(data)};\n{solver_script()}B.rootBetween = root_between;\n'
        "})(globalThis.Benchlore ??= {});\n"
    )


def calculator_script(compiled: Compiled) -> str:
    """``assets/calculators/ID.js``: the calculator's data, and its formulas and their slopes as functions."""
    parts = {
        "id": _json(compiled.id),
        "title": _json(compiled.title),
        "inputs": _json([asdict(form) for form in compiled.inputs]),
        "results": _json([asdict(form) for form in compiled.results]),
        "shows": _json({name: [show.unit, show.digits, show.label] for name, show in compiled.shows.items()}),
        "steps": _list(_step(step) for step in compiled.steps),
        "verdicts": _object({name: _list(_band(band) for band in bands) for name, bands in compiled.verdicts.items()}),
        "lines": _list(_line(line) for line in compiled.formulas),
    }
    body = ",\n  ".join(f"{name}: {text}" for name, text in parts.items())
    return (
        f"// Made by the builder from the calculator's entry: {compiled.id}.\n"
        f'(function (f) {{\n"use strict";\n(Benchlore.calculators ??= {{}})[{_json(compiled.id)}] = {{\n  {body}\n}};\n}})(Benchlore.functions);\n'
    )


def _json(data: Any) -> str:
    """JSON that no text can break out of, whatever it holds."""
    text = json.dumps(data, allow_nan=False, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _list(items: Any) -> str:
    return "[" + ",\n    ".join(items) + "]"


def _object(items: Mapping[str, str]) -> str:
    return "{" + ", ".join(f"{_json(name)}: {text}" for name, text in items.items()) + "}"


def _step(step: Step) -> str:
    """A step as an array: kind, name, and what the kind needs."""
    if isinstance(step, Formula):
        return f'["formula", {_json(step.name)}, {_function(step.node)}, {_slopes(step.slopes)}]'
    if isinstance(step, Map):
        bound = {variable: f"b[{index}]" for index, (variable, _) in enumerate(step.over)}
        over = _json([list(pair) for pair in step.over])
        return f'["map", {_json(step.name)}, {_function(step.node, bound)}, {_slopes(step.slopes, bound)}, {over}]'
    if isinstance(step, Root):
        inner = _list(_step(one) for one in step.inner)
        return f'["root", {_json(step.name)}, {_json(step.low)}, {_json(step.high)}, {inner}, {_json(step.residual)}, {_json(step.none)}]'
    kind = "spread" if step.fn in ("running", "upto") else "reduce"
    return _json([kind, step.name, step.fn, step.of])


def _function(node: Node, bound: Mapping[str, str] | None = None) -> str:
    return f"{'(v, b)' if bound else 'v'} => {javascript(node, bound)}"


def _slopes(slopes: Mapping[str, Node], bound: Mapping[str, str] | None = None) -> str:
    return _object({name: _function(node, bound) for name, node in slopes.items()})


def _band(band: BandForm) -> str:
    when = "null" if band.when is None else _function(band.when)
    return f"[{when}, {_json(list(band.edges))}, {_json([list(part) if isinstance(part, tuple) else part for part in band.says])}, {_json(band.mark)}]"


def _line(line: Line) -> str:
    return f"[{_json(line.name)}, {_json(line.label)}, {_json(line.equation)}, {_list(_token(token) for token in line.tokens)}]"


def _token(token: Token) -> str:
    """Text as it is; a name as ``[name, words, fenced]``; a fork as an object with its test as a function."""
    if isinstance(token, Put):
        return _json([token.name, words_of(token.name), token.fenced])
    if isinstance(token, Fork):
        arms = {"said": token.said, "yes": token.yes, "no": token.no}
        listed = {name: "[" + ", ".join(_token(one) for one in arm) + "]" for name, arm in arms.items()}
        return _object({"test": _function(token.test), **listed})
    return _json(token)
