"""What is kept of the browser's index between two builds: of each document its words, and of all of them the counts."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from benchlore.searching.document import FIELDS, Document
from benchlore.searching.documents import meanings_from
from benchlore.searching.export import text_part
from benchlore.searching.indexing import Counter, Text, numbered, phrases_of, text_of

EMPTY = (0,) * len(FIELDS)


def kept_document(document: Document) -> str:
    """A document as two lines of plain data: what the browser shows of it, and its words."""
    runs = [[field, [[" ".join(words), sorted(tied)] for words, tied in lines]] for field, lines in text_of(document)]
    return f"{_json(text_part(document))}\n{_json(runs)}"


def part_in(kept: str) -> Any:
    """What the browser shows of a kept document."""
    return json.loads(kept.partition("\n")[0])


def words_in(kept: str) -> Text:
    """The words of a kept document."""
    runs = json.loads(kept.partition("\n")[2])
    return [(field, [(line.split(" ") if line else [], set(tied)) for line, tied in lines]) for field, lines in runs]


def _json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


@dataclass
class State:
    """The counts of all documents, in plain data."""

    documents: list[str] = field(default_factory=list)  # kind/id, in the order of their numbers
    held_by: dict[str, int] = field(default_factory=dict)  # word to how many documents hold it
    stems: dict[str, str] = field(default_factory=dict)  # Snowball's, of every word met
    groups: dict[str, str] = field(default_factory=dict)  # word, other spellings too, to its group's key
    keys: list[str] = field(default_factory=list)  # in the order of the groups' numbers
    meanings: list[Any] = field(default_factory=list)
    titles: list[dict[str, str]] = field(default_factory=lambda: [{}, {}])  # of families and stages
    held: list[int] = field(default_factory=list)  # by group: how many documents hold it
    sizes: list[int] = field(default_factory=list)  # by group: characters of its places
    totals: list[int] = field(default_factory=lambda: list(EMPTY))  # by weight: words in all documents
    heads: list[str] = field(default_factory=list)  # by document: the beginning of its card
    tails: list[str] = field(default_factory=list)
    lengths: list[int] = field(default_factory=list)  # by document: characters of what is shown
    bags: dict[str, dict[str, float]] = field(default_factory=dict)  # by document that may have neighbours: what it speaks of
    near: list[str] = field(default_factory=list)  # by document: those that are like it

    def as_text(self) -> str:
        """The state as it is kept."""
        return _json(vars(self))


@dataclass(frozen=True)
class Grouping:
    """Which words are one, by number; and what counts them."""

    keys: Sequence[str]
    groups: Mapping[str, int]
    asked: Mapping[str, Sequence[int]]
    counter: Counter

    @classmethod
    def of(cls, state: State) -> Grouping:
        """The grouping of a state."""
        numbers = {key: at for at, key in enumerate(state.keys)}
        groups = {word: numbers[key] for word, key in state.groups.items()}
        meanings = meanings_from(state.meanings)
        phrases = {meaning: phrases_of(meaning) for meaning in meanings}
        sequences, asked = numbered(meanings, phrases, groups, len(state.keys) - len(meanings))
        vocabulary = {word for word in state.held_by if word in groups}
        return cls(state.keys, groups, asked, Counter.of(groups, vocabulary, sequences))

    def places(self, text: Text) -> tuple[dict[str, list[int]], tuple[int, ...], Any]:
        """Places by key, the lengths, and what is counted."""
        places, counted = self.counter.count(text)
        return {self.keys[group]: sorted(set(of)) for group, of in places.items()}, counted.lengths, counted
