"""The algebra takes ordinary formulas, refuses all else, and means what Python's own arithmetic means."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.reckoning.algebra import (
    AlgebraProblem,
    Call,
    Each,
    Name,
    Num,
    check_name,
    names_in,
    parse,
    parse_condition,
    parse_equation,
)
from benchlore.reckoning.functions import Impossible
from benchlore.reckoning.running import number
from benchlore.reckoning.steps import node_data, node_of


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 + 2*3", 7), ("-2**2", -4), ("2**-1", 0.5), ("(1 + 2) * 3", 9), ("10 / 4 / 5", 0.5), ("7 - 2 - 1", 4), ("1e-6 * 1e6", 1), ("+3", 3),
        ("sqrt(16)", 4), ("exp(0)", 1), ("ln(1)", 0), ("log10(1000)", 3), ("min(3, 1, 2)", 1), ("max(1, 2)", 2), ("abs(-5)", 5), ("floor(-1.5)", -2),
        ("sin(pi/2)", 1), ("cos(0)", 1), ("4*atan(1)", math.pi), ("mod(7, 3)", 1), ("mod(-1, 3)", 2), ("digit(4700, 1)", 4), ("digit(0.047, 2)", 7),
        ("decade(1000)", 3), ("decade(999)", 2), ("decade(0.001)", -3), ("nearest_e12(252.5)", 270), ("below_e24(248)", 240), ("above_e24(248)", 270),
        ("1 when 2 > 1 else 3", 1), ("1 when 2 < 1 else 3", 3), ("1 when 1 < 2 <= 2 and not 3 == 4 else 0", 1), ("1 when 1 > 2 or 2 != 2 else 0", 0), ("1 when 1 > 2 or 2 != 3 else 0", 1), ("1 when 2 > 1 and 1 > 2 else 0", 0),
        ("volt / volt + ohm_", 2),
    ],
)
def test_formulas_mean_what_they_say(text: str, value: float) -> None:
    """Signs bind as in ordinary algebra and in Python."""
    assert number(parse(text), {}) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os')", "a.b", "a[0]", "(lambda: 1)()", "f(*x)", "f(x=1)", "'word'", "True", "None", "1j", "0x10", "1_000", "a if b else c", "a @ b", "a // b", "a % b",
        "a = b", "a := b", "a; b", "a < b", "not a", "a and b", "[x for x in y if x > 1]", "[x for x in y for z in x]", "[[x for x in y] for y in z]", "{1}", "{a: b}",
        "sqrt()", "sqrt(1, 2)", "mod(1)", "nosuch(1)", "x when y else z", "1 when a is b else 2", "1 when a in b else 2", "", " ", "a +", "(a", "a)", "a b", "é", "²", "１", "a\nb",
        "for", "sum(x for sqrt in xs)", "sum(x for x, y in xs)", "sum(x for x, x in zip(a, b))", "await a", "yield", "f'{a}'", "b'x'", "...", "9" * 20, "print(1)", "eval(1)", "a if b > c else c", "min(1, 2, 3, 4, 5, 6, 7, 8, 9)", "max(1, 2, 3, 4, 5, 6, 7, 8, 9)", '1 when "x" < "y" else 2',
    ],
)
def test_everything_else_is_refused(text: str) -> None:
    """A refusal is an AlgebraProblem with a hint, never another exception, and nothing is run."""
    with pytest.raises(AlgebraProblem) as refused:
        parse(text)
    assert refused.value.message and refused.value.hint


@pytest.mark.parametrize(
    "text",
    ["9**9**9", "2**99", "2**-99", "(" * 200 + "1" + ")" * 200, "-" * 1900 + "1", "+".join("a" * 900), "a*" * 990 + "a", "x" * 3000, "[" * 90, "sqrt(" * 50 + "1" + ")" * 50, "1 when a > b else " * 70 + "2"],
)
def test_formula_bombs_are_refused(text: str) -> None:
    """Long, deep and high formulas are refused before they cost anything."""
    with pytest.raises(AlgebraProblem):
        parse(text)


def test_deep_conditions_are_refused() -> None:
    """So are conditions: each not, and and or goes one deeper."""
    assert parse_condition("not " * 8 + "a > b")
    for text in ("not " * 100 + "a > b", "not (a > b and " * 30 + "a > b" + ")" * 30):
        with pytest.raises(AlgebraProblem):
            parse_condition(text)


def test_lists_and_words() -> None:
    """Lists are made item by item; words of a choice stand only beside equals signs."""
    each = parse("sum(x*y for x, y in zip(xs, ys))")
    assert isinstance(each, Call) and isinstance(each.args[0], Each)
    assert each.args[0].bindings == (("x", Name("xs")), ("y", Name("ys")))
    assert list(names_in(each)) == ["xs", "ys"]
    assert parse_condition('wiring == "series"').fn == "=="  # type: ignore[union-attr]
    with pytest.raises(AlgebraProblem, match="equal or not"):
        parse_condition('wiring < "series"')


def test_equations_have_two_sides() -> None:
    """One equals sign parts the sides; signs of comparison do not."""
    assert parse_equation("a*2 = b") == (Call("*", (Name("a"), Num(2.0))), Name("b"))
    for text in ("a", "a = b = c", "a == b"):
        with pytest.raises(AlgebraProblem):
            parse_equation(text)


@pytest.mark.parametrize("name", ["volt", "sqrt", "pi", "when", "lambda", "A", "1a", "a-b", "a" * 41, "", "é"])
def test_names_that_cannot_be_used(name: str) -> None:
    """A name is small letters, digits and underscores, and means nothing else already."""
    with pytest.raises(AlgebraProblem):
        check_name(name)


@pytest.mark.parametrize(
    ("text", "reason"),
    [("1/0", "division by zero"), ("0**-1", "division by zero"), ("(-8)**(1/3)", "fractional power"), ("sqrt(-1)", "square root"), ("ln(0)", "logarithm"), ("log10(-1)", "logarithm"),
     ("exp(1000)", "too large"), ("10**12 * (10**12)**12 * (10**12)**12 * (10**12)**12", "too large"), ("mod(1, 0)", "division by zero"), ("digit(1, 0)", "figure")],
)
def test_what_has_no_answer_says_why(text: str, reason: str) -> None:
    """No NaN and no infinity: an impossible sum raises its reason in words."""
    from benchlore.reckoning.running import Failed, run
    from benchlore.reckoning.steps import Formula

    with pytest.raises((Impossible, Failed), match=reason):
        run([Formula("x", parse(text), {})], {})


@given(st.text(alphabet="abx+-*/()., 0123456789<>=!\"'[]{}_:;@%&|^~\\#whenelsforizpqrtu\n", max_size=60))
@settings(max_examples=500, deadline=None)
def test_any_text_is_a_tree_or_a_refusal(text: str) -> None:
    """Text made of the algebra's own letters parses to a tree or is refused; nothing else happens."""
    for read in (parse, parse_condition, parse_equation):
        try:
            read(text)
        except AlgebraProblem as problem:
            assert problem.message


TREES = st.recursive(
    st.one_of(st.floats(0.01, 99).map(lambda v: Num(round(v, 3))), st.sampled_from(["a", "b", "c"]).map(Name)),
    lambda inner: st.one_of(
        st.tuples(st.sampled_from("+-*/"), inner, inner).map(lambda t: Call(t[0], (t[1], t[2]))),
        inner.map(lambda t: Call("neg", (t,))),
    ),
    max_leaves=12,
)


@given(TREES)
@settings(max_examples=200, deadline=None)
def test_trees_survive_being_kept(tree: object) -> None:
    """A tree kept as JSON and taken out again is the same tree."""
    import json

    assert node_of(json.loads(json.dumps(node_data(tree)))) == tree  # type: ignore[arg-type]
