"""The door of the reckoning: calculators made ready, their own examples run, and a key under which to keep them.

SymPy and Pint are imported only when a calculator is really compiled.
"""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path

from benchlore.entries.calculator import Calculator, Worked
from benchlore.problem import Problem, did_you_mean
from benchlore.quantity import QuantityProblem, read_input
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.constants import BadPath, Shelves, options_of
from benchlore.reckoning.forms import ResultForm, items_of
from benchlore.reckoning.markings import read_digits, read_letters
from benchlore.reckoning.outcome import Outcome
from benchlore.units import DIMENSIONS, UNITS

USUAL_NEARNESS = 0.001


def compile_calculator(entry: Calculator, library: Shelves) -> tuple[Compiled | None, tuple[Problem, ...]]:
    """A calculator that answers, or every problem of its entry at its place.

    Refused as well: one that does not answer for its own defaults, or fails one of its worked examples.
    """
    from benchlore.reckoning.compiling import compiled_from

    compiled, problems = compiled_from(entry, library)
    if compiled is not None:
        problems = [*check_defaults(entry, compiled), *check_worked(entry, compiled)]
    errors = any(problem.severity == "error" for problem in problems)
    return (None if errors or compiled is None else compiled.with_defaults_put_in()), tuple(problems)


def check_defaults(entry: Calculator, compiled: Compiled) -> list[Problem]:
    """The defaults must be good inputs and give an answer."""
    problems = []
    outcome = compiled.evaluate({})
    for name, sentence in outcome.problems.items():
        path = f"inputs.{name}.default" if name else _written(entry, outcome.failed)
        problems.append(Problem(entry.place(path), path, f"the default does not work: {sentence.rstrip('.')}", "give a default that does"))
    return problems


def _written(entry: Calculator, step: str) -> str:
    """Where the formula of a step is written."""
    name = step.split("#")[0].split("?")[0]
    for index, solve in enumerate(entry.solve):
        if solve.unknown == name:
            return f"solve[{index}].between"
    return f"let.{name}" if name in entry.let else f"results.{name}.gives" if name in entry.results else "inputs"


def check_worked(entry: Calculator, compiled: Compiled) -> list[Problem]:
    """Run every worked example; each result that is not met is a problem where it is written."""
    problems: list[Problem] = []
    for index, worked in enumerate(entry.worked):
        path = f"worked[{index}]"
        outcome = compiled.evaluate(worked.given)
        for name, sentence in outcome.problems.items():
            at = f"{path}.given.{name}" if name else path
            problems.append(Problem(entry.place(at), at, f"the example does not run: {sentence.rstrip('.')}", "correct the example or the sum"))
        if not outcome.problems:
            for name in worked.gives:
                problems += _compared(entry, compiled, outcome, worked, name, f"{path}.gives.{name}")
    return problems


def _compared(entry: Calculator, compiled: Compiled, outcome: Outcome, worked: Worked, name: str, path: str) -> list[Problem]:
    def problem(message: str, hint: str) -> list[Problem]:
        return [Problem(entry.place(path), path, message, hint)]

    form = next((form for form in compiled.results if form.name == name), None)
    if name not in outcome.values:
        return problem(f"{name} is not a result of this sum", did_you_mean(name, outcome.values))
    text = worked.gives[name]
    value = outcome.values[name]
    got = value if isinstance(value, list) else [value]
    try:
        wanted = [_expected(form, item, compiled, name) for item in (items_of(text) if isinstance(value, list) else [text])]
        near = [_nearness(worked.within, want, form.unit if form else _unit(compiled, name)) for want in wanted]
    except QuantityProblem as bad:
        return problem(bad.message, bad.hint)
    if len(got) == len(wanted) and all(abs(g - w) <= n for g, w, n in zip(got, wanted, near, strict=True)):
        return []
    shown = outcome.results[name].text if name in outcome.results else ", ".join(f"{g:.6g}" for g in got)
    return problem(f"the example says {text}, but the sum gives {shown}", "correct the example or the formula; within: says how near it must come")


def _unit(compiled: Compiled, name: str) -> str:
    unit = compiled.shows[name].unit
    if not unit.startswith("~"):
        return unit
    return DIMENSIONS[unit[1:]].base


def _expected(form: ResultForm | None, text: str, compiled: Compiled, name: str) -> float:
    """The value that an example expects, written as the result is shown."""
    if form is None or form.shown in ("number", "prefix", "above zero"):
        return read_input(text, form.unit if form else _unit(compiled, name)).quantity.value
    if form.shown == "word":
        if text not in form.words:
            raise QuantityProblem(f'"{text}" is not one of its words', did_you_mean(text, form.words))
        return float(form.words.index(text))
    return (read_letters if form.shown == "letters" else read_digits)(text, form.unit)[0]


def _nearness(within: str | None, wanted: float, unit: str) -> float:
    """How far from ``wanted`` a result may be, in SI: a share of it, or an amount in its unit."""
    if within is None:
        return USUAL_NEARNESS * abs(wanted) + 1e-12
    if within.strip().endswith("%"):
        return read_input(within, "%").quantity.value * abs(wanted) + 1e-15
    read = read_input(within, unit).quantity
    return abs(read.value - UNITS[read.unit].offset)


def engine_key(entry: Calculator, library: Shelves) -> str:
    """A digest of all that a compiled calculator depends on: the entry, the constants it takes, and this engine."""
    options = {}
    for name, form in entry.inputs.items():
        if form.kind in ("tube", "fastener", "wire"):
            try:
                options[name] = [(o.value, o.label, dict(o.symbols), o.others, o.system) for o in options_of(form, library)[0]]
            except BadPath as bad:
                options[name] = [(bad.message, "", {}, (), "")]
    told = json.dumps([repr(entry), options, engine_digest()], sort_keys=True)
    return hashlib.sha256(told.encode()).hexdigest()


@cache
def engine_digest() -> str:
    """A digest of the engine's own source, so that a changed engine compiles anew."""
    here = Path(__file__).parent
    sources = sorted([*here.glob("*.py"), here.parent / "quantity.py", here.parent / "units.py"])
    digest = hashlib.sha256()
    for source in sources:
        digest.update(source.name.encode() + b"\0" + source.read_bytes())
    return digest.hexdigest()
