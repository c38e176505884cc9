"""Quantities are set with care and never changed in value."""

from __future__ import annotations

import pytest

from benchlore.quantity import UNKNOWN, parse_quantity
from benchlore.rendering.figures import NOT_KNOWN, dressed, shown


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("372 V", "372\u00a0V"),
        ("-45..-30 V", "\u221245 to \u221230\u00a0V"),
        ("85..100 %", "85\u2013100\u00a0%"),
        ("8 ohm", "8\u00a0Ω"),
        ("1 Mohm", "1\u00a0MΩ"),
        ("0.022 uF", "0.022\u00a0µF"),
        ("4k7", "4k7"),
        ("5/16 in", "5/16\u00a0in"),
        ("10..12 lbf in", "10\u201312\u00a0lbf in"),
    ],
)
def test_dress(typed: str, wanted: str) -> None:
    """Signs of minus, range, ohm and micro as a book prints them (SI Brochure, 9th edition, 5.4.3: space before the unit; from memory)."""
    assert dressed(typed) == wanted


def test_shown() -> None:
    """An absent value shows nothing, an unknown one says so."""
    assert shown(None) == "" and shown(UNKNOWN) == NOT_KNOWN
    assert shown(parse_quantity("36 mA", "current")) == "36\u00a0mA"
