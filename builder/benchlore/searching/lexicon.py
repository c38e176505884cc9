"""Every word of the entries, sorted, and the number that all forms of a word share; what an unfinished or misspelt word may be.

The browser holds the same lexicon and answers the same questions by the same steps (``search-words.js``); a test holds
the two together.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from benchlore.searching.analysis import ENDINGS, has_digit

MOST_COMPLETIONS = 24  # words that an unfinished word is completed to
FEW_COMPLETIONS = 6  # words that a single letter is completed to: it says little, and each word must be read
SHORTEST_STEM = 3
MOST_GUESSES = 3


@dataclass(frozen=True, slots=True)
class Guess:
    """A known word that a misspelt one may be, and by how many edits they differ."""

    word: int
    edits: int
    whole: bool


@dataclass(frozen=True)
class Lexicon:
    """``words`` sorted; ``groups[i]`` the group of ``words[i]``; ``held[g]`` how many documents hold a word of group ``g``.

    ``meanings`` leads from groups (as text, joined by a space; ``~word`` for a word without a group) to the groups of their meanings.
    """

    words: Sequence[str]
    groups: Sequence[int]
    held: Sequence[int]
    meanings: Mapping[str, Sequence[int]]

    @cached_property
    def longest_meaning(self) -> int:
        """The most words that one name of a meaning has."""
        return max((key.count(" ") + 1 for key in self.meanings), default=1)

    def place(self, word: str) -> int | None:
        """Where ``word`` stands, or None when no entry holds it."""
        at = bisect_left(self.words, word)
        return at if at < len(self.words) and self.words[at] == word else None

    def group(self, word: str) -> int | None:
        """The group of ``word``, or None when it is not known."""
        at = self.place(word)
        return None if at is None else self.groups[at]

    def completions(self, start: str) -> list[int]:
        """The groups that an unfinished word may grow to: the most usual first, ``MOST_COMPLETIONS`` at most."""
        at = bisect_left(self.words, start)
        found: dict[int, None] = {}
        while at < len(self.words) and self.words[at].startswith(start):
            if self.words[at] != start:
                found.setdefault(self.groups[at])
            at += 1
        most = MOST_COMPLETIONS if len(start) > 1 else FEW_COMPLETIONS
        return sorted(found, key=lambda group: -self.held[group])[:most]

    def relatives(self, word: str) -> list[int]:
        """Groups of known words that differ from an unknown one in their ending only: ``hummed`` and ``humming``."""
        for ending in sorted(ENDINGS, key=lambda e: -len(e)):
            if not word.endswith(ending) or len(word) - len(ending) < SHORTEST_STEM:
                continue
            base = word[: len(word) - len(ending)]
            short = base[:-1] if len(base) > SHORTEST_STEM and base[-1] == base[-2] else ""
            for stem in (base, short):
                if found := list(dict.fromkeys(self._with_endings(stem))) if stem else []:
                    return found
        return []

    def _with_endings(self, stem: str) -> Iterator[int]:
        at = bisect_left(self.words, stem)
        while at < len(self.words) and self.words[at].startswith(stem):
            rest = self.words[at][len(stem) :]
            if rest in ENDINGS or (rest and rest[0] == stem[-1] and rest[1:] in ENDINGS):
                yield self.groups[at]
            at += 1

    def guesses(self, word: str, unfinished: bool) -> list[Guess]:
        """Known words that ``word`` may be a slip of, nearest first: one edit in a short word, two in a long one.

        Two neighbours swapped count as one edit.  No word with a digit is guessed at, nor guessed.
        """
        if has_digit(word) or len(word) < 3:
            return []
        most = 1 if len(word) < 6 else 2
        found = list(self._near(word, most, unfinished and len(word) >= 5))
        found.sort(key=lambda g: (g.edits, not g.whole, self.words[g.word][0] != word[0], -self.held[self.groups[g.word]], g.word))
        kept: dict[int, Guess] = {}
        for guess in found:
            if guess.edits == found[0].edits:
                kept.setdefault(self.groups[guess.word], guess)
        return list(kept.values())[:MOST_GUESSES]

    def _near(self, word: str, most: int, starts: bool) -> Iterator[Guess]:
        """Walk the sorted words with one table of distances, keeping the rows of the letters shared with the word before."""
        length = len(word)
        rows = [list(range(length + 1))]
        before, dead = "", 0
        for at, known in enumerate(self.words):
            shared = _shared(before, known)
            if dead and shared >= dead:
                continue
            before, dead = known, 0
            del rows[min(shared, len(rows) - 1) + 1 :]
            while len(rows) <= len(known) and not dead:
                depth = len(rows)
                rows.append(_row(word, known, depth, rows))
                if min(rows[depth]) > most and min(rows[depth - 1]) >= most:
                    dead = depth
            whole = rows[-1][length] if len(rows) == len(known) + 1 else most + 1
            if has_digit(known):
                continue
            if whole <= most:
                yield Guess(at, whole, True)
            elif starts and len(known) > length and min(row[length] for row in rows) <= 1:
                yield Guess(at, 1, False)


def _shared(one: str, other: str) -> int:
    count = 0
    for a, b in zip(one, other, strict=False):
        if a != b:
            break
        count += 1
    return count


def _row(word: str, known: str, depth: int, rows: list[list[int]]) -> list[int]:
    """The next row of the table of edits (optimal string alignment: a swapped pair of neighbours is one edit)."""
    letter, above = known[depth - 1], rows[depth - 1]
    row = [depth]
    for column, typed in enumerate(word, start=1):
        best = min(above[column] + 1, row[column - 1] + 1, above[column - 1] + (typed != letter))
        if depth > 1 and column > 1 and typed == known[depth - 2] and word[column - 2] == letter:
            best = min(best, rows[depth - 2][column - 2] + 1)
        row.append(best)
    return row
