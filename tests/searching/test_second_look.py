"""The second look: what it sees of an answer, what it leaves alone, and that its weights are those of the judged queries."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from sklearn.linear_model import Ridge

from benchlore.linking.library import Library
from benchlore.searching.asking import plan_of
from benchlore.searching.document import KINDS, Documents
from benchlore.searching.documents import documents_of
from benchlore.searching.finding import factor_of, ranked_for
from benchlore.searching.indexing import index_of
from benchlore.searching.second_look import LEFT, LOOKED_AT, WEIGHTS, Figures, figures_of, grade_of, seats_of
from benchlore.searching.store import Store, in_memory
from benchlore.searching.weighing import first_order
from search.learn import NAMES, Seen, answered, learned, learned_but, sets_seen
from search.measures import Judged, judged
from searching.shelf import entry


@pytest.fixture(scope="module")
def store(whole_library: Library) -> Store:
    """The shipped shelves, counted."""
    return in_memory(index_of(documents_of(whole_library)))


@pytest.fixture(scope="module")
def sets(store: Store) -> dict[str, list[Seen]]:
    """What is seen of the answers to every judged query, by set."""
    return sets_seen(store)


def figures(words: str, *entries: tuple[str, ...]) -> dict[str, Figures]:
    """What is seen of faults, each given as id, title and lines, when ``words`` are asked."""
    store = in_memory(index_of(Documents(tuple(entry("fault", id, title, *lines) for id, title, *lines in entries))))
    plan = plan_of(words + " ", store.lexicon)
    ranked, weights = first_order(plan, store, ["fault"] * len(entries), factor_of(store, None))
    found = figures_of(ranked, plan, weights, store)
    return {store.cards[one.document].id: of for one, of in zip(ranked, found, strict=True)}


def test_words_in_one_line_and_in_two() -> None:
    """Both words stand in one line of the first, in two of the second; neither has them at the page's top."""
    found = figures("leaking capacitor", ("a", "Hum", "A leaking capacitor is wet."), ("b", "Buzz", "It was leaking once.", "Another capacitor."))
    assert found["a"].line == pytest.approx(1)
    assert found["b"].line == pytest.approx(0.5)  # both words are in two documents, so they count alike
    assert found["a"].top == found["b"].top == 0


def test_words_at_the_top_and_in_the_title() -> None:
    """A title of two words that are both asked for is asked for whole; one of two, by half."""
    found = figures("leaking capacitor", ("a", "Leaking capacitor"), ("b", "Dried capacitor", "It is leaking."))
    assert (found["a"].top, found["a"].title) == (pytest.approx(1), 1)
    assert (found["b"].top, found["b"].title) == (pytest.approx(1 - found["b"].top), 0.5)


def test_the_best_answer_is_the_measure() -> None:
    """The best has the whole score and is no kin of itself; all figures are shares."""
    found = figures("hum", ("a", "Hum"), ("b", "Buzz", "A hum below it."), ("c", "Ring", "Not a hum."))
    assert (found["a"].score, found["a"].kin) == (1, 0)
    assert all(0 <= value <= 1 for of in found.values() for value in of)


def test_every_grade_is_more_than_nothing() -> None:
    """Whatever is seen, a grade is more than 0, so that scores are; no figure of words makes an answer worse."""
    for kind in KINDS:
        if kind != LEFT:
            assert min(grade_of(Figures(score, 0, 0, title, 0), kind) for score in (0, 1) for title in (0, 1)) > 0
    assert min(WEIGHTS[:4]) > 0 and set(WEIGHTS.kind) == set(KINDS) - {LEFT}


@pytest.mark.no_cover
def test_the_best_stays_and_past_jobs_keep_their_places(store: Store) -> None:
    """On every judged query: the same answers, the first with its score, scores that never rise, past jobs where they were."""
    kinds = [card.kind for card in store.cards]
    for query in judged():
        plan, again = ranked_for(store, query.words)
        before, _ = first_order(plan, store, kinds, factor_of(store, None))
        seats = seats_of(before, kinds)
        assert again[0] == before[0], query.words
        assert {one.document for one in again} == {one.document for one in before}
        assert all(later.score <= earlier.score for earlier, later in pairwise(again)), query.words
        moved = {seat for seat, (one, other) in enumerate(zip(again, before, strict=True)) if one.document != other.document}
        assert moved <= set(seats) and len(seats) <= LOOKED_AT and not any(kinds[again[seat].document] == LEFT for seat in moved)


def test_few_answers_are_left_as_they_are() -> None:
    """Nothing, one or two answers: there is nothing to put in another order."""
    store = in_memory(index_of(Documents((entry("fault", "a", "Hum"), entry("fault", "b", "Buzz", "A hum.")))))
    for words in ("", "nothing such", "buzz ", "hum "):
        plan = plan_of(words, store.lexicon)
        assert ranked_for(store, words)[1] == first_order(plan, store, ["fault"] * 2, factor_of(store, None))[0]


def test_the_regression_is_ridge_regression() -> None:
    """Outside check: scikit-learn's Ridge on the same centred rows gives the same weights."""
    chance = np.random.default_rng(5)
    queries = []
    for _ in range(12):
        columns, grades = chance.random((7, len(NAMES))), chance.integers(0, 4, 7).astype(float)
        queries.append(Seen(Judged("", {}, False), tuple("abcdefg"), columns, grades))
    rows = np.vstack([one.columns - one.columns.mean(axis=0) for one in queries])
    grades = np.concatenate([one.grades - one.grades.mean() for one in queries])
    assert np.allclose(learned(queries, 2.0), Ridge(2.0, fit_intercept=False).fit(rows, grades).coef_)


@pytest.mark.no_cover
def test_it_helps_on_queries_it_was_not_learned_from(sets: dict[str, list[Seen]]) -> None:
    """Learned from all sets but one, it betters nDCG@10 on that one, for every set."""
    unmoved = np.array([1.0 if name == "score" else 0.0 for name in NAMES])
    for name, queries in sets.items():
        assert answered(queries, learned_but(sets, name))[0] > answered(queries, unmoved)[0], name


@pytest.mark.no_cover
def test_the_weights_are_near_those_of_today(sets: dict[str, list[Seen]]) -> None:
    """Entries change from day to day and the weights need not follow; when they are far off, it is time to learn anew."""
    today = learned_but(sets)
    written = [*WEIGHTS[:4], *(WEIGHTS.kind[kind][at] for at in (0, 1) for kind in KINDS if kind != LEFT)]
    shift = np.array([0.0] * 4 + [0.5] * 9 + [0.0] * 9)
    assert np.abs(today + shift - written).max() < 0.25, "run tests/search/learn.py and write what it prints into second_look.py"
