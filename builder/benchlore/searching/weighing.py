"""Scores: Whoosh's BM25F for each word and weight, summed over the words of a query, with what words standing together add.

The arithmetic is written once, as ``FORMULAS``: the browser runs the very text, Python runs Whoosh's function, and a test
holds that they are one.  What is around the formula (the best of several groups for a word, the bonus, the preference)
is done by the same steps in ``search-rank.js``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from benchlore.searching.asking import Plan, Slot
from benchlore.searching.document import FIELDS
from benchlore.searching.indexing import Counted, Posting
from benchlore.searching.neighbours import CASES
from benchlore.searching.ranked import Hit, Holdings, Ranked, in_order
from benchlore.searching.second_look import look_again

K1 = 2.6
BOOSTS = {"title": 5.0, "names": 3.6, "owner": 4.0, "summary": 1.9, "heading": 1.4, "checks": 0.7, "body": 1.0, "linked": 1.3}
LENGTH_SHARES = {"title": 1.0, "names": 0.15, "owner": 0.1, "summary": 0.45, "heading": 0.8, "checks": 0.6, "body": 0.5, "linked": 0.15}
"""The weights' boosts, and how much a long text counts against a word in it (B of BM25).

Little for names and for ways of asking: each line of them is another way to say the same, and a longer list makes none of them worse.
"""

TOGETHER = 0.8  # of the lesser of two neighbours' scores, when they stand together
SLACK = 1  # places that may lie between them beyond those in the query
COVER = 0.97  # of the score that hangs on how much of the query is there, rare words counting more
KIND_PRIORS = {
    "family": 1.1, "symptom": 1.15, "fault": 1.05, "stage": 1.1, "procedure": 1.2, "tube": 1.1, "calculator": 0.95,
    "fastener": 1.2, "term": 1.15, "finding": 0.45,
}  # fmt: skip
OWN_FAMILY, SAME_FAMILY = 2.0, 1.5  # the family that a job is open on, and what belongs to it
FIRST = 1.01  # of the best score: what the family itself has at least, when all words of the query are on its page
FAINT = 0.04  # of the best score; what answers less is not shown
YIELDS, BEHIND = 0.65, 0.99  # an entry that answers so well beside a word comes before it; the word then has so much of its score
KINDRED = 0.4  # of the best answer's score: what an entry gains that is wholly like it, against its own; nothing comes before the best
ASKED = 1.25  # how much more a word of the glossary weighs when it is asked what something means

FORMULAS = {
    "rarity": (("documents", "holding"), "log(documents / (holding + 1)) + 1"),
    "share": (
        ("rarity", "count", "length", "average", "b", "k1"),
        "rarity * ((count * (k1 + 1)) / (count + k1 * ((1 - b) + b * length / average)))",
    ),
}
"""What each formula takes and gives, in words that Python and JavaScript read alike."""


@dataclass(frozen=True)
class Field:
    """What is known of one weight over all documents."""

    boost: float
    b: float
    average: float


@dataclass(frozen=True)
class Counts:
    """What scoring needs to know of all documents: their runs and lengths, and the weights."""

    counted: Sequence[Counted]
    fields: tuple[Field, ...]


def counts_of(counted: Sequence[Counted]) -> Counts:
    """Add up the lengths of ``counted``."""
    totals = [sum(one.lengths[number] for one in counted) for number in range(len(FIELDS))]
    return Counts(tuple(counted), fields_of(totals, len(counted)))


def fields_of(totals: Sequence[int], documents: int) -> tuple[Field, ...]:
    """What is known of each weight when its words in all ``documents`` come to ``totals``."""
    known = zip(FIELDS, totals, strict=True)
    return tuple(Field(BOOSTS[name], LENGTH_SHARES[name], total / max(documents, 1) or 1.0) for name, total in known)


def hits_of(postings: Sequence[Posting], counts: Counts) -> list[Hit]:
    """Score the postings of one group."""
    tallies = [tally(posting.places, counts.counted[posting.document]) for posting in postings]
    held = [sum(1 for one in tallies if one[number]) for number in range(len(FIELDS))]
    return [
        Hit(posting.document, weigh(one, held, counts, posting.document), posting.places)
        for posting, one in zip(postings, tallies, strict=True)
    ]


def tally(places: Iterable[int], counted: Counted) -> list[int]:
    """How many of ``places`` lie under each weight."""
    found = [0] * len(FIELDS)
    for field in counted.fields_at(places):
        found[field] += 1
    return found


def weigh(tallied: Sequence[int], held: Sequence[int], counts: Counts, document: int) -> float:
    """A group's score in a document: BM25 under each weight by Whoosh's own function, times its boost, summed."""
    bm25 = _bm25()
    lengths = counts.counted[document].lengths
    score = 0.0
    for number, weight in enumerate(counts.fields):
        if tallied[number]:
            rare = rarity(len(counts.counted), held[number])
            score += weight.boost * bm25(rare, tallied[number], lengths[number], weight.average, weight.b, K1)
    return score


def rarity(documents: int, holding: int) -> float:
    """How much it says that a document holds something, when ``holding`` of all ``documents`` do (Whoosh's idf)."""
    return math.log(documents / (holding + 1)) + 1


@cache
def _bm25() -> Callable[[float, float, float, float, float, float], float]:
    from whoosh.scoring import bm25  # lazily: most commands never search

    return bm25  # type: ignore[no-any-return]


def rank(
    plan: Plan,
    holdings: Holdings,
    kinds: Sequence[str],
    factor: Callable[[int], float],
    own: int | None = None,
) -> list[Ranked]:
    """The documents that answer ``plan``, best first; ``kinds`` has the kind of each, ``factor`` weighs each one.

    Equal scores keep the order of the documents.  A document that only explains a word does not come first beside one
    that answers nearly as well; the document ``own`` comes first when all of the query is in it; what is like the best
    answer comes up behind it, and the first forty are looked at again.
    """
    ranked, weights = first_order(plan, holdings, kinds, factor, own)
    return look_again(ranked, plan, weights, holdings, kinds)


def first_order(
    plan: Plan, holdings: Holdings, kinds: Sequence[str], factor: Callable[[int], float], own: int | None = None
) -> tuple[list[Ranked], list[float]]:
    """The order of ``rank`` before the second look, and how much each word of ``plan`` counts for: its worth, rare ones more."""
    if not holdings.size:
        return [], []
    slots = plan.slots
    cells = [_cells(slot.picks, slot.worth, holdings) for slot in slots]
    places = [_places(slot, holdings) for slot in slots] if len(slots) > 1 else []
    wholes = [_cells(span.whole, 1.0, holdings) for span in plan.spans]
    weights = [slot.worth * rarity(holdings.size, len(cell)) for slot, cell in zip(slots, cells, strict=True)]
    found = sorted({document for of in (*cells, *wholes) for document in of})
    ranked: list[Ranked] = []
    whole = False
    for document in found:
        total, covered = _score(plan, document, weights, cells, wholes)
        score = total * (1 - COVER + COVER * covered) + _together(slots, document, cells, places)
        ranked.append(Ranked(document, score * factor(document)))
        whole = whole or (document == own and covered == 1)
    ranked = (_words_asked if plan.asks_meaning else _words_behind)(ranked, lambda document: kinds[document] == "term")
    if whole:
        first = FIRST * max(one.score for one in ranked)
        ranked = [Ranked(one.document, first) if one.document == own else one for one in ranked]
    return _with_kindred(in_order(ranked), holdings, kinds), weights


def _with_kindred(ranked: list[Ranked], holdings: Holdings, kinds: Sequence[str]) -> list[Ranked]:
    """What is like the best answer moved up behind it; families and past jobs before that answer stay as they are."""
    best = next((at for at, one in enumerate(ranked) if kinds[one.document] not in CASES), None)
    if best is None:
        return ranked
    first = ranked[best]
    near = holdings.near(first.document)
    after = [Ranked(one.document, (one.score + KINDRED * first.score * near.get(one.document, 0) / 100) / (1 + KINDRED)) for one in ranked[best + 1 :]]
    return in_order([*ranked[: best + 1], *after])


def _words_asked(ranked: list[Ranked], is_word: Callable[[int], bool]) -> list[Ranked]:
    """Words of the glossary weighed more, since it is asked what one means."""
    return [Ranked(one.document, one.score * ASKED) if is_word(one.document) else one for one in ranked]


def _words_behind(ranked: list[Ranked], is_word: Callable[[int], bool]) -> list[Ranked]:
    """Words of the glossary put behind the best other entry, where it answers nearly as well as the best of them."""
    best = max((one.score for one in ranked if not is_word(one.document)), default=0.0)
    word = max((one.score for one in ranked if is_word(one.document)), default=0.0)
    if not YIELDS * word <= best < word:
        return ranked
    behind = BEHIND * best / word
    return [Ranked(one.document, one.score * behind) if one.score > best else one for one in ranked]


def worth_showing(ranked: Sequence[Ranked], preferred: bool) -> Sequence[Ranked]:
    """``ranked`` without what answers faintly beside the best; a ``preferred`` family that moved up hides nothing."""
    least = FAINT * ranked[0].score / (OWN_FAMILY if preferred else 1) if ranked else 0.0
    return [one for one in ranked if one.score >= least]


def _cells(picks: Mapping[int, float], worth: float, holdings: Holdings) -> dict[int, float]:
    """For each document the best of what stands for a word."""
    best: dict[int, float] = {}
    for group, share in picks.items():
        for hit in holdings.hits(group):
            score = worth * share * hit.score
            if score > best.get(hit.document, 0.0):
                best[hit.document] = score
    return best


def _places(slot: Slot, holdings: Holdings) -> dict[int, list[int]]:
    """For each document every place of what stands for a word, in order."""
    places: dict[int, set[int]] = {}
    for group in slot.picks:
        for hit in holdings.hits(group):
            places.setdefault(hit.document, set()).update(hit.places)
    return {document: sorted(of) for document, of in places.items()}


def _score(
    plan: Plan, document: int, weights: Sequence[float], cells: Sequence[Mapping[int, float]], wholes: Sequence[Mapping[int, float]]
) -> tuple[float, float]:
    """The sum over the words, and how much of the query is there: 1 when all of it is."""
    total = covered = wanted = 0.0
    number = 0
    for span, whole in zip(plan.spans, wholes, strict=True):
        parts = parts_covered = span_wanted = 0.0
        for _ in span.slots:
            score = cells[number].get(document, 0.0)
            parts += score
            parts_covered += weights[number] if score else 0.0
            span_wanted += weights[number]
            number += 1
        together = whole.get(document, 0.0)
        total += max(parts, together)
        covered += span_wanted if together else parts_covered
        wanted += span_wanted
    return total, covered / wanted


def _together(
    slots: Sequence[Slot], document: int, cells: Sequence[Mapping[int, float]], places: Sequence[Mapping[int, list[int]]]
) -> float:
    """What neighbours in the query add where they stand together in the document."""
    bonus = 0.0
    for number in range(len(slots) - 1):
        lesser = min(cells[number].get(document, 0.0), cells[number + 1].get(document, 0.0))
        if lesser and _meet(places[number][document], places[number + 1][document], slots[number + 1].place - slots[number].place + SLACK):
            bonus += TOGETHER * lesser
    return bonus


def _meet(first: Sequence[int], second: Sequence[int], most: int) -> bool:
    """Does a place of ``second`` follow one of ``first`` within ``most``?"""
    at = 0
    for place in second:
        while at < len(first) and first[at] < place - most:
            at += 1
        if at < len(first) and first[at] < place:
            return True
    return False
