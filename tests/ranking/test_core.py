"""The arithmetic of suspects against brute force, published cases and itself in JavaScript."""

from __future__ import annotations

import itertools
import json
import random
import shutil
import subprocess
from typing import Any

import pytest

from benchlore.javascript import NotPrintable, javascript_of
from benchlore.ranking import core
from benchlore.ranking.printing import FUNCTIONS, core_script

Case = dict[str, Any]


def perfect(p: list[float], cost: list[float], level: list[int] | None = None, setup: list[float] | None = None) -> Case:
    """One certain check for each fault."""
    n = len(p)
    find = [[1.0 if i == k else 0.0 for k in range(n)] for i in range(n)]
    return {
        "probability": p, "find": find, "minutes": cost, "level": level or [0] * n,
        "setup_minutes": setup or [0.0, 0.0, 0.0], "reached": 0, "after": [[] for _ in range(n)],
    }


def cost(case: Case, order: list[int]) -> float:
    """Expected minutes of an order."""
    return core.expected_minutes(**{k: v for k, v in case.items() if k != "after"}, order=order)


def best(case: Case) -> list[int]:
    """The order the bench would be given."""
    return core.best_order(**case, wanted=99)


def random_case(rng: random.Random, checks: int, faults: int) -> Case:
    """Checks that speak to several faults, share set-ups and have things that must come first."""
    p = [rng.random() for _ in range(faults)]
    find = [[rng.choice([0.0, 0.0, rng.random()]) for _ in range(faults)] for _ in range(checks)]
    level = [rng.randrange(3) for _ in range(checks)]
    after: list[list[int]] = [[j for j in range(i) if rng.random() < 0.15] for i in range(checks)]
    return {
        "probability": [x / sum(p) for x in p], "find": find, "minutes": [rng.randint(1, 30) * 1.0 for _ in range(checks)],
        "level": level, "setup_minutes": [0.0, 20.0, 10.0], "reached": 0, "after": after,
    }


def allowed(case: Case, order: tuple[int, ...]) -> bool:
    """Does every check come after what must precede it?"""
    return all(order.index(j) < order.index(i) for i in order for j in case["after"][i])


def test_probability_over_cost_where_it_is_optimal() -> None:
    """Independent certain checks, one fault: decreasing p/c (Kadane & Simon 1977; own numbers, all 24 orders tried)."""
    case = perfect([0.40, 0.30, 0.20, 0.10], [10, 2, 4, 1])
    assert best(case) == [1, 3, 2, 0]
    assert cost(case, best(case)) == pytest.approx(9.1)
    assert cost(case, [0, 1, 2, 3]) == pytest.approx(12.5)
    assert cost(case, [3, 1, 2, 0]) == pytest.approx(9.2)


def test_equal_ratios_keep_the_written_order() -> None:
    """With all ratios equal any order costs the same; the tie is broken by place in the list."""
    case = perfect([0.5, 0.3, 0.2], [5, 3, 2])
    assert best(case) == [0, 1, 2]
    assert cost(case, [2, 1, 0]) == pytest.approx(6.9)


def test_a_check_that_can_find_nothing_goes_last() -> None:
    """A cheap check of an impossible fault is not done first."""
    assert best(perfect([1.0, 0.0], [9, 1])) == [0, 1]


def test_a_shared_set_up_changes_the_order() -> None:
    """Plain p/c fails where checks share an opening cost (after Ottosen & Jensen, UAI 2010; own numbers)."""
    case = perfect([0.20, 0.15, 0.35, 0.30], [4, 5, 2, 2], [0, 0, 1, 1], [0.0, 10.0, 0.0])
    assert best(case) == [0, 2, 3, 1]
    assert cost(case, best(case)) == pytest.approx(15.25)
    assert cost(case, [2, 3, 0, 1]) == pytest.approx(15.45)


@pytest.mark.parametrize("seed", range(25))
def test_least_of_all_orders_by_brute_force(seed: int) -> None:
    """Up to seven checks, every allowed order tried: none costs less than the one given."""
    rng = random.Random(seed)
    case = random_case(rng, rng.randint(2, 7), rng.randint(2, 6))
    order = best(case)
    assert allowed(case, tuple(order))
    least = min(cost(case, list(o)) for o in itertools.permutations(range(len(order))) if allowed(case, o))
    assert cost(case, order) == pytest.approx(least, rel=1e-12)


def test_posterior_is_bayes_rule() -> None:
    """Prior times likelihoods, scaled: Manning, Raghavan & Schuetze 2008, example 13.1, reproduced from memory."""
    likelihood = [[3 / 7, 2 / 9]] * 3 + [[1 / 14, 2 / 9]] * 2
    assert core.posterior([0.75, 0.25], likelihood)[0] == pytest.approx(0.6898, abs=1e-4)


@pytest.mark.no_cover
@pytest.mark.skipif(shutil.which("node") is None, reason="no Node on this machine")
def test_the_printed_functions_agree() -> None:
    """The same cases in Node: orders equal, figures to 1e-9."""
    rng = random.Random(7)
    cases = [random_case(rng, rng.randint(1, 16), rng.randint(2, 9)) for _ in range(60)]
    script = core_script() + (
        "const cases = " + json.dumps(cases) + ";\n"
        "const C = Benchlore.rank;\n"
        "console.log(JSON.stringify(cases.map((c) => {\n"
        "  const order = C.best_order(c.probability, c.find, c.minutes, c.level, c.setup_minutes, c.reached, c.after, 99);\n"
        "  return [order, C.expected_minutes(c.probability, c.find, c.minutes, c.level, c.setup_minutes, c.reached, order),"
        " C.posterior(c.probability, c.find.map((r) => r.map((x) => x + 0.01)))];\n"
        "})));\n"
    )
    done = subprocess.run(["node", "-e", "globalThis.Benchlore = {};" + script], capture_output=True, text=True, check=True)
    for case, (order, minutes, posterior) in zip(cases, json.loads(done.stdout), strict=True):
        assert order == best(case)
        assert minutes == pytest.approx(cost(case, order), rel=1e-9)
        mine = core.posterior(case["probability"], [[x + 0.01 for x in row] for row in case["find"]])
        assert posterior == pytest.approx(mine, rel=1e-9)


def test_what_cannot_be_printed_is_refused() -> None:
    """A function outside the subset stops the build; it is never printed wrongly."""

    def words(x: list[float]) -> str:
        return f"{x}"

    with pytest.raises(NotPrintable):
        javascript_of((words,))  # type: ignore[arg-type]
    assert core.best_order in FUNCTIONS
