"""What is like the best answer comes up behind it, and nothing comes before it."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from sklearn.metrics.pairwise import cosine_similarity

from benchlore.linking.library import Library
from benchlore.searching.document import Documents
from benchlore.searching.documents import documents_of
from benchlore.searching.finding import find, ranked_for
from benchlore.searching.indexing import Index, index_of
from benchlore.searching.neighbours import CASES, KEY_WORDS, LEAST, MOST, bag_of, near_in, neighbours_of
from benchlore.searching.store import Store, in_memory
from search.measures import judged
from searching.shelf import entry


@pytest.fixture(scope="module")
def index(whole_library: Library) -> Index:
    """The shipped shelves, counted."""
    return index_of(documents_of(whole_library))


def store_of(*entries: tuple[str, str, str], together: bool = True) -> Store:
    """A store of faults and others, each of kind, id and title; with or without what is like what."""
    documents = Documents(tuple(entry(kind, id, title) for kind, id, title in entries))
    store = in_memory(index_of(documents))
    return store if together else replace(store, neighbours={})


def test_bags_are_compared_by_their_cosine() -> None:
    """Outside check: scikit-learn's cosine of the same weights; all bags are short enough to be taken whole."""
    bags = {0: {"hum": 3.0, "filter": 2.0}, 3: {"hum": 3.0, "heater": 2.0, "lead": 1.0}, 4: {"lead": 2.0, "filter": 1.0, "reverb": 4.0}, 9: {"screw": 1.0}}
    keys = sorted({key for bag in bags.values() for key in bag})
    rare = {key: math.log((len(bags) + 1) / (sum(key in bag for bag in bags.values()) + 0.5)) for key in keys}
    expected = cosine_similarity([[bag.get(key, 0) * rare[key] for key in keys] for bag in bags.values()])
    found = neighbours_of(bags)
    numbers = list(bags)
    for row, one in enumerate(numbers):
        wanted = {other: round(100 * expected[row][at]) for at, other in enumerate(numbers) if other != one}
        assert found[one] == {other: share for other, share in wanted.items() if share >= LEAST}


def test_the_shipped_entries_have_near_ones(index: Index) -> None:
    """None is near itself, families and past jobs have no part, likeness is mutual where the lists are not full."""
    near = near_in(index)
    kinds = [one.kind for one in index.documents.documents]
    assert near and not any(kinds[one] in CASES or kinds[other] in CASES for one, of in near.items() for other in of)
    for one, of in near.items():
        assert one not in of and len(of) <= MOST and all(LEAST <= share <= 100 for share in of.values())
        assert all(near[other][one] == share for other, share in of.items() if len(near[other]) < MOST)


def test_what_everyone_says_makes_no_one_alike() -> None:
    """A word that all bags hold counts for little beside one that two share."""
    common = {f"trade{at}": 1.0 for at in range(KEY_WORDS)}
    bags = {at: {**common, f"own{at}": 1.0} for at in range(20)} | {20: {**common, "motorboat": 1.0}, 21: {**common, "motorboat": 1.0}}
    assert list(neighbours_of(bags)[20]) == [21]


def test_it_moves_up_behind_the_best() -> None:
    """Of two that hold the word alike, the one that speaks of the same as the best answer stands first."""
    told = (
        ("fault", "a-jack", "Crackle of a jack"),
        ("fault", "b-pot", "Crackle of a worn potentiometer track"),
        ("symptom", "control", "Crackle when a potentiometer is turned on its worn track"),
    )
    apart, joined = ([one.id for one in find(store_of(*told, together=t), "crackle when turned").results] for t in (False, True))
    assert apart == ["control", "a-jack", "b-pot"]
    assert joined == ["control", "b-pot", "a-jack"]


def test_nothing_comes_before_the_best(index: Index) -> None:
    """For every judged query the first answer and its score are what they are without neighbours, and the same entries answer."""
    joined = in_memory(index)
    apart = replace(joined, neighbours={})
    for query in judged():
        with_them, without = ranked_for(joined, query.words)[1], ranked_for(apart, query.words)[1]
        assert with_them[0] == without[0], query.words
        assert {one.document for one in with_them} == {one.document for one in without}, query.words


def test_narrowed_to_a_kind_keeps_the_order(index: Index) -> None:
    """Narrowing changes no order; it may show fainter ones, since the best of the kind is what they are held against."""
    store = in_memory(index)
    for query in judged()[::8]:
        every, faults = (find(store, query.words, kind=kind, limit=30).results for kind in (None, "fault"))
        wanted = [one.id for one in every if one.kind == "fault"]
        assert [one.id for one in faults][: len(wanted)] == wanted, query.words


def test_a_bag_knows_only_what_weighs(index: Index) -> None:
    """Filler words say nothing, and neither do the words of checks and of the rest of a page."""
    at = next(at for at, one in enumerate(index.documents.documents) if one.id == "filter-dried")
    bag = bag_of(index.texts[at], index.words)
    assert bag and "the" not in bag and bag[index.words["filter"]] > bag.get(index.words["meter"], 0.0)
