"""Calculators made from text for the tests, as an entry's file would make them."""

from __future__ import annotations

import tempfile
import textwrap
from pathlib import Path

from benchlore.entries.calculator import Calculator
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reading.shelf import read_shelves
from benchlore.reckoning.calculate import compile_calculator
from benchlore.reckoning.compiled import Compiled

NOTHING = Library({})
HEAD = """\
title: A sum for the tests
group: parts
summary: Only for the tests.
"""
WORKED = """\
worked:
  - {given: {}, gives: {}, sources: [common practice]}
  - {given: {}, gives: {}, sources: [common practice]}
"""


def entry_of(body: str, worked: str = WORKED) -> Calculator:
    """The entry that a file with these inputs, formulas and results makes."""
    with tempfile.TemporaryDirectory() as folder:
        shelf = Path(folder) / "shelf"
        (shelf / "calculators").mkdir(parents=True)
        (shelf / "calculators" / "sum.yaml").write_text(HEAD + textwrap.dedent(body) + worked, encoding="utf-8")
        reading = read_shelves([shelf])
    assert not reading.problems, "\n".join(map(str, reading.problems))
    entry = reading.entries[0]
    assert isinstance(entry, Calculator)
    return entry


def made(body: str, worked: str = WORKED) -> Compiled:
    """A calculator that must be sound."""
    compiled, problems = compile_calculator(entry_of(body, worked), NOTHING)
    assert compiled is not None, "\n".join(map(str, problems))
    return compiled


def problems_of(body: str, worked: str = WORKED, library: Library = NOTHING) -> tuple[Problem, ...]:
    """What is wrong with a calculator."""
    return compile_calculator(entry_of(body, worked), library)[1]


def simple(formula: str, unit: str = "1", inputs: str = "", let: str = "", more: str = "") -> str:
    """The body of a calculator with inputs a and b in volts and c in ohms, and one result."""
    lines = [
        "inputs:",
        "  a: {label: A, unit: V, default: 10 V, tolerance: 1 %}",
        "  b: {label: B, unit: V, default: 4 V, tolerance: 2 %}",
        "  c: {label: C, unit: ohm, default: 2 ohm, tolerance: 5 %}",
        *([f"  {inputs}"] if inputs else []),
        *([f"let: {let}"] if let else []),
        *([more] if more else []),
        "results:",
        f"  out: {{label: Out, unit: '{unit}', gives: '{formula}'}}",
        "",
    ]
    return "\n".join(lines)
