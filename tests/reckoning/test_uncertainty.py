"""Uncertainty against the uncertainties package, the GUM (JCGM 100:2008) and SymPy's own derivatives."""

from __future__ import annotations

import math
import random

import pytest
import sympy
from tests.reckoning.making import made, simple
from uncertainties import ufloat, umath

from benchlore.quantity import QuantityProblem
from benchlore.reckoning.algebra import Num, parse
from benchlore.reckoning.derivatives import partial
from benchlore.reckoning.running import number
from benchlore.reckoning.uncertainty import combined, read_tolerance

ROOT3 = math.sqrt(3)


def known(value: float, percent: float):  # type: ignore[no-untyped-def]
    """An uncertain number of the uncertainties package: a rectangular band of so many per cent."""
    return ufloat(value, value * percent / 100 / ROOT3)


FORMULAS = [
    ("a / c", "A", lambda a, b, c: a / c),
    ("a**2 / c", "W", lambda a, b, c: a**2 / c),
    ("(a - b) * (a + b) / c", "W", lambda a, b, c: (a - b) * (a + b) / c),
    ("a - a", "V", lambda a, b, c: a - a),
    ("20 * log10(a / b)", "dB", lambda a, b, c: 20 * umath.log10(a / b)),
    ("a * exp(-b / a)", "V", lambda a, b, c: a * umath.exp(-b / a)),
    ("sqrt(a**2 + b**2)", "V", lambda a, b, c: umath.sqrt(a**2 + b**2)),
    ("a * sin(b / a) + b * cos(a / b) + a * atan(b / a)", "V", lambda a, b, c: a * umath.sin(b / a) + b * umath.cos(a / b) + a * umath.atan(b / a)),
    ("max(a, b) - min(a, b)", "V", lambda a, b, c: a - b),
    ("abs(b - a)", "V", lambda a, b, c: a - b),
    ("(a when a > b else b) / c", "A", lambda a, b, c: a / c),
    ("ln(a / b) * a", "V", lambda a, b, c: umath.log(a / b) * a),
    ("(a / volt)**(b / volt)", "1", lambda a, b, c: a**b),
]


@pytest.mark.parametrize(("formula", "unit", "outside"), FORMULAS)
def test_propagation_agrees_with_the_uncertainties_package(formula: str, unit: str, outside) -> None:  # type: ignore[no-untyped-def]
    """First-order propagation with correlations through shared inputs kept, k = 2 (uncertainties 3.2)."""
    a, b, c = known(10, 1), known(4, 2), known(2, 5)
    result = made(simple(formula, unit)).evaluate({}).results["out"]
    wanted = outside(a, b, c)
    assert result.value == pytest.approx(wanted.nominal_value, rel=1e-12)
    assert result.uncertainty == pytest.approx(2 * wanted.std_dev, rel=1e-9, abs=1e-12)


def test_intermediate_names_keep_correlations() -> None:
    """Two intermediates from one input do not count it twice: (a+b) - a knows only b."""
    result = made(simple("p - q", "V", let="{p: a + b, q: a}")).evaluate({}).results["out"]
    assert result.uncertainty == pytest.approx(2 * 4 * 0.02 / ROOT3)
    assert result.dominant == "b" and result.shares["b"] == pytest.approx(1)


def test_lists_are_independent_item_by_item() -> None:
    """Two 1 kohm of 5 % standard uncertainty in parallel: 500 ohm with u = 17.7 ohm (GUM law of propagation; package uncertainties)."""
    band = 5 * ROOT3
    listed = f"rs: {{label: R, unit: ohm, kind: list, default: 1k; 1k, tolerance: {band:.6f} %}}"
    result = made(simple("1 / sum(1/r for r in rs)", "ohm", listed)).evaluate({}).results["out"]
    outside = 1 / (1 / ufloat(1000, 50) + 1 / ufloat(1000, 50))
    assert result.value == pytest.approx(500)
    assert result.uncertainty is not None
    assert result.uncertainty / 2 == pytest.approx(17.68, abs=0.01)
    assert result.uncertainty / 2 == pytest.approx(outside.std_dev, rel=1e-6)
    assert set(result.shares) == {"rs[1]", "rs[2]"} and "row" in result.dominant_text


