"""Preferred values against the eseries package (IEC 60063); markings against IEC 60062."""

from __future__ import annotations

import eseries
import pytest

from benchlore.quantity import QuantityProblem
from benchlore.reckoning.markings import digits, letters, read_digits, read_letters
from benchlore.reckoning.series import above, below, members, nearest_in

SERIES = {6: eseries.E6, 12: eseries.E12, 24: eseries.E24, 48: eseries.E48, 96: eseries.E96, 192: eseries.E192}


@pytest.mark.parametrize("count", SERIES)
def test_members_are_those_of_the_standard(count: int) -> None:
    """Every member of E6 to E192 is the one that the eseries package lists."""
    theirs = [value / (10 if count <= 24 else 100) for value in eseries.series(SERIES[count])]
    assert list(members(count)) == pytest.approx(theirs)


@pytest.mark.parametrize("count", SERIES)
def test_nearest_above_and_below(count: int) -> None:
    """Nearest, next above and next below agree with the eseries package over eight decades."""
    for step in range(160):
        value = 0.0123 * 1.12**step
        key = SERIES[count]
        low, high = eseries.find_less_than_or_equal(key, value), eseries.find_greater_than_or_equal(key, value)
        assert below(value, count) == pytest.approx(low)
        assert above(value, count) == pytest.approx(high)
        assert nearest_in(value, count) == pytest.approx(low if value - low < high - value else high)


# Figures of eseries 1.2.1, as a bench would ask for them.
@pytest.mark.parametrize(("count", "value", "near"), [(12, 252.5, 270), (24, 248, 240), (12, 1430, 1500), (6, 3.0e-5, 3.3e-5), (12, 740, 680), (24, 4699.9999999999, 4700)])
def test_bench_values(count: int, value: float, near: float) -> None:
    """A reckoned value leads to the part in the drawer."""
    assert nearest_in(value, count) == near


# IEC 60062:2016, from memory; the tolerance letter of 470RK is the trap.
@pytest.mark.parametrize(
    ("code", "unit", "value", "tolerance"),
    [("4K7", "ohm", 4700, 0.2), ("R47", "ohm", 0.47, 0.2), ("4R7", "ohm", 4.7, 0.2), ("1M0", "ohm", 1e6, 0.2), ("K47", "ohm", 470, 0.2), ("470RK", "ohm", 470, 0.1), ("2K2J", "ohm", 2200, 0.05), ("1G0", "ohm", 1e9, 0.2), ("1m0", "F", 1e-3, 0.2),
     ("n47", "F", 4.7e-10, 0.2), ("100nK", "F", 1e-7, 0.1), ("4µ7", "F", 4.7e-6, 0.2)],
)
def test_letter_codes(code: str, unit: str, value: float, tolerance: float) -> None:
    """A letter stands for the point and the prefix; a last letter is the tolerance."""
    assert read_letters(code, unit) == (pytest.approx(value, rel=1e-15), tolerance)


@pytest.mark.parametrize(
    ("code", "unit", "value", "tolerance"),
    [("104", "F", 1e-7, 0.2), ("104", "ohm", 1e5, 0.2), ("4702", "ohm", 47e3, 0.2), ("4R7", "F", 4.7e-12, 0.2), ("479", "F", 4.7e-12, 0.2), ("472J", "F", 4.7e-9, 0.05), ("000", "ohm", 0, 0.2)],
)
def test_digit_codes(code: str, unit: str, value: float, tolerance: float) -> None:
    """Three digits count picofarads on a capacitor and ohms on a resistor."""
    assert read_digits(code, unit) == (pytest.approx(value, rel=1e-15), tolerance)


@pytest.mark.parametrize(("code", "unit"), [("", "ohm"), ("K", "ohm"), ("4K7X", "ohm"), ("47", "ohm"), ("R", "F"), ("-4K7", "ohm"), ("４K7", "ohm"), ("4K7" * 20, "ohm")])
def test_what_is_no_code(code: str, unit: str) -> None:
    """Other text is refused, with an example."""
    with pytest.raises(QuantityProblem, match="letter code"):
        read_letters(code, unit)
    with pytest.raises(QuantityProblem, match="digit code"):
        read_digits("x" + code, unit)


@pytest.mark.parametrize("member", [m for count in (12, 24) for m in members(count)])
@pytest.mark.parametrize("power", [-1, 0, 1, 2, 3, 4, 5])
def test_codes_both_ways(member: float, power: int) -> None:
    """Each preferred value's codes read back as the value."""
    value = float(f"{member}e{power}")
    assert read_letters(letters(value, "ohm"), "ohm")[0] == pytest.approx(value)
    farads = float(f"{member}e{power - 12}")
    assert read_digits(digits(farads, "F"), "F")[0] == pytest.approx(farads)
    assert read_letters(letters(farads, "F"), "F")[0] == pytest.approx(farads)
