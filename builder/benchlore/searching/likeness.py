"""Which entries of a kind are most alike, so that one fault is not written twice.

An entry's key words are chosen by Whoosh's Bo1 model (how far a word is more frequent in it than in all entries); another
entry is as like it as it scores for those words, beside what the entry itself scores.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.searching.indexing import Index
from benchlore.searching.weighing import Hit, counts_of, hits_of

KEY_WORDS = 24
LEAST = 0.2  # of the entry's own score; below it two entries merely share the trade's words


@dataclass(frozen=True, slots=True)
class Alike:
    """An entry like another, and how like: 1 is the same text."""

    id: str
    likeness: float


def alike(index: Index, kind: str = "fault", most: int = 3) -> Mapping[str, tuple[Alike, ...]]:
    """For each entry of ``kind`` at most ``most`` others, the most alike first."""
    documents = index.documents.documents
    counts = counts_of(index.counted)
    chosen = {number for number, one in enumerate(documents) if one.kind == kind}
    scored: dict[int, list[Hit]] = {}
    found = {}
    for number, words in _key_words(index, chosen).items():
        totals: dict[int, float] = {}
        for weight, group in words:
            if group not in scored:
                scored[group] = [hit for hit in hits_of(index.postings[group], counts) if hit.document in chosen]
            for hit in scored[group]:
                totals[hit.document] = totals.get(hit.document, 0.0) + weight * hit.score
        own = totals.pop(number, 0.0)
        near = sorted((-total / own, other) for other, total in totals.items() if total >= LEAST * own)
        found[documents[number].id] = tuple(Alike(documents[other].id, round(-share, 4)) for share, other in near[:most])
    return found


def _key_words(index: Index, chosen: set[int]) -> dict[int, list[tuple[float, int]]]:
    """For each chosen document its key groups with their weights, heaviest first."""
    from whoosh.classify import Bo1Model  # lazily: most commands never search

    model = Bo1Model(len(index.counted), sum(sum(one.lengths) for one in index.counted))
    words: dict[int, list[tuple[float, int]]] = {number: [] for number in sorted(chosen)}
    for group, postings in enumerate(index.postings):
        if len(postings) < 2:
            continue
        in_all = sum(len(posting.places) for posting in postings)
        for posting in postings:
            if posting.document in chosen:
                words[posting.document].append((model.score(len(posting.places), in_all, 0), group))
    return {number: sorted(of, key=lambda one: (-one[0], one[1]))[:KEY_WORDS] for number, of in words.items()}