@pytest.mark.parametrize("fn", ["mean(rs)", "max(rs)", "min(rs)", "first(rs)", "last(rs)", "last(running(rs))", "sum(x * n for x, n in zip(rs, upto(count(rs))))"])
def test_reduced_lists(fn: str) -> None:
    """Means, extremes, running sums and weighted sums carry uncertainty as the uncertainties package does."""
    rs = [known(v, 5) for v in (3, 9, 5)]
    outside = {"mean(rs)": sum(rs) / 3, "max(rs)": rs[1], "min(rs)": rs[0], "first(rs)": rs[0], "last(rs)": rs[2], "last(running(rs))": sum(rs)}
    wanted = outside.get(fn, rs[0] + 2 * rs[1] + 3 * rs[2])
    result = made(simple(fn, "ohm", "rs: {label: R, unit: ohm, kind: list, default: 3; 9; 5, tolerance: 5 %}")).evaluate({}).results["out"]
    assert result.value == pytest.approx(wanted.nominal_value)
    assert result.uncertainty == pytest.approx(2 * wanted.std_dev)


def test_solved_unknowns_by_the_implicit_function_theorem() -> None:
    """x**3 = a gives the same uncertainty as the cube root written out (uncertainties package)."""
    solve = "solve: [{unknown: x, unit: '1', equation: x**3 + x = a/volt, between: ['0', '10']}]"
    result = made(simple("x", "1", more=solve)).evaluate({}).results["out"]
    assert result.value == pytest.approx(2.0)
    assert result.uncertainty == pytest.approx(2 * (0.1 / ROOT3) / (3 * 2**2 + 1))


def test_nested_unknowns() -> None:
    """Two unknowns that need each other are solved one inside the other, slopes and all: y = sqrt(x), x + y = a."""
    solve = "solve: [{unknown: y, unit: '1', equation: y**2 = x, between: ['0', '100']}, {unknown: x, unit: '1', equation: x + y = a/volt, between: ['0', '100']}]"
    outcome = made(simple("x", "1", more=solve)).evaluate({})
    wanted = 10 - (math.sqrt(41) - 1) / 2
    assert outcome.results["out"].value == pytest.approx(wanted, rel=1e-12)
    y = math.sqrt(wanted)
    assert outcome.values["y"] == pytest.approx(y)
    assert outcome.results["out"].uncertainty == pytest.approx(2 * 0.1 / ROOT3 / (1 + 1 / (2 * y)))


def test_an_exact_unknown_does_not_hide_the_rest() -> None:
    """An unknown that nothing measured moves leaves the uncertainty of the other results alone."""
    solve = "solve: [{unknown: x, unit: '1', equation: x**2 = 2, between: ['0', '10']}]"
    result = made(simple("a * x", "V", more=solve)).evaluate({}).results["out"]
    assert result.uncertainty == pytest.approx(2 * 0.1 / ROOT3 * math.sqrt(2))


def test_product_rule_of_the_gum() -> None:
    """Relative variances of a product add (JCGM 100:2008, 5.1.6): 1 %, 1 % and 0.5 % make 1.5 %."""
    slope = {"v": 0.035, "i": 400.0 / 1.0, "r": -14.0}
    halves = {"v": 4.0 * ROOT3, "i": 0.035 * 0.005 * ROOT3, "r": 0.01 * ROOT3}
    assert combined(slope, halves).expanded / 2 == pytest.approx(14 * 0.015, rel=1e-9)


def test_correlation_is_not_known_and_said_to_be_so() -> None:
    """The GUM's example H.2 with its correlations left out gives u(R) = 0.195 ohm, not the right 0.071: why pages say 'independent'."""
    r = ufloat(4.9990, 0.0032094) / ufloat(0.019661, 9.471e-6) * umath.cos(ufloat(1.04446, 0.00075206))
    slope = {"v": r.nominal_value / 4.999, "i": -r.nominal_value / 0.019661, "p": -math.tan(1.04446) * r.nominal_value}
    halves = {"v": 0.0032094 * ROOT3, "i": 9.471e-6 * ROOT3, "p": 0.00075206 * ROOT3}
    assert combined(slope, halves).expanded / 2 == pytest.approx(r.std_dev)
    assert combined(slope, halves).expanded / 2 == pytest.approx(0.1945, abs=5e-4)


