"""What was typed, as a plan: for each word the groups that may stand for it and how much each is worth.

The browser makes the same plan by the same steps (``search-words.js``).
"""

from __future__ import annotations

from dataclasses import dataclass, field

from benchlore.searching.analysis import (
    KIND_OF,
    Token,
    asks_meaning,
    base_code,
    has_digit,
    is_code,
    is_letters,
    is_weak,
    query_tokens,
)
from benchlore.searching.lexicon import Lexicon

WORTH = {
    "code": 1.5,  # a part code says exactly what is meant
    "kindOf": 0.7,  # 6L6 also finds 6L6GC
    "base": 0.5,  # 6L6GC also finds 6L6
    "completed": 0.75,  # the last word, unfinished
    "completedToo": 0.25,  # the last word, a word by itself, as the start of a longer one
    "relative": 0.8,  # another form of a word that no entry holds
    "cut": 0.8,  # a word before the last, cut short
    "slip1": 0.65,  # one edit
    "slip2": 0.3,  # two
    "unfinishedSlip": 0.35,
    "secondGuess": 0.6,  # of a slip's worth, for the words that are as near as the one that is named
    "synonym": 0.8,
    "phrase": 0.6,  # for each word of a name of several words: a synonym of all of them
    "weak": 0.5,  # words that say little
    "rare": 0.35,  # what is left of a completion's worth when it is rare beside the commonest one
}
"""What each way of standing for a word is worth beside the word itself."""


@dataclass(frozen=True)
class Slot:
    """One word of the query: its place, what it is worth, and the groups that stand for it."""

    place: int
    worth: float
    picks: dict[int, float]


@dataclass(frozen=True)
class Span:
    """Words that belong together: their slots, or instead of all of them one group (``el 84`` as ``el84``)."""

    slots: tuple[Slot, ...]
    whole: dict[int, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Correction:
    """A word that no entry holds, and the word that was looked for in its stead."""

    typed: str
    shown: str


@dataclass(frozen=True)
class Plan:
    """How a query is answered."""

    spans: tuple[Span, ...]
    corrections: tuple[Correction, ...]
    asks_meaning: bool = False

    @property
    def slots(self) -> list[Slot]:
        """All words of the query in order."""
        return [slot for span in self.spans for slot in span.slots]


def plan_of(words: str, lexicon: Lexicon) -> Plan:
    """Plan the answer to ``words``; the last word may be unfinished unless a space or a filler word follows it."""
    typed, unfinished = query_tokens(words)
    growing = len(typed) - 1 if unfinished else -1
    planner = _Planner(lexicon)
    spans = []
    at = 0
    while at < len(typed):
        size, whole = planner.together(typed, at, growing)
        slots = tuple(
            planner.slot(token, at + number == growing, bool(whole)) for number, token in enumerate(typed[at : at + size])
        )
        spans.append(Span(slots, whole))
        at += size
    return Plan(tuple(spans), tuple(planner.corrections), asks_meaning(words))


@dataclass
class _Planner:
    lexicon: Lexicon
    corrections: list[Correction] = field(default_factory=list)

    def together(self, typed: list[Token], at: int, growing: int) -> tuple[int, dict[int, float]]:
        """How many words from ``at`` belong together, and the groups that stand for them all."""
        keys = [self._key(token.text) for token in typed[at : at + self.lexicon.longest_meaning]]
        for size in range(len(keys), 1, -1):
            if meant := self.lexicon.meanings.get(" ".join(keys[:size])):
                return size, dict.fromkeys(meant, size * WORTH["phrase"])
        if at + 1 < len(typed):
            one, two = typed[at].text, typed[at + 1].text
            for whole in (one + two, f"{one}-{two}"):
                if (group := self.lexicon.group(whole)) is not None and (len(whole) > 4 or has_digit(whole)):
                    return 2, {group: 2.0}
            if at + 1 == growing and has_digit(two) and is_letters(one) and len(one) < 4:
                return 2 if (grown := self.lexicon.completions(one + two)) else 1, dict.fromkeys(grown, 2 * WORTH["completed"])
        return 1, {}

    def _key(self, word: str) -> str:
        group = self.lexicon.group(word)
        if group is None and not has_digit(word):
            group = next(iter(self.lexicon.relatives(word)), None)
        return "~" if group is None else str(group)

    def slot(self, token: Token, growing: bool, joined: bool) -> Slot:
        """What may stand for one word."""
        picks = self._literal(token.text, growing)
        if not picks and not joined and not has_digit(token.text):
            picks = self._otherwise(token.text, growing)
        for group, worth in list(picks.items()):
            for meaning in self.lexicon.meanings.get(str(group), ()):
                picks[meaning] = max(picks.get(meaning, 0.0), worth * WORTH["synonym"])
        return Slot(token.place, WORTH["weak"] if is_weak(token.text) else WORTH["code"] if is_code(token.text) else 1.0, picks)

    def _literal(self, word: str, growing: bool) -> dict[int, float]:
        picks: dict[int, float] = {}
        group = self.lexicon.group(word)
        if group is not None:
            picks[group] = 1.0
        if (longer := self.lexicon.group(word + KIND_OF)) is not None:
            picks[longer] = WORTH["kindOf"]
        base = base_code(word)
        if base is not None and (found := self.lexicon.group(base)) is not None:
            picks[found] = max(picks.get(found, 0.0), WORTH["base"])
        if growing and (group is None or (len(word) > 2 and not has_digit(word))):
            self._complete(word, picks, WORTH["completed"] if group is None else WORTH["completedToo"])
        return picks

    def _complete(self, start: str, picks: dict[int, float], worth: float) -> None:
        """Add what ``start`` may grow to; a rare completion is worth less than the commonest."""
        grown = self.lexicon.completions(start)
        most = self.lexicon.held[grown[0]] if grown else 0
        for group in grown:
            share = WORTH["rare"] + (1 - WORTH["rare"]) * self.lexicon.held[group] / most if most else 1.0
            picks[group] = max(picks.get(group, 0.0), worth * share)

    def _otherwise(self, word: str, growing: bool) -> dict[int, float]:
        """For a word that no entry holds: another form of it, what it was cut from, or what it is a slip of."""
        if relatives := self.lexicon.relatives(word):
            return dict.fromkeys(relatives, WORTH["relative"])
        picks: dict[int, float] = {}
        if not growing and len(word) > 2:
            self._complete(word, picks, WORTH["cut"])
        if not picks:
            for number, guess in enumerate(self.lexicon.guesses(word, growing)):
                if not number:
                    self.corrections.append(Correction(word, self.lexicon.words[guess.word]))
                worth = WORTH[f"slip{guess.edits}"] if guess.whole else WORTH["unfinishedSlip"]
                picks[self.lexicon.groups[guess.word]] = worth if not number else worth * WORTH["secondGuess"]
        return picks
