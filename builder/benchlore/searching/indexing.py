"""Documents to counted words: for each group of words, the documents that hold it and the places in them.

A document's words stand in one line of places, one run for each weight, and within it line after line.  From a place the run
gives the weight, so places are all that is stored.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from benchlore.searching.analysis import also_as, has_digit, is_filler, is_letters, tokens, words_in
from benchlore.searching.document import FIELDS, Document, Documents, Meaning
from benchlore.searching.lexicon import Lexicon
from benchlore.searching.stems import FORMS, spelled_otherwise, stems_of

GAP = 8  # places between two lines, so that words of two lines never stand together


class Run(NamedTuple):
    """A stretch of places: the number of the weight (into ``FIELDS``), first place, and one past the last."""

    field: int
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Counted:
    """What is counted of one document: how many words each weight has, and its runs."""

    lengths: tuple[int, ...]
    runs: tuple[Run, ...]

    def fields_at(self, places: Iterable[int]) -> Iterator[int]:
        """For each of ``places``, which are in order, the number of the weight under which it lies."""
        runs = iter(self.runs)
        run = next(runs)
        for place in places:
            while place >= run.end:
                run = next(runs)
            yield run.field


class Posting(NamedTuple):
    """A document that holds a group, by number, and the places where."""

    document: int
    places: tuple[int, ...]


@dataclass(frozen=True)
class Index:
    """All counted words of ``documents``; ``postings[g]`` and ``keys[g]``, a name that outlives changes, belong to group ``g``.

    ``words`` has the key of every word that is looked for, and ``texts`` the documents' lines as tokens.
    """

    documents: Documents
    lexicon: Lexicon
    counted: tuple[Counted, ...]
    postings: tuple[tuple[Posting, ...], ...]
    keys: tuple[str, ...]
    words: Mapping[str, str]
    texts: tuple[Text, ...]


Line = tuple[list[str], set[int]]
Text = list[tuple[int, list[Line]]]
"""A document's lines as tokens: for each run its weight, then line by line the words and which of them are tied."""


def index_of(documents: Documents) -> Index:
    """Read every line of ``documents`` once and count its words."""
    texts = [text_of(document) for document in documents.documents]
    vocabulary = vocabulary_of(texts)
    phrases = {meaning: phrases_of(meaning) for meaning in documents.meanings}
    typed_words = {word for both, one_way in phrases.values() for phrase in (*both, *one_way) for word in phrase}
    stems = stems_of(vocabulary | typed_words)
    names, groups, keys = grouped(stems)
    sequences, meanings = numbered(documents.meanings, phrases, groups, len(keys))
    keys += [f"={meaning.id}" for meaning in documents.meanings]
    counter = Counter.of(groups, vocabulary, sequences)
    postings: list[list[Posting]] = [[] for _ in keys]
    counted = []
    for number, text in enumerate(texts):
        places, found = counter.count(text)
        counted.append(found)
        for group in sorted(places):
            postings[group].append(Posting(number, tuple(sorted(set(places[group])))))
    lexicon = Lexicon(names, [groups[word] for word in names], [len(of) for of in postings], meanings)
    return Index(documents, lexicon, tuple(counted), tuple(tuple(of) for of in postings), tuple(keys), stems, tuple(texts))


def text_of(document: Document) -> Text:
    """A document's lines as tokens."""
    by_field: dict[str, list[Line]] = {}
    for section in document.sections:
        if section.heading:
            by_field.setdefault("heading", []).append(words_in(section.heading))
        for line in section.lines:
            by_field.setdefault(line.field, []).append(words_in(line.text))
    if document.linked:
        by_field["linked"] = [words_in(line) for line in document.linked]
    return [(number, by_field[field]) for number, field in enumerate(FIELDS) if field in by_field]


def vocabulary_of(texts: Iterable[Text]) -> set[str]:
    """Every word that is looked for: as written, parts of codes, and hyphened words joined (``motorboating``)."""
    words: set[str] = set()
    for text in texts:
        for _, lines in text:
            for line, tied in lines:
                words.update(line)
                words.update(line[at - 1] + line[at] for at in tied if _ties(line[at - 1], line[at]))
    words.update(part for word in list(words) for part in also_as(word) if part)
    return {word for word in words if not is_filler(word)}


def _ties(first: str, second: str) -> bool:
    """Is a word hyphened from these two also written as one: ``motor-boating``, ``EL-84``?"""
    return is_letters(first) and (is_letters(second) or second.isdigit())


