"""Which faults are most alike, so that one is not written twice.

A fault's key words are chosen by Whoosh's Bo1 model: how far a word is more frequent in it than in all faults.  Another is
as like it as it holds of them.  Each fault's words are an answer of their own, so that a change in any other entry costs nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchlore.linking.library import Library
from benchlore.searching.analysis import is_filler, words_in
from benchlore.searching.documents import sections_of
from benchlore.searching.stems import stems_of
from benchlore.works import Question

KEY_WORDS = 32
MOST = 6
LEAST = 0.14  # of the weight of the key words; below it two entries merely share the trade's words
_OFTENER = {"title": 3, "names": 3, "summary": 2}  # as often does a word under these weights count


@dataclass(frozen=True, slots=True)
class Alike:
    """An entry like another, and how like: 1 holds all its key words as often."""

    id: str
    likeness: float


def bag_of(lines: Iterable[tuple[str, str]]) -> dict[str, int]:
    """The words of lines, each with the name of its weight, as stems and how often."""
    counts: Counter[str] = Counter()
    for field, text in lines:
        for word in words_in(text)[0]:
            if not is_filler(word):
                counts[word] += _OFTENER.get(field, 1)
    stems = stems_of(counts)
    bag: Counter[str] = Counter()
    for word, count in counts.items():
        bag[stems[word]] += count
    return dict(sorted(bag.items()))


def alike(bags: Mapping[str, Mapping[str, int]]) -> dict[str, tuple[Alike, ...]]:
    """For each id of ``bags`` at most ``MOST`` others, the most alike first."""
    held: dict[str, dict[str, int]] = {}
    for id, bag in bags.items():
        for word, count in bag.items():
            held.setdefault(word, {})[id] = count
    found = {}
    for id, words in _key_words(bags, held).items():
        total = sum(weight for weight, _ in words)
        shares: dict[str, float] = {}
        for weight, word in words:
            own = bags[id][word]
            for other, count in held[word].items():
                shares[other] = shares.get(other, 0.0) + weight * min(1.0, count / own)
        near = sorted((-share / total, other) for other, share in shares.items() if other != id and share >= LEAST * total)
        found[id] = tuple(Alike(other, round(-share, 4)) for share, other in near[:MOST])
    return found


def _key_words(bags: Mapping[str, Mapping[str, int]], held: Mapping[str, Mapping[str, int]]) -> dict[str, list[tuple[float, str]]]:
    """For each bag its key words with their weights, heaviest first."""
    from whoosh.classify import Bo1Model  # lazily: most commands never ask

    totals = {word: sum(of.values()) for word, of in held.items()}
    model = Bo1Model(max(len(bags), 1), sum(totals.values()))
    words = {}
    for id, bag in bags.items():
        weighed = [(model.score(count, totals[word], 0), word) for word, count in bag.items()]
        words[id] = sorted(weighed, key=lambda one: (-one[0], one[1]))[:KEY_WORDS]
    return words


def _bag(library: Library, id: str) -> dict[str, int]:
    return bag_of((line.field, line.text) for section in sections_of(library.faults[id], library) for line in section.lines)


def _all(library: Library, _: str) -> dict[str, list[str]]:
    found = alike({id: library.ask(BAG, id) for id in library.faults})
    return {id: [one.id for one in near] for id, near in found.items()}


BAG = Question("fault-bag", _bag)
ALIKE = Question("alike", _all, kept=False)
ALIKE_TO = Question("alike-to", lambda library, id: library.ask(ALIKE).get(id, []))
"""The ids of the faults most like one, the most alike first."""

QUESTIONS = (BAG, ALIKE, ALIKE_TO)
