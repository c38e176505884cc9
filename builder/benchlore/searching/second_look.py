"""The second look: what the words of a query do in each of the first forty answers, beside how well they do in all.

BM25 adds up words wherever they stand.  Here it is seen how much of the query stands together in an answer, how much
in its title, names, owner's words and summary, how much of the title is asked for, and how like the answer is to the
best one; with the score and the kind that makes a grade, the way a judge would give one.  The weights are those of a
linear regression on the judged queries (``tests/search/learn.py``), as in Fuhr 1989, "Optimum polynomial retrieval
functions", ACM TOIS 7(3).  The best answer stays the best, and past jobs keep their places.

The browser takes the same look by the same steps (``search-rank.js``).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from benchlore.searching.asking import Plan
from benchlore.searching.document import FIELDS
from benchlore.searching.indexing import GAP, Counted
from benchlore.searching.ranked import Holdings, Ranked, in_order

LOOKED_AT = 40
LEFT = "finding"  # the kind that is not looked at
TOP = tuple(FIELDS.index(name) for name in ("title", "names", "owner", "summary"))
TITLE = FIELDS.index("title")
NEXT = 0.99  # of the best answer's score: what the next has


class Weights(NamedTuple):
    """What each figure counts for in a grade; the grade's zero does not matter."""

    score: float
    line: float
    top: float
    kin: float
    kind: Mapping[str, tuple[float, float]]
    """For each kind what it counts for by itself, and what its title does."""


WEIGHTS = Weights(
    score=1.80, line=1.26, top=0.64, kin=0.46,
    kind={
        "family": (0.64, -0.19), "symptom": (0.42, -0.41), "fault": (0.47, -0.28), "stage": (0.47, -0.05), "procedure": (0.54, 0.01),
        "tube": (0.49, 0.37), "calculator": (0.53, -0.29), "fastener": (0.42, -0.16), "term": (0.53, -0.05),
    },
)  # fmt: skip


class Figures(NamedTuple):
    """What is seen of one answer, each from 0 to 1."""

    score: float
    """Its score, as a share of the best one's."""
    line: float
    """How much of the query stands together in it, as in one line; rare words count more."""
    top: float
    """How much of the query stands in its title, names, owner's words and summary."""
    title: float
    """How much of its title the query asks for."""
    kin: float
    """How like the best answer it is."""


def look_again(ranked: Sequence[Ranked], plan: Plan, weights: Sequence[float], holdings: Holdings, kinds: Sequence[str]) -> list[Ranked]:
    """``ranked`` in the order of a second look; ``weights`` says how much each word of ``plan`` counts for."""
    seats = seats_of(ranked, kinds)
    if len(seats) < 3:
        return list(ranked)
    first, *others = (ranked[seat] for seat in seats)
    figures = figures_of([first, *others], plan, weights, holdings)[1:]
    graded = in_order(
        Ranked(one.document, grade_of(of, kinds[one.document])) for one, of in zip(others, figures, strict=True)
    )
    share = NEXT * first.score / graded[0].score
    again = list(ranked)
    for seat, one in zip(seats[1:], graded, strict=True):
        again[seat] = Ranked(one.document, share * one.score)
    return _lowered(ranked, again, seats)


def seats_of(ranked: Sequence[Ranked], kinds: Sequence[str]) -> list[int]:
    """The seats in ``ranked`` of the answers that are looked at."""
    return [seat for seat, one in enumerate(ranked) if kinds[one.document] != LEFT][:LOOKED_AT]


def _lowered(ranked: Sequence[Ranked], again: list[Ranked], seats: Sequence[int]) -> list[Ranked]:
    """``again`` with the scores of those that kept their seats brought down, so that none is above the one before it."""
    last = seats[-1]
    share = again[last].score / ranked[last].score
    for seat in range(seats[0] + 1, len(again)):
        if seat > last:
            again[seat] = Ranked(again[seat].document, share * again[seat].score)
        elif again[seat] is ranked[seat]:
            again[seat] = Ranked(again[seat].document, again[seat - 1].score)
    return again


def grade_of(figures: Figures, kind: str) -> float:
    """The grade an answer deserves, more than 0."""
    by_kind, by_title = WEIGHTS.kind[kind]
    words = WEIGHTS.score + WEIGHTS.line * figures.line + WEIGHTS.top * figures.top
    return figures.score * words + WEIGHTS.kin * figures.kin + by_kind + by_title * figures.title


def figures_of(standing: Sequence[Ranked], plan: Plan, weights: Sequence[float], holdings: Holdings) -> list[Figures]:
    """The figures of each of ``standing``, which stand in order, best first."""
    best = standing[0]
    places = places_of(plan, holdings, {one.document for one in standing})
    near = holdings.near(best.document)
    wanted = sum(weights)
    figures = []
    for one in standing:
        counted = holdings.counted(one.document)
        line, top, title = _seen(places[one.document], weights, counted)
        figures.append(
            Figures(
                one.score / best.score, line / wanted, top / wanted, title / max(counted.lengths[TITLE], title, 1),
                near.get(one.document, 0) / 100,
            )
        )  # fmt: skip
    return figures


def places_of(plan: Plan, holdings: Holdings, documents: set[int]) -> dict[int, list[tuple[int, int]]]:
    """For each of ``documents`` every place that answers a word of the query and the number of the word, in order."""
    places: defaultdict[int, set[tuple[int, int]]] = defaultdict(set)
    number = 0
    for span in plan.spans:
        for slot in span.slots:
            for group in {**slot.picks, **span.whole}:
                for hit in holdings.hits(group):
                    if hit.document in documents:
                        places[hit.document].update((place, number) for place in hit.places)
            number += 1
    return {document: sorted(places[document]) for document in documents}


def _seen(places: Sequence[tuple[int, int]], weights: Sequence[float], counted: Counted) -> tuple[float, float, int]:
    """Of the words of a query, by weight: the most that stands together (no two neighbours more than ``GAP``
    places apart, as in one line), and all that the page's top has; how many the title has."""
    line, top, title = set[int](), set[int](), set[int]()
    most, last = 0.0, -GAP
    fields = counted.fields_at(place for place, _ in places)
    for (place, number), field in zip(places, fields, strict=True):
        if place - last > GAP:
            line = set()
        line.add(number)
        most, last = max(most, _sum(line, weights)), place
        if field in TOP:
            top.add(number)
        if field == TITLE:
            title.add(number)
    return most, _sum(top, weights), len(title)


def _sum(numbers: set[int], weights: Sequence[float]) -> float:
    return sum(weights[number] for number in sorted(numbers))
