"""What is found, and what must never be."""

from __future__ import annotations

import pytest

from benchlore.searching.document import Documents
from benchlore.searching.finding import ranked_for
from benchlore.searching.indexing import index_of
from benchlore.searching.store import in_memory
from searching.shelf import ask, entry, ids, small_store


@pytest.mark.parametrize(
    ("words", "first"),
    [
        ("hum", "hum-steady-low"), ("hummed", "hum-steady-low"), ("humming", "hum-steady-low"),
        ("howl", "squeal-high"), ("oscilla", "squeal-high"), ("oscillat", "squeal-high"),
        ("motorboating", "motorboating"), ("motor boating", "motorboating"), ("motor-boating", "motorboating"), ("motorboat", "motorboating"),
        ("el 84", "el84"), ("el84", "el84"), ("6BQ5", "el84"), ("el 8", "el84"),
        ("12ax7", "12ax7"), ("12 ax7", "12ax7"), ("ecc83", "12ax7"), ("6v6", "heron-30"), ("#6-32", "heron-30"), ("6 32", "heron-30"),
        ("4k7", "tern-50"), ("4.7k", "tern-50"), ("b+", "dropper"), ("condenser", "filter-dried"),
        ("OT", "ot-open"), ("output transformer", "ot-open"), ("cuts out", "cuts-out"), ("bias", "bias-drifted"),
    ],
)  # fmt: skip
def test_finds(words: str, first: str) -> None:
    """Whole, half and joined words, other names and meanings lead to the entry."""
    assert ids(words)[0] == first


@pytest.mark.parametrize(
    ("words", "never"),
    [("12ax7", "12au7"), ("el84", "el34"), ("el34", "el84"), ("12at7", "12ax7"), ("el85", "el84"), ("6v5", "heron-30")],
)
def test_no_slip_is_forgiven_inside_a_code(words: str, never: str) -> None:
    """12AX7 never finds 12AU7: different valves, and a search that guesses here does harm."""
    assert never not in ids(words)


def test_47k_is_not_470k() -> None:
    """A value finds itself only."""
    assert set(ids("47k")) == {"tern-50", "dropper"}
    assert ids("470k") == ["dropper"]


@pytest.mark.parametrize(
    ("typed", "shown"),
    [("huum", "hum"), ("hmu", "hum"), ("sqeual", "squeal"), ("osilation", "oscillation"), ("capaciter", "capacitor"), ("resister", "resistor")],
)
def test_slips_are_forgiven_and_said(typed: str, shown: str) -> None:
    """One edit in a short word, two in a long one, a swapped pair counting as one; the word that was meant is named."""
    outcome = ask(typed + " ")
    assert [(c.typed, c.shown) for c in outcome.corrections] == [(typed, shown)]
    assert outcome.results


def test_a_slip_ranks_below_the_word_itself() -> None:
    """What holds the word scores more than what holds a neighbour of a misspelt one."""
    assert ask("hum ").results[0].score > ask("huum ").results[0].score


def test_meanings_weigh_less_than_the_word() -> None:
    """Who types a word finds it before its synonyms; a one-way synonym finds but is not found."""
    assert ask("capacitor ").results[0].score > ask("condenser ").results[0].score


def test_the_familys_own_come_first_and_nothing_is_hidden() -> None:
    """The family a job is open on moves what belongs to it up."""
    store = small_store()
    plain, preferred = ([store.cards[one.document].id for one in ranked_for(store, "hum", family)[1]] for family in (None, "tern-50"))
    assert set(plain) == set(preferred)
    assert set(ids("hum", store)) <= set(ids("hum", store, family="tern-50"))
    assert plain.index("bias-drifted") > plain.index("filter-dried")
    assert preferred.index("bias-drifted") < preferred.index("filter-dried")


def test_kind_narrows() -> None:
    """Only entries of the kind asked for."""
    assert {one.kind for one in ask("hum", kind="fault").results} == {"fault"}


def test_words_that_stand_together_count_more() -> None:
    """'Double triode' prefers entries that say so in one breath; 'low hum' the steady low hum."""
    assert ids("low hum")[0] == "hum-steady-low"


def test_a_deep_hit_opens_its_section_with_the_words_marked() -> None:
    """The address carries the section's anchor, the line is the one that matched."""
    found = ask("dropping resistor").results[0]
    found = next(one for one in ask("grid leaks 47k").results if one.id == "tern-50")
    assert found.url == "families/tern-50.html#seen"
    assert "[47k]" in found.marked("[", "]") and "[grid] [leaks]" in found.marked("[", "]")


def test_json_has_the_fixed_form() -> None:
    """The keys are those of the design, no more and no less."""
    said = ask("huum").as_json()
    assert set(said) == {"query", "results", "corrections"}
    assert set(said["results"][0]) == {"kind", "id", "title", "url", "score", "snippet"}
    assert said["corrections"] == [{"typed": "huum", "shown": "hum"}]


def test_nothing_found_is_no_error() -> None:
    """An unknown word finds nothing and breaks nothing."""
    assert ask("qqzzyyxx").results == ()


@pytest.mark.parametrize("words", ["what is a choke", "What does choke mean?", "choke meaning", "what's a choke"])
def test_asked_what_it_means_the_word_comes_first(words: str) -> None:
    """A word of the glossary stands behind the entry of its name, unless it is asked what it means."""
    told = (entry("symptom", "choke-hums", "Choke hums"), entry("term", "choke", "Filter choke"))
    store = in_memory(index_of(Documents(told)))
    assert ids("choke ", store) == ["choke-hums", "choke"]
    assert ids(words, store) == ["choke", "choke-hums"]
