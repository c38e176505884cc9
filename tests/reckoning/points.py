"""Random inputs for every calculator, inside its hard limits, and the comparison of two answers."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from typing import Any

from benchlore.quantity import in_unit, read_input, rounded
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.forms import InputForm

NEAR = 1e-9
MARKS = {"ohm": ("4K7", "R47", "470RK", "2K2J", "100R", "1M0"), "F": ("4n7", "n47", "100nK", "22u", "p47")}
CODES = ("104", "472J", "223K", "4R7", "101")


def points(compiled: Compiled, count: int, seed: int) -> Iterator[dict[str, str]]:
    """``count`` sets of inputs as typed: half near the defaults, half anywhere inside the limits."""
    rng = random.Random(f"{compiled.id}{seed}")
    for index in range(count):
        rows = {form.table: rng.randint(form.least_rows, form.most_rows) for form in compiled.inputs if form.kind == "list"}
        yield {form.name: _text(form, rng, rows, index % 2 == 0) for form in compiled.inputs}


def _text(form: InputForm, rng: random.Random, rows: dict[str, int], near: bool) -> str:
    if form.options:
        return rng.choice(form.options).value
    if form.kind in ("letters", "digits"):
        return rng.choice(MARKS[form.unit] if form.kind == "letters" else CODES)
    if form.kind == "list":
        defaults = form.default.split(";")
        return "; ".join(_number(form, defaults[i % len(defaults)], rng, near) for i in range(rows[form.table]))
    return _number(form, form.default, rng, near)


def _number(form: InputForm, default: str, rng: random.Random, near: bool) -> str:
    middle = read_input(default.strip(), form.unit).quantity.value
    least = form.least if form.least is not None else min(middle / 10, -10 * abs(middle))
    most = form.most if form.most is not None else max(middle * 10, 10 * abs(middle))
    value = middle * rng.uniform(0.8, 1.25) if near else rng.uniform(least, most)
    if not near and least > 0 and rng.random() < 0.7:
        value = math.exp(rng.uniform(math.log(least), math.log(most)))
    value = min(max(value, least), most)
    if form.kind == "count":
        return rounded(round(value), 9)
    inside = rounded(in_unit(value, form.unit), 5)
    return inside if least <= read_input(inside, form.unit).quantity.value <= most else default.strip()


def differences(ours: dict[str, Any], theirs: dict[str, Any]) -> list[str]:
    """What two answers do not agree on: values and uncertainties to 1e-9, verdicts and texts to the letter."""
    found = []
    if ours["problems"] != theirs["problems"]:
        return [f"problems {ours['problems']} / {theirs['problems']}"]
    for name, mine in ours["values"].items():
        pairs = zip(_list(mine), _list(theirs["values"].get(name)), strict=False)
        if len(_list(mine)) != len(_list(theirs["values"].get(name))):
            found.append(f"{name}: lengths differ")
        found += [f"{name}: {a!r} / {b!r}" for a, b in pairs if not close(a, b)]
    for name, mine in ours["results"].items():
        other = theirs["results"][name]
        if not close(mine["uncertainty"], other["uncertainty"]):
            found.append(f"{name}: uncertainty {mine['uncertainty']!r} / {other['uncertainty']!r}")
        found += [f"{name}: {key} {mine[key]!r} / {other[key]!r}" for key in ("text", "verdict", "spread", "dominant") if mine[key] != other[key]]
    if ours["working"] != theirs["working"]:
        found += [f"working {a!r} / {b!r}" for a, b in zip(ours["working"], theirs["working"], strict=False) if a != b]
    return found


def close(a: float | None, b: float | None) -> bool:
    """Equal to 1e-9 of their own size."""
    if a is None or b is None:
        return a is b
    return abs(a - b) <= NEAR * max(abs(a), abs(b))


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def answer(compiled: Compiled, texts: dict[str, str]) -> dict[str, Any]:
    """Python's answer in the shape in which the browser gives its own."""
    outcome = compiled.evaluate(texts)
    return {
        "problems": dict(outcome.problems),
        "values": dict(outcome.values),
        "working": list(outcome.working),
        "results": {
            name: {
                "uncertainty": r.uncertainty, "text": r.text, "spread": r.uncertainty_text, "dominant": r.dominant_text,
                "verdict": [r.verdict.mark, r.verdict.words] if r.verdict else None,
            }
            for name, r in outcome.results.items()
        },
    }


SHAPE = """
const shape = (o) => ({
  problems: Object.assign({}, o.problems), values: o.values, working: o.working,
  results: Object.fromEntries(Object.entries(o.results).map(([name, r]) => [name, {
    uncertainty: r.uncertainty, text: r.text, spread: r.uncertaintyText, dominant: r.dominantText,
    verdict: r.verdict ? [r.verdict.mark, r.verdict.words] : null }])) });
"""
"""JavaScript that brings the browser's answer into the same shape."""
