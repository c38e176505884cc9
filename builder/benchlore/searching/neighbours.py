"""Which entries are most alike in what they speak of: what is like the best answer to a query comes up behind it.

An entry's key words are those of its title, names, summary and owner's words, and of what joined entries say, that few
others hold (tf-idf, Salton and Buckley 1988); two entries are as alike as the cosine between their key words.  Families
and past jobs have no part in it: they hold words of everything, and there may be thousands of them.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from benchlore.searching.analysis import is_filler
from benchlore.searching.document import FIELDS, KINDS
from benchlore.searching.indexing import Index, Text

CASES = ("family", "finding")
COMPARED = frozenset(KINDS) - frozenset(CASES)
"""The kinds that have neighbours."""

KEY_WORDS = 30
MOST = 25
LEAST = 8  # hundredths of the cosine; below it two entries merely share the trade's words
WEIGHTS = {"title": 3.0, "names": 2.0, "summary": 1.5, "owner": 1.0, "linked": 1.0}

Near = Mapping[int, int]
"""The numbers of the documents that are near one, each with the cosine in hundredths."""


def near_in(index: Index) -> dict[int, Near]:
    """For the number of each document of ``index`` that has neighbours at all, those."""
    documents = enumerate(index.documents.documents)
    return neighbours_of({at: bag_of(index.texts[at], index.words) for at, document in documents if document.kind in COMPARED})


def bag_of(text: Text, keys: Mapping[str, str]) -> dict[str, float]:
    """What a document speaks of: for the key of each word how much it says, whatever other documents hold."""
    bag: defaultdict[str, float] = defaultdict(float)
    for field, lines in text:
        if weight := WEIGHTS.get(FIELDS[field]):
            counts = Counter(keys[word] for words, _ in lines for word in words if word in keys and not is_filler(word))
            for key, count in counts.items():
                bag[key] += weight * math.log1p(count)
    return {key: round(bag[key], 3) for key in sorted(bag)}


def neighbours_of(bags: Mapping[int, Mapping[str, float]]) -> dict[int, Near]:
    """For the number of each document at most ``MOST`` others, by number."""
    held: defaultdict[str, list[tuple[int, float]]] = defaultdict(list)
    weighed = _weighed(bags)
    for document, words in weighed.items():
        for key, weight in words:
            held[key].append((document, weight))
    return {document: _nearest(document, words, held) for document, words in weighed.items()}


def _weighed(bags: Mapping[int, Mapping[str, float]]) -> dict[int, list[tuple[str, float]]]:
    """The key words of each bag; the squares of their weights add up to 1."""
    holding = Counter(key for bag in bags.values() for key in bag)
    rare = {key: math.log((len(bags) + 1) / (count + 0.5)) for key, count in holding.items()}
    weighed = {}
    for document, bag in bags.items():
        words = sorted(((key, said * rare[key]) for key, said in bag.items()), key=lambda one: (-one[1], one[0]))[:KEY_WORDS]
        length = math.sqrt(sum(weight * weight for _, weight in words)) or 1.0
        weighed[document] = [(key, weight / length) for key, weight in words]
    return weighed


def _nearest(document: int, words: Sequence[tuple[str, float]], held: Mapping[str, Sequence[tuple[int, float]]]) -> Near:
    cosines: defaultdict[int, float] = defaultdict(float)
    for key, weight in words:
        for other, its in held[key]:
            cosines[other] += weight * its
    del cosines[document]
    near = sorted((-round(100 * cosine), other) for other, cosine in cosines.items())[:MOST]
    return dict(sorted((other, -share) for share, other in near if -share >= LEAST))
