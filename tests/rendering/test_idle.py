"""How an idle share is marked: by the aim, by the limit, and by how the bias is made.

That cathode-biased stages are commonly run at 90 to 100 % of the limit, and fixed-bias stages at 50 to 75 %, is common
practice without a source.
"""

from __future__ import annotations

import dataclasses

import pytest

from benchlore.linking.library import Library
from benchlore.quantity import UNKNOWN, parse_quantity
from benchlore.rendering.views.idle import AT_THE_LIMIT, mark_of, verdict_of


@pytest.mark.parametrize(
    ("arrangement", "met", "aim", "mark", "said"),
    [
        ("fixed adjustable", "60..64 %", "55..65 %", "good", "within the aim"),
        ("fixed adjustable", "50..72 %", "55..65 %", "good", "around the aim"),
        ("fixed without adjustment", "80..95 %", "65..75 %", "mind", "hotter than the aim"),
        ("fixed without adjustment", "36..50 %", "45..60 %", "note", "cooler than the aim"),
        ("fixed without adjustment", "95..110 %", "65..75 %", "stop", "above the limit as it is met"),
        ("per-tube adjustable", "101 %", "60 %", "stop", "above the limit as it is met"),
        ("cathode", "85..102 %", "80..92 %", "mind", AT_THE_LIMIT),
        ("cathode", "90..98 %", "80..95 %", "good", "around the aim"),
        ("cathode", "104..115 %", "80..95 %", "stop", "above the limit as it is met"),
        ("cathode", None, "80..95 %", "note", "stock idle not known: measure it"),
    ],
)
def test_marks(small_library: Library, arrangement: str, met: str | None, aim: str, mark: str, said: str) -> None:
    """The mark and its words."""
    idle = dataclasses.replace(
        small_library.families["tarn-15"].idle,
        arrangement=arrangement,
        stock_share=parse_quantity(met, "ratio") if met else UNKNOWN,
        aim=parse_quantity(aim, "ratio"),
    )
    assert (mark_of(idle), verdict_of(idle)) == (mark, said)
