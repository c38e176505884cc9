"""The measures, held to published worked examples and to pytrec_eval (Terrier)."""

from __future__ import annotations

import random

import pytest
import pytrec_eval

from search.measures import cut_short, dcg, judged, misspelt, ndcg, reciprocal_rank, success


def test_ndcg_of_the_worked_example() -> None:
    """Gains 3 2 3 0 1 2: DCG 6.8611, over the best order of the same six 0.9608, with two more relevant unseen 0.7850.

    Source: worked example of the encyclopedia article on discounted cumulative gain (from memory), measure after Jarvelin and
    Kekalainen, ACM TOIS 20(4), 2002.
    """
    ranked = list("abcdef")
    grades = dict(zip(ranked, (3, 2, 3, 0, 1, 2), strict=True))
    assert dcg([3, 2, 3, 0, 1, 2]) == pytest.approx(6.8611, abs=1e-4)
    assert ndcg(ranked, grades) == pytest.approx(0.9608, abs=1e-4)
    assert ndcg(ranked, grades | {"x": 3, "y": 2}, 6) == pytest.approx(0.7850, abs=1e-4)


def test_binary_ndcg() -> None:
    """Retrieved d1 d4 d2 d9 d8, relevant d2 d8 d10, at 5: 0.4162.  Source: documentation of the evret project, worked example (read)."""
    assert ndcg(["d1", "d4", "d2", "d9", "d8"], {"d2": 1, "d8": 1, "d10": 1}, 5) == pytest.approx(0.4162, abs=1e-4)


def test_reciprocal_rank_and_success() -> None:
    """First right answer third: 1/3; among the first three but not first."""
    assert reciprocal_rank(["a", "b", "c"], {"c"}) == pytest.approx(1 / 3)
    assert (success(["a", "b", "c"], {"c"}, 1), success(["a", "b", "c"], {"c"}, 3)) == (0, 1)


def test_agrees_with_trec_eval() -> None:
    """Outside check: pytrec_eval-terrier on 50 random rankings."""
    chance = random.Random(7)
    for _ in range(50):
        names = [f"d{n}" for n in range(14)]
        grades = {name: chance.choice((0, 0, 1, 2, 3)) for name in names} | {"d99": 3}
        ranked = chance.sample(names, 12)
        run = {"q": {name: float(100 - rank) for rank, name in enumerate(ranked)}}
        theirs = pytrec_eval.RelevanceEvaluator({"q": grades}, {"ndcg_cut_10", "recip_rank"}).evaluate(run)["q"]
        assert ndcg(ranked, grades) == pytest.approx(theirs["ndcg_cut_10"])
        assert reciprocal_rank(ranked, {n for n, g in grades.items() if g}) == pytest.approx(theirs["recip_rank"])


def test_guises() -> None:
    """A slip changes one word, never one with a digit; cutting short spares codes; both are the same on every run."""
    assert misspelt("12AX7 6V6") == "12AX7 6V6"
    assert misspelt("crackling noise") != "crackling noise" and misspelt("crackling noise") == misspelt("crackling noise")
    assert cut_short("howling 12AX7 tubes") == "howl 12AX7 tube"


def test_there_are_enough_queries() -> None:
    """At least 120 queries, all with a best answer."""
    assert len(judged()) >= 120
    assert all(max(one.grades.values()) == 3 or max(one.grades.values()) == 2 for one in judged())
