"""The grammar of quantities, held against Pint, IEC 60062 and what must be refused."""

from __future__ import annotations

import math
import re

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.quantity import (
    LARGEST,
    Quantity,
    QuantityProblem,
    engineering,
    in_unit,
    parse_quantity,
    read_input,
    rounded,
    shown,
)
from benchlore.units import ALIASES, DIMENSIONS, UNITS

UREG = pint.UnitRegistry()
PINT_NAMES = {
    "ohm": "ohm", "lbf in": "lbf*inch", "lbf ft": "lbf*foot", "ozf in": "ozf*inch", "N m": "N*m", "N cm": "N*cm", "kgf cm": "kgf*cm",
    "in": "inch", "ft": "foot", "in2": "inch**2", "m2": "m**2", "mm2": "mm**2", "cm2": "cm**2", "/s": "1/s", "/min": "1/minute", "/h": "1/hour",
    "min": "minute", "h": "hour", "degC": "degC", "K": "kelvin", "C": "coulomb", "ohm/m": "ohm/m", "ohm/km": "ohm/km", "ohm/ft": "ohm/foot",
    "mohm/m": "mohm/m", "ksi": "kilopsi", "deg": "degree", "turn": "turn", "rad": "radian", "1": "dimensionless", "%": "percent", "Wh": "Wh", "uV": "uV",
}


def pint_value(number: float, unit: str) -> float:
    """The value in base units that Pint gives."""
    return float(UREG.Quantity(number, PINT_NAMES.get(unit, unit)).to_base_units().magnitude)


@pytest.mark.parametrize("unit", [u for u in UNITS if UNITS[u].dimension[:5] != "level"])
def test_units_agree_with_pint(unit: str) -> None:
    """Each unit of the table is as large as Pint says (CODATA and SI definitions inside Pint)."""
    ours = read_input("3.5", unit).quantity.value
    if unit in ("1", "%"):
        assert ours == pytest.approx(3.5 if unit == "1" else 0.035)
    else:
        assert ours == pytest.approx(pint_value(3.5, unit), rel=1e-12)


@pytest.mark.parametrize("name", [d for d in DIMENSIONS if d[:5] != "level" and d not in ("ratio", "number", "angle")])
def test_dimensions_agree_with_pint(name: str) -> None:
    """The exponents by which formulas are proven are Pint's for the same SI unit."""
    dimension = DIMENSIONS[name]
    base = {"kg": "[mass]", "m": "[length]", "s": "[time]", "A": "[current]", "K": "[temperature]"}
    ours = {base[symbol]: power for symbol, power in dimension.exponents.items()}
    assert dict(UREG.Quantity(1, PINT_NAMES.get(dimension.base, dimension.base)).dimensionality) == ours


# IEC 60062 letter-and-digit codes; from memory of the standard, the values agree with the rkm-codes package.
@pytest.mark.parametrize(
    ("code", "dimension", "value"),
    [
        ("4K7", "resistance", 4700), ("4k7", "resistance", 4700), ("R47", "resistance", 0.47), ("4R7", "resistance", 4.7),
        ("1M0", "resistance", 1e6), ("K47", "resistance", 470), ("2R2", "resistance", 2.2), ("68k", "resistance", 68e3),
        ("1M", "resistance", 1e6), ("100R", "resistance", 100), ("n47", "capacitance", 4.7e-10), ("22n", "capacitance", 22e-9),
        ("u22", "capacitance", 0.22e-6), ("6n8", "capacitance", 6.8e-9), (".022 uF", "capacitance", 0.022e-6), ("4k7 ohm", "resistance", 4700),
        ("22:1", "ratio", 22), ("95 %", "ratio", 0.95), ("-38 V", "voltage", -38), ("32 mA", "current", 0.032), ("1/4 in", "length", 0.00635),
        ("1 1/2 in", "length", 0.0381), ("68k", "any", 68e3), ("22n", "any", 22e-9), ("100 ohms", "resistance", 100), ("50 mfd", "capacitance", 50e-6),
    ],
)
def test_the_trade_s_spellings(code: str, dimension: str, value: float) -> None:
    """Values are read as the trade writes them."""
    assert parse_quantity(code, dimension).value == pytest.approx(value, rel=1e-15)


def test_decimals_are_rounded_once() -> None:
    """0.022 uF is the double nearest to its decimals, and so the same in every language."""
    assert parse_quantity("0.022 uF", "capacitance").value == 0.022e-6
    assert parse_quantity("4k7", "resistance").value == 4700.0


@pytest.mark.parametrize(
    ("text", "dimension", "says"),
    [
        ("35", "voltage", "no unit"), ("35 V", "current", "a voltage (V), but a current (A)"), ("1 v", "voltage", "did you mean V?"),
        ("1,5 V", "voltage", "comma"), ("1 m", "resistance", "which is meant?"), ("470RK", "resistance", "not known"), ("5 V", "number", "has a unit"),
        ("1e400 V", "voltage", "not known"), ("nan V", "voltage", "not a quantity"), ("inf V", "voltage", "not a quantity"), ("3E3", "resistance", "not known"),
        ("30..10 V", "voltage", "high to low"), ("95", "ratio", "95 %"), ("", "voltage", "nothing"), ("1/0 in", "length", "divides by zero"),
        ("9" * 61, "number", "61 characters"), ("٣ V", "voltage", "U+0663"), ("３ V", "voltage", "U+FF13"), ("1_000 V", "voltage", "not"), ("0x10 V", "voltage", "not"),
        ("999999999999999 MHz", "frequency", "too large"), ("--5 V", "voltage", "not a quantity"), ("5 V\n", "voltage", "U+000A"), ("1 2 V", "voltage", "not a quantity"),
    ],
)
def test_what_cannot_be_meant_is_refused(text: str, dimension: str, says: str) -> None:
    """A refusal says what is wrong or what was wanted."""
    with pytest.raises(QuantityProblem) as refused:
        parse_quantity(text, dimension)
    assert says in f"{refused.value.message}; {refused.value.hint}"


