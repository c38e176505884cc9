"""Entries that contradict themselves are problems at their place; dimensions are proven; circles are named."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest
from tests.reckoning.making import NOTHING, entry_of, made, problems_of, simple
from tests.reckoning.try_calculator import reference

from benchlore.reckoning.algebra import AlgebraProblem, parse
from benchlore.reckoning.calculate import compile_calculator, engine_key
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.derivatives import partial
from benchlore.reckoning.functions import Impossible

BUILDER = Path(__file__).resolve().parents[2] / "builder"


@pytest.mark.parametrize(
    ("formula", "unit", "says"),
    [
        ("a + c", "V", "adds a voltage (V) with a resistance (ohm)"),
        ("a * c", "W", "gives something in"),
        ("a / c", "V", "gives a current (A), but V wants a voltage (V)"),
        ("exp(a)", "1", "takes a plain number"),
        ("a ** b", "1", "exponent"),
        ("sqrt(a)", "V", "gives"),
        ("a when a > c else b", "V", "compares"),
        ("a when a > b else c", "V", "chooses between"),
        ("max(a, c)", "V", "takes the max of"),
        ("sum(a)", "V", "needs a list"),
        ("sum(x for x in a)", "V", "for x needs a list"),
        ("a + nosuch", "V", "the name nosuch is not known"),
        ("sin(c)", "1", "takes a plain number"),
        ("a + 1", "V", "adds a voltage (V) with a plain number"),
        ("digit(a, b)", "1", ""),
    ],
)
def test_dimensions_are_proven(formula: str, unit: str, says: str) -> None:
    """A formula that adds volts to ohms is a problem at the formula, and names both."""
    problems = problems_of(simple(formula, unit))
    if not says:
        assert not problems
        return
    assert problems and says in problems[0].message
    assert problems[0].where == "results.out.gives" and problems[0].place.line > 4 and problems[0].hint


@pytest.mark.parametrize(
    ("formula", "unit"),
    [("a / c", "mA"), ("a**2 / c", "W"), ("sqrt(a**2 + b**2)", "V"), ("20*log10(a/b)", "dB"), ("max(0, a - b)", "V"), ("a + 0.7*volt", "V"), ("(a*b)**0.5", "mV"), ("0 when a > b else a", "V"),
     ("nearest_e24(c)", "kohm"), ("abs(-a)", "V"), ("a/b", "%"), ("(a/volt)**1.5", "1"), ("c**-1", "A/V")],
)
def test_sound_formulas_pass(formula: str, unit: str) -> None:
    """What physics allows is taken, the literal zero in any dimension, unit constants where a bare law needs them."""
    assert made(simple(formula, unit)).evaluate({}).results["out"].text


def test_circles_name_both_places() -> None:
    """Names worked out from each other are a problem that says where each is written."""
    problems = problems_of(simple("p", "V", let="{p: q + a, q: p - a}"))
    assert len(problems) == 1
    assert "p is worked out from q" in problems[0].message and "sum.yaml:" in problems[0].message
    assert "itself" in problems_of(simple("p", "V", let="{p: p + a}"))[0].message


@pytest.mark.parametrize(
    ("body", "where", "says"),
    [
        (simple("a", "V", "a2: {label: X, unit: nosuch, default: '1'}"), "inputs.a2.unit", "not known"),
        (simple("a", "V", "volt: {label: X, unit: V, default: 1 V}"), "inputs.volt", "already means something"),
        (simple("a", "V", "out: {label: X, unit: V, default: 1 V}"), "results.out", "is used before"),
        (simple("a", "nosuch"), "results.out.unit", "not known"),
        (simple("a", "V", "d: {label: X, unit: V, default: 5 A}"), "inputs.d.default", "does not work"),
        (simple("a", "V", "d: {label: X, unit: V, default: 5 V, least: 1 A}"), "inputs.d.least", "voltage"),
        (simple("a", "V", "d: {label: X, unit: V, default: 5 V, tolerance: five}"), "inputs.d.tolerance", "no tolerance"),
        (simple("a", "V", "d: {label: X, unit: V, default: 5 V, least: 6 V}"), "inputs.d.default", "below the least"),
        (simple("a", "V", "d: {label: X, unit: '1', kind: choice, default: x}"), "inputs.d.choices", "no choices"),
        (simple("a", "V", "d: {label: X, unit: '1', kind: tube, default: x, takes: {m: nosuch.path}}"), "inputs.d.takes", "no tube"),
        (simple("a", "V", "d: {label: X, unit: V, kind: letters, default: 4K7}"), "inputs.d.unit", "ohm or F"),
        (simple("(", "V"), "results.out.gives", "cannot be read"),
        (simple("a", "V", let="{a: b}"), "let.a", "is used before"),
        (simple("a/(b - 4*volt)", "1"), "results.out.gives", "division by zero"),
        (simple('1 when "x" == "y" else 2', "1"), "results.out.gives", "not a choice"),
        (simple("x", "V", more="solve: [{unknown: x, unit: V, equation: x = a + c, between: ['0', a]}]"), "solve[0].equation", "adds"),
        (simple("x", "V", more="solve: [{unknown: x, unit: V, equation: x = a / c, between: ['0', a]}]"), "solve[0].equation", "left side"),
        (simple("x", "V", more="solve: [{unknown: x, unit: V, equation: x = a, between: ['0', c]}]"), "solve[0].between[1]", "wants"),
        (simple("x", "V", more="solve: [{unknown: x, unit: V, equation: x = 3*a, between: ['0', a]}]"), "solve[0].between", "There is no x"),
        (simple("x", "V", more="solve: [{unknown: x, unit: V, equation: x + a, between: ['0', a]}]"), "solve[0].equation", "two sides"),
    ],
)
def test_problems_stand_where_they_were_written(body: str, where: str, says: str) -> None:
    """Each mistake is reported at its own field, in words."""
    problems = problems_of(body)
    assert [p for p in problems if p.where == where and says in p.message], [str(p) for p in problems]


def test_verdicts_are_checked() -> None:
    """Conditions are proven, values in words must exist, and nothing may follow else."""
    verdicts = "verdicts: [{when: out > c, says: hot, mark: stop}, {when: else, says: 'at {nosuch}', mark: good}, {when: out > a, says: 'at {a:ohm}', mark: good}]"
    body = simple("a", "V").replace("gives: 'a'}", f"gives: 'a', {verdicts}}}")
    found = {p.where: p.message for p in problems_of(body)}
    assert "compares" in found["results.out.verdicts[0].when"]
    assert "never reached" in found["results.out.verdicts[1].when"]


def test_worked_examples_are_run() -> None:
    """An example that is not met is a problem where its figure stands, and the calculator is not built."""
    worked = """\
