"""Words of running text that name an entry: tube types, terms of the trade, fasteners."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from benchlore.entries.common import Entry
from benchlore.entries.term import Term
from benchlore.works import Question

WORD = re.compile(r"#?[^\W_]+(?:[-/.'][^\W_]+)*\+?")
_UNIT_AFTER = re.compile(r"\s?(?:[munpkM]?(?:V|A|W|F|H|Hz|ohm|s)\b|%|Ω)")


@dataclass(frozen=True, slots=True)
class Named:
    """An entry and the words by which text names it, folded to small letters."""

    words: tuple[str, ...]
    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class Hit:
    """A stretch of text, ``text[start:end]``, that names an entry."""

    start: int
    end: int
    kind: str
    id: str


@dataclass(frozen=True)
class Lexicon:
    """Every name by which text is linked on its own, found by its first word; longer names come first."""

    by_first: Mapping[str, tuple[Named, ...]]

    def hits(self, text: str) -> Iterator[Hit]:
        """Names in ``text`` from left to right, none overlapping another."""
        words = list(WORD.finditer(text))
        at = 0
        while at < len(words):
            known = self.by_first.get(words[at].group().lower())
            named = self._longest(known, words, at, text) if known else None
            if named is None:
                at += 1
                continue
            last = words[at + len(named.words) - 1]
            yield Hit(words[at].start(), last.end(), named.kind, named.id)
            at += len(named.words)

    @staticmethod
    def _longest(known: Iterable[Named], words: list[re.Match[str]], at: int, text: str) -> Named | None:
        for named in known:
            span = words[at : at + len(named.words)]
            if _reads(span, named.words) and _parted_by_blanks(span, text) and not _is_figure(span[-1], text):
                return named
        return None


def lexicon(entries: Mapping[str, Mapping[str, Entry]]) -> Lexicon:
    """The names of all tubes, terms and fasteners; where two entries claim a name, a title wins over another name."""
    claimed = _claimed(entries)
    by_first: dict[str, list[Named]] = {}
    for named in sorted(claimed.values(), key=lambda n: (-len(n.words), n.words)):
        by_first.setdefault(named.words[0], []).append(named)
        if len(named.words) == 1 and not named.words[0].endswith("s"):
            by_first.setdefault(f"{named.words[0]}s", []).append(named)
    return Lexicon({first: tuple(names) for first, names in by_first.items()})


def _claimed(entries: Mapping[str, Mapping[str, Entry]]) -> dict[tuple[str, ...], Named]:
    claimed: dict[tuple[str, ...], Named] = {}
    for titles in (True, False):
        for kind in ("tube", "term", "fastener"):
            for id, entry in entries.get(kind, {}).items():
                for name in [entry.title] if titles else _other_names(entry):
                    words = tuple(w.group().lower() for w in WORD.finditer(name))
                    if words and len("".join(words)) > 1 and (kind != "tube" or _has_digit(name)):
                        claimed.setdefault(words, Named(words, kind, id))
    return claimed


NAMES = Question(
    "names",
    lambda library, _: sorted([[*named.words], named.kind, named.id] for named in _claimed(library.entries).values()),
)
"""All names that text is linked by: whatever is made of words rests on it."""


def _other_names(entry: Entry) -> Iterable[str]:
    both_ways = [s.word for s in entry.synonyms if s.way != "one"] if isinstance(entry, Term) else []
    return (*entry.also_called, *both_ways)


def _has_digit(name: str) -> bool:
    return any(c.isdigit() for c in name)


def _single(word: str) -> str:
    """The word without a plural s, so that `grid leaks` finds the grid leak."""
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else ""


def _reads(span: list[re.Match[str]], words: tuple[str, ...]) -> bool:
    if len(span) != len(words):
        return False
    *early, last = (w.group().lower() for w in span)
    return tuple(early) == words[:-1] and words[-1] in (last, _single(last))


def _parted_by_blanks(span: list[re.Match[str]], text: str) -> bool:
    return all(text[a.end() : b.start()].isspace() for a, b in itertools.pairwise(span))


def _is_figure(word: re.Match[str], text: str) -> bool:
    """Whether the word is a number with a unit (`6550 ohm`) and no type number."""
    return word.group().isdigit() and _UNIT_AFTER.match(text, word.end()) is not None