def test_ranges_in_entries_only() -> None:
    """An entry may say A..B; a field of the page may not."""
    wide = parse_quantity("-45..-30 V", "voltage")
    assert (wide.low, wide.high, wide.value, wide.is_range) == (-45, -30, -37.5, True)
    assert parse_quantity("95..115 %", "ratio").low == pytest.approx(0.95)
    with pytest.raises(QuantityProblem, match="range"):
        read_input("30..40", "V")


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("0,5", "mm", 5e-4), ("0,022u", "uF", 22e-9), (".5", "V", 0.5), ("372", "V", 372), ("35", "mA", 0.035), ("80", "%", 0.8), ("10 µF", "uF", 1e-5),
     ("10 μF", "nF", 1e-5), ("100 Ω", "ohm", 100), ("4,7k", "ohm", 4700), ("−5", "V", -5), ("1,25", "V", 1.25), ("0,500", "V", 0.5), ("12 N·m", "N m", 12)],
)
def test_the_page_reads_plain_numbers_and_decimal_commas(text: str, unit: str, value: float) -> None:
    """A plain number is taken in the field's own unit; a decimal comma is a point; Greek letters and the true minus are known."""
    assert read_input(text, unit).quantity.value == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("text", ["1,500", "12,345 V", "-1,500"])
def test_a_comma_that_could_part_thousands_is_asked_about(text: str) -> None:
    """1,500 is a question, never a guess."""
    with pytest.raises(QuantityProblem, match="which is meant"):
        read_input(text, "V")


@pytest.mark.parametrize(("text", "unit", "step"), [("372", "V", 1), ("372.0", "V", 0.1), ("4k7", "ohm", 100), ("35.2 mA", "A", 1e-4), ("1/4", "in", 0), ("372 mV", "V", 1e-3)])
def test_the_last_digit_counts(text: str, unit: str, step: float) -> None:
    """A meter's counts are of the last digit as it was typed."""
    assert read_input(text, unit).step == pytest.approx(step)


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [(14.2849, 4, "14.28"), (0.5, 1, "0.5"), (2.5, 1, "3"), (-2.5, 1, "-3"), (999.96, 4, "1000"), (123456, 3, "123000"), (0.00001234, 2, "0.000012"), (0, 4, "0"), (0.1 + 0.2, 9, "0.3"), (4.2925, 4, "4.293")],
)
def test_significant_figures(value: float, digits: int, text: str) -> None:
    """Halves go away from zero, idle zeros go, and no exponent is ever shown."""
    assert rounded(value, digits) == text


def test_shown_in_units() -> None:
    """Values are shown with the signs of the trade, and with a fitting prefix where none is given."""
    assert shown(4700, "kohm") == "4.7 kΩ"
    assert shown(0.85, "%") == "85 %"
    assert engineering(0.0353, "current") == "35.3 mA"
    assert engineering(22e-9, "capacitance") == "22 nF"
    assert engineering(0.99999, "voltage", 4) == "1 V"
    assert engineering(0, "voltage") == "0 V"


@given(st.text(max_size=70))
@settings(max_examples=400, deadline=None)
def test_no_text_escapes_the_grammar(text: str) -> None:
    """Any text at all is a finite quantity or a QuantityProblem: nothing else is raised."""
    for read in (lambda: parse_quantity(text, "any"), lambda: parse_quantity(text, "resistance"), lambda: read_input(text, "V").quantity):
        try:
            quantity = read()
        except QuantityProblem:
            continue
        assert isinstance(quantity, Quantity) and math.isfinite(quantity.low) and abs(quantity.high) <= LARGEST


@given(st.from_regex(r"[+-]?[0-9.,:/kKMRunpVA %ohmdFH]{1,12}", fullmatch=True), st.sampled_from(sorted(DIMENSIONS)))
@settings(max_examples=400, deadline=None)
def test_near_misses_do_not_escape_either(text: str, dimension: str) -> None:
    """Text made of the grammar's own letters is read or refused, in any dimension, and what is read is of that dimension."""
    try:
        quantity = parse_quantity(text, dimension)
    except QuantityProblem as problem:
        assert problem.message and problem.hint
        return
    assert math.isfinite(quantity.value)
    assert quantity.dimension in (dimension, "number")


@given(st.floats(min_value=-1e6, max_value=1e6, allow_subnormal=False), st.sampled_from(sorted(set(UNITS) - {"1", "degC"})))
@settings(max_examples=300, deadline=None)
def test_what_is_shown_can_be_typed_again(value: float, unit: str) -> None:
    """A value shown in a unit reads back as itself, to the figures shown."""
    text = rounded(in_unit(value, unit), 9)
    if len(re.sub(r"[^0-9]", "", text)) > 15:
        return
    back = read_input(f"{text} {unit}" if unit != "1" else text, unit).quantity.value
    assert back == pytest.approx(value, rel=1e-8, abs=1e-12)


def test_aliases_lead_to_units() -> None:
    """Every other spelling stands for a unit that is known, and is not a unit itself."""
    assert set(ALIASES.values()) <= set(UNITS)
    assert not set(ALIASES) & set(UNITS)