worked:
  - {given: {a: 12 V}, gives: {out: 6 A}, sources: [common practice]}
  - {given: {a: 12 V}, gives: {out: 5 A, nosuch: 1}, within: 0.1 A, sources: [common practice]}
"""
    problems = problems_of(simple("a / c", "A"), worked)
    assert [p.where for p in problems] == ["worked[1].gives.out", "worked[1].gives.nosuch"]
    assert "the example says 5 A, but the sum gives 6 A" in problems[0].message


def test_an_example_may_leave_its_unit_to_the_result() -> None:
    """A bare number is in the unit in which the result is shown, and is held to that."""
    worked = "worked:\n  - {given: {a: 12 V}, gives: {out: 6000}, sources: [common practice]}\n  - {given: {a: 12 V}, gives: {out: 6}, sources: [common practice]}\n"
    assert [p.where for p in problems_of(simple("a / c", "mA"), worked)] == ["worked[1].gives.out"]


def test_every_problem_at_once() -> None:
    """No problem hides another in the same entry."""
    body = simple("a + c", "V", let="{p: a + c, q: exp(a)}")
    assert {p.where for p in problems_of(body)} == {"let.p", "let.q", "results.out.gives"}


def test_choices_are_compared_by_word() -> None:
    """A choice is compared with its words; a word it does not have is a problem with the nearest."""
    choice = "w: {label: W, unit: '1', kind: choice, choices: {series: In series, parallel: In parallel}, default: series}"
    text = 'a when w == "series" else b'
    sound = made(simple(text, "V", choice))
    assert sound.evaluate({}).results["out"].value == 10
    assert sound.evaluate({"w": "Parallel"}).results["out"].value == 4
    assert "not one of the choices" in sound.evaluate({"w": "both"}).problems["w"]
    assert "did you mean series" in problems_of(simple(text.replace("series", "seris"), "V", choice))[0].hint
    assert "not a word of the choice a" in problems_of(simple('a when a == "series" else b', "V", choice))[0].message


def test_a_kept_calculator_is_the_same() -> None:
    """Plain data out and in again gives an equal calculator and equal answers, without SymPy or Pint."""
    library, _ = reference()
    for name in ("idle-dissipation", "resistors-parallel", "bias-change", "marking-codes", "triode-stage"):
        compiled, problems = compile_calculator(library.calculators[name], library)
        assert compiled is not None, problems
        again = Compiled.from_data(json.loads(json.dumps(compiled.to_data())))
        assert again == compiled and again.evaluate({}) == compiled.evaluate({})


def test_answering_needs_neither_sympy_nor_pint() -> None:
    """The light half of the reckoning imports in a fresh Python without the heavy libraries."""
    code = "import sys, benchlore.reckoning.compiled, benchlore.reckoning.calculate, benchlore.reckoning.script; sys.exit('sympy' in sys.modules or 'pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], env={"PYTHONPATH": str(BUILDER)}, check=False).returncode == 0


def test_the_key_follows_what_matters() -> None:
    """The key under which a calculator is kept changes with its text and stays with equal text."""
    one, same, other = entry_of(simple("a", "V")), entry_of(simple("a", "V")), entry_of(simple("b", "V"))
    assert engine_key(one, NOTHING) == engine_key(same, NOTHING) != engine_key(other, NOTHING)


BOMBS = [
    "a * " + "(" * 12 + "9" + "**12)" * 12, "(a/volt)**(12*12*12*12*12*12)", "(a/volt)**-13", "9**(1000000000*a/volt)", "exp(exp(exp(100))) * a", "a * 1e99 * 1e99 * 1e99 * 1e99",
    "*".join(["(a + b)"] * 25), "sin(" * 25 + "a/volt" + ")" * 25, "exp(" * 25 + "0*a/volt" + ")" * 25, "(a/volt)**(b/volt)" * 1 + " + (a/volt)**12 * (b/volt)**12",
    "/".join(["a"] * 50), " when a > b else ".join(["a"] * 25),
]


@pytest.mark.parametrize("formula", BOMBS)
def test_no_formula_costs_more_than_moments(formula: str) -> None:
    """Formulas made to explode are refused or compiled within seconds; none hangs SymPy."""
    start = time.perf_counter()
    compile_calculator(entry_of(simple(formula, "1")), NOTHING)
    with suppress(AlgebraProblem, Impossible):
        partial(parse(formula), "a")
    assert time.perf_counter() - start < 5


def test_too_many_formulas_and_unknowns_are_refused() -> None:
    """Work is bounded: at most 300 formulas, and unknowns at most three deep."""
    many = "{" + ", ".join(f"p{i}: a" for i in range(301)) + "}"
    assert "more than 300" in problems_of(simple("a", "V", let=many))[0].message
    chain = ", ".join(f"{{unknown: x{i}, unit: '1', equation: x{i} = (x{(i + 1) % 5} + 1)/2 + a/volt, between: ['0', '100']}}" for i in range(5))
    assert any("an unknown inside 3 others" in p.message for p in problems_of(simple("x0", "1", more=f"solve: [{chain}]")))