def grouped(stems: Mapping[str, str]) -> tuple[list[str], dict[str, int], list[str]]:
    """All words in order, spellings from across the ocean among them, the number of each word's group, and the groups' keys."""
    keys = dict(stems)
    for word in sorted(stems):
        for spelling in (*spelled_otherwise(word), *FORMS.get(word, ())):
            keys.setdefault(spelling, stems[word])
    names = sorted(keys)
    numbers: dict[str, int] = {}
    groups = {word: numbers.setdefault(keys[word], len(numbers)) for word in names}
    return names, groups, list(numbers)


def phrases_of(meaning: Meaning) -> tuple[list[tuple[str, ...]], list[tuple[str, ...]]]:
    def worded(names: Iterable[str]) -> list[tuple[str, ...]]:
        found = (tuple(token.text for token in tokens(name) if not is_filler(token.text)) for name in names)
        return [phrase for phrase in dict.fromkeys(found) if phrase]

    return worded(meaning.both), worded(meaning.one_way)


def numbered(
    all_of: Sequence[Meaning], phrases: Mapping[Meaning, tuple[list[tuple[str, ...]], list[tuple[str, ...]]]], groups: Mapping[str, int], first: int
) -> tuple[dict[int, list[tuple[tuple[int, ...], int]]], dict[str, tuple[int, ...]]]:
    """Number the meanings from ``first``: what a text holds of them, by first group, and what a query means."""
    sequences: dict[int, list[tuple[tuple[int, ...], int]]] = {}
    asked: dict[str, list[int]] = {}
    for number, meaning in enumerate(all_of, start=first):
        both, one_way = phrases[meaning]
        for phrase in both:
            sequence = tuple(groups[word] for word in phrase)
            sequences.setdefault(sequence[0], []).append((sequence, number))
        for phrase in (*both, *one_way):
            kept = asked.setdefault(" ".join(str(groups[word]) for word in phrase), [])
            if number not in kept:
                kept.append(number)
    return sequences, {key: tuple(asked[key]) for key in sorted(asked)}


@dataclass(frozen=True, slots=True)
class Counter:
    """Counts the groups of a text, with the meanings that it holds."""

    groups: Mapping[str, int]  # of the words that are looked for
    also: Mapping[str, list[int]]  # what else a code is found by
    joined: Mapping[str, int]  # words that two neighbours may make
    single: Mapping[int, list[int]]  # meanings of one word
    sequences: Mapping[int, Sequence[tuple[tuple[int, ...], int]]]  # and of several, by the first

    @classmethod
    def of(cls, groups: Mapping[str, int], vocabulary: set[str], sequences: Mapping[int, Sequence[tuple[tuple[int, ...], int]]]) -> Counter:
        """A counter for the words of ``vocabulary``."""
        also = {word: [groups[part] for part in parts if part in groups] for word in vocabulary if (parts := also_as(word))}
        return cls(
            {word: groups[word] for word in vocabulary},
            also,
            {word: groups[word] for word in vocabulary if len(word) > 4 or has_digit(word)},
            {first: [meaning for sequence, meaning in of if len(sequence) == 1] for first, of in sequences.items()},
            {first: long for first, of in sequences.items() if (long := [one for one in of if len(one[0]) > 1])},
        )

    def count(self, text: Text) -> tuple[dict[int, list[int]], Counted]:
        """The places of each group, and lengths and runs."""
        places: defaultdict[int, list[int]] = defaultdict(list)
        lengths = [0] * len(FIELDS)
        runs: list[Run] = []
        at = 0
        for field, lines in text:
            start = at
            for line, _ in lines:
                lengths[field] += self._count_line(line, at, places)
                at += len(line) + GAP
            runs.append(Run(field, start, at))
        return places, Counted(tuple(lengths), tuple(runs))

    def _count_line(self, line: list[str], at: int, places: defaultdict[int, list[int]]) -> int:
        """Add one line that starts at place ``at``; gives how many words were looked at."""
        known = [(place, word, self.groups[word]) for place, word in enumerate(line, start=at) if word in self.groups]
        before, last = "", -2
        for number, (place, word, group) in enumerate(known):
            places[group].append(place)
            for part in self.also.get(word, ()):
                places[part].append(place)
            if place == last + 1 and (whole := self.joined.get(before + word)) is not None:
                places[whole].append(last)
            for meaning in self.single.get(group, ()):
                places[meaning].append(place)
            for sequence, meaning in self.sequences.get(group, ()):
                if sequence == tuple(one[2] for one in known[number : number + len(sequence)]):
                    places[meaning].append(place)
            before, last = word, place
        return len(known)
