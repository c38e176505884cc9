"""What is passed on while answers are ranked: hits of a word, answers with their scores, and where both come from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from benchlore.searching.indexing import Counted

DIGITS = 9  # scores that agree to so many places are equal, and the order of kinds decides


@dataclass(frozen=True, slots=True)
class Hit:
    """A document that holds a group: its score for it, and the places."""

    document: int
    score: float
    places: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Ranked:
    """A document that answers a query, and its score."""

    document: int
    score: float


class Holdings(Protocol):
    """Where scored hits of a group come from: Whoosh's index, or an index in memory."""

    @property
    def size(self) -> int:
        """How many documents there are in all."""
        ...

    def hits(self, group: int) -> Sequence[Hit]:
        """Every document that holds ``group``, in order of number."""
        ...

    def near(self, document: int) -> Mapping[int, int]:
        """The documents that speak of much the same, each with how alike it is in hundredths."""
        ...

    def counted(self, document: int) -> Counted:
        """The lengths and runs of a document."""
        ...


def in_order(ranked: Iterable[Ranked]) -> list[Ranked]:
    """Best first; equal scores keep the order of the documents."""
    return sorted(ranked, key=lambda one: (-round(one.score, DIGITS), one.document))
