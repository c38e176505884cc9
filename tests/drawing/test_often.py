"""Shares and their intervals."""

from __future__ import annotations

import pytest
from scipy.stats import binomtest

from benchlore.drawing.often import Share, how_often, wilson
from drawing.reading_svg import looks, outside, parsed, words


@pytest.mark.parametrize(("found", "jobs"), [(0, 1), (1, 1), (0, 9), (3, 12), (5, 21), (33, 240), (240, 240)])
def test_interval(found: int, jobs: int) -> None:
    """Outside check: Wilson's interval as SciPy works it out."""
    mine, theirs = wilson(found, jobs), binomtest(found, jobs).proportion_ci(0.95, method="wilson")
    assert mine == pytest.approx((theirs.low, theirs.high), abs=1e-9)


def test_one_in_one_does_not_lead() -> None:
    """What was found in the only job of a family stands below what was found in most of many."""
    drawn = how_often("Faults", [Share("once in one", 1, 1), Share("often", 14, 20), Share("never sure", 1, 20)])
    assert drawn is not None
    assert [row[0] for row in drawn.rows] == ["often", "once in one", "never sure"]
    assert drawn.rows[0][1:] == ("14 of 20", "70 %", "48 % and 85 %")


def test_bars_and_whiskers_lie_to_scale() -> None:
    """A bar ends at its share, a whisker at its interval, on the scale written below."""
    drawn = how_often("Faults", [Share("half", 10, 20)])
    assert drawn is not None and outside(drawn.svg) == []
    root = parsed(drawn.svg)
    bar, rest = looks(root, "often")[0], looks(root, "often-rest")[0]
    whole = float(rest.get("width", ""))
    top = float(words(root, "tick")[-1].split()[0]) / 100
    assert float(bar.get("width", "")) / whole * top == pytest.approx(0.5, abs=1e-3)
    whisker = looks(root, "interval")[0]
    ends = [(float(whisker.get(n, "")) - 8) / whole * top for n in ("x1", "x2")]
    assert ends == pytest.approx(wilson(10, 20), abs=1e-3)


def test_none_found() -> None:
    """Without findings there is no drawing."""
    assert how_often("Faults", []) is None
