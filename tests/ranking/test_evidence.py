"""What the job sheet adds to the model: what a found fault explains, and a range that can be relied on."""

from __future__ import annotations

import random
import statistics

import numpy as np
import pytest

from benchlore.ranking import evidence


@pytest.mark.parametrize("n", range(1, 12))
def test_the_middle_is_the_median(n: int) -> None:
    """Outside check: statistics.median of the standard library."""
    values = sorted(random.Random(n).random() for _ in range(n))
    assert evidence.middle(values) == statistics.median(values)


@pytest.mark.parametrize("n", [2, 3, 5, 9, 14, 30])
def test_the_range_holds_the_next_job_as_often_as_it_says(n: int) -> None:
    """The chance (n + 1 - 2r)/(n + 1) for order statistics is David & Nagaraja's (from memory); here against 40,000 draws of a skewed law."""
    rng = np.random.default_rng(n)
    jobs = np.sort(rng.lognormal(4, 0.6, (40_000, n)), axis=1)
    after = rng.lognormal(4, 0.6, 40_000)
    r = 1
    low, high, chance = evidence.honest_range(list(map(float, jobs[0])), 0.8)
    while jobs[0][r - 1] != low:
        r += 1
    assert jobs[0][n - r] == high
    held = float(np.mean((jobs[:, r - 1] <= after) & (after <= jobs[:, n - r])))
    assert held == pytest.approx(chance, abs=0.01)
    assert chance >= 0.8 or r == 1


def test_one_job_gives_no_range() -> None:
    """From one job nothing can be said of the next."""
    assert evidence.honest_range([40.0], 0.8) == [40.0, 40.0, 0.0]


def test_found_faults_leave_the_list() -> None:
    """The rest is scaled to one again; nothing left is nothing, not a division by zero."""
    assert evidence.without([0.5, 0.3, 0.2], [4, 7, -1], [4]) == pytest.approx([0, 0.6, 0.4])
    assert evidence.without([1.0], [4], [4]) == [0.0]


def test_what_explains_a_sign() -> None:
    """At least as often as asked; what is not listed explains nothing."""
    shows = [[[0, 0.6], [2, 0.1]]]
    assert evidence.explains(shows, 0, 0, 0.25)
    assert not evidence.explains(shows, 0, 2, 0.25)
    assert not evidence.explains(shows, 0, 1, 0.25)


def test_a_result_that_nothing_allows_is_passed_over() -> None:
    """Two certain results that contradict each other leave the shares as they were, and no NaN."""
    from benchlore.ranking.core import posterior

    assert posterior([0.5, 0.5], [[1.0, 0.0], [0.0, 1.0]]) == [1.0, 0.0]