def test_rectangular_bands() -> None:
    """A 5 % band is a standard uncertainty of 2.89 % (GUM 4.3.7)."""
    assert combined({"x": 1.0}, {"x": 5.0}).expanded / 2 == pytest.approx(2.8868, abs=1e-4)


@pytest.mark.parametrize(
    ("text", "unit", "half"),
    [("5 %", "V", 5.0), ("0.5 % + 2 digits", "V", 0.5 + 2.0), ("1 V", "V", 1.0), ("20 mV", "V", 0.02), ("2 digits", "V", 2.0), ("0,5 %", "V", 0.5), ("exact", "V", 0), ("", "V", 0), ("±1 %", "V", 1.0),
     ("1 % + 2 counts + 1 mV", "V", 3.001), ("2 degC", "degC", 2.0)],
)
def test_tolerances_are_read(text: str, unit: str, half: float) -> None:
    """Bands, counts of the last digit and fixed amounts, of a reading of 100 whose last digit counts 1."""
    assert read_tolerance(text, unit).half_width(100.0, 1.0) == pytest.approx(half)


@pytest.mark.parametrize("text", ["five", "5", "-1 V", "1 A", "1 % + 1 % + 1 % + 1 %", "% 5", "1e3 %", "nan %"])
def test_bad_tolerances_are_refused(text: str) -> None:
    """What is no tolerance is refused in words; a plain number counts in the field's unit."""
    if text == "5":
        assert read_tolerance(text, "V").fixed == 5
        return
    with pytest.raises(QuantityProblem):
        read_tolerance(text, "V")


def test_a_verdict_near_its_limit_says_so() -> None:
    """Where the expanded uncertainty spans the limit, the verdict admits it; far away it does not."""
    body = simple("a", "V").replace("gives: 'a'}", "gives: 'a', verdicts: [{when: out > 10.05*volt, says: 'above {out}', mark: stop}, {when: else, says: 'below {b:mV}', mark: good}]}")
    sound = made(body)
    near, far = sound.evaluate({}).results["out"].verdict, sound.evaluate({"a": "20"}).results["out"].verdict
    assert near is not None and near.across and near.mark == "good" and near.words.startswith("below 4000 mV") and "reaches across" in near.words
    assert far is not None and not far.across and far.words == "above 20 V"


SMOOTH = ["x*y", "x/y", "x**3", "x**y", "sqrt(x*y)", "exp(x/y)", "ln(x) / y", "log10(x + y)", "sin(x)*cos(y)", "atan(x/y)", "1/(x + 1/y)", "x - y*x**2", "(x + y)**1.5", "pi*x**2/4"]


@pytest.mark.parametrize("text", SMOOTH)
def test_derivatives_agree_with_differences(text: str) -> None:
    """Each derivative is the limit of differences of the formula itself, at a hundred points."""
    rng = random.Random(text)
    tree = parse(text)
    for by in ("x", "y"):
        slope = partial(tree, by)
        for _ in range(50):
            at = {"x": rng.uniform(0.5, 3), "y": rng.uniform(0.5, 3)}
            step = 1e-5
            up, down = number(tree, {**at, by: at[by] + step}), number(tree, {**at, by: at[by] - step})
            assert number(slope, at) == pytest.approx((up - down) / (2 * step), rel=1e-6, abs=1e-8)


def test_derivatives_of_corners() -> None:
    """Arms are differentiated arm by arm, guards still guard, and steps have no slope."""
    guarded = partial(parse("0 when x == 0 else y / x"), "y")
    assert number(guarded, {"x": 0.0, "y": 1.0}) == 0 and number(guarded, {"x": 2.0, "y": 1.0}) == 0.5
    assert partial(parse("floor(x) + nearest_e24(x)"), "x") == Num(0.0)
    assert number(partial(parse("x * max(x, y, 1)"), "x"), {"x": 3.0, "y": 2.0}) == 6
    assert number(partial(parse("x * max(x, y, 1)"), "x"), {"x": 1.5, "y": 2.0}) == 2
    assert number(partial(parse("abs(x - y) * x"), "x"), {"x": 1.0, "y": 2.0}) == pytest.approx(sympy.Rational(0))
