"""What the terminal asks: the entries that answer some words, best first, each with the line that matched."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from benchlore.addresses import PLURALS
from benchlore.searching.asking import Correction, Plan, plan_of
from benchlore.searching.ranked import Ranked
from benchlore.searching.showing import show
from benchlore.searching.store import Card, Store
from benchlore.searching.weighing import KIND_PRIORS, OWN_FAMILY, SAME_FAMILY, rank, worth_showing


@dataclass(frozen=True, slots=True)
class Found:
    """One entry that answers: its address opens at the section that matched; ``marks`` are stretches of ``snippet``."""

    kind: str
    id: str
    title: str
    url: str
    score: float
    section: str
    snippet: str
    marks: tuple[tuple[int, int], ...]

    def marked(self, before: str, after: str) -> str:
        """The snippet with ``before`` and ``after`` put round each matched word."""
        parts, at = [], 0
        for start, end in self.marks:
            parts += [self.snippet[at:start], before, self.snippet[start:end], after]
            at = end
        return "".join([*parts, self.snippet[at:]])


@dataclass(frozen=True, slots=True)
class FindOutcome:
    """The answer to a search: the best results, how many there are in all, and which words were read as others."""

    query: str
    results: tuple[Found, ...]
    total: int
    corrections: tuple[Correction, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer in the fixed form of ``find --json``."""
        return {
            "query": self.query,
            "results": [
                {"kind": r.kind, "id": r.id, "title": r.title, "url": r.url, "score": r.score, "snippet": r.snippet} for r in self.results
            ],
            "corrections": [{"typed": c.typed, "shown": c.shown} for c in self.corrections],
        }


def find(store: Store, words: str, *, kind: str | None = None, family: str | None = None, limit: int = 10) -> FindOutcome:
    """The entries that answer ``words``, best first.

    ``kind`` leaves others out; ``family`` brings a family and what belongs to it forward and leaves nothing out.
    """
    plan, ranked = ranked_for(store, words, family)
    shown = worth_showing([one for one in ranked if kind in (None, store.cards[one.document].kind)], family is not None)
    results = tuple(_found(store, plan, one.document, one.score) for one in shown[:limit])
    return FindOutcome(words, results, len(shown), plan.corrections)


def ranked_for(store: Store, words: str, family: str | None = None) -> tuple[Plan, list[Ranked]]:
    """The plan for ``words``, and all documents that answer it, best first, without their lines."""
    plan = plan_of(words, store.lexicon)
    own = next((number for number, card in enumerate(store.cards) if (card.kind, card.id) == ("family", family)), None)
    kinds = [card.kind for card in store.cards]
    return plan, rank(plan, store, kinds, factor_of(store, family), own)


def factor_of(store: Store, family: str | None) -> Callable[[int], float]:
    """How each document's score is weighed: by its kind, and by whether it belongs to the family a job is open on."""

    def factor(number: int) -> float:
        card = store.cards[number]
        return KIND_PRIORS[card.kind] * _nearness(card, family)

    return factor


def _nearness(card: Card, family: str | None) -> float:
    if family is None or family not in card.families:
        return 1.0
    return OWN_FAMILY if card.kind == "family" else SAME_FAMILY


def _found(store: Store, plan: Plan, number: int, score: float) -> Found:
    document = store.document(number)
    wanted = [(slot.worth, {*slot.picks, *span.whole}) for span in plan.spans for slot in span.slots]
    shown = show(document, wanted, store.lexicon)
    url = f"{document.url}#{shown.anchor}" if shown.anchor and document.kind in PLURALS else document.url
    return Found(document.kind, document.id, document.title, url, score, shown.heading, shown.snippet, shown.marks)
