"""A word of the trade, what it means, and which other words mean the same."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import Entry
from benchlore.entries.fields import Choice, Many, Part, Prose, Ref, Text, spec


@dataclass(frozen=True, kw_only=True)
class Synonym:
    """Another word for it. One way: who types ``word`` also finds the title's word, not the reverse."""

    word: str = spec(Text(60), "The other word or words", need="required", example="anode")
    way: str | None = spec(Choice(("both", "one")), "Both ways (the default) or one way", example="both")


@dataclass(frozen=True, kw_only=True)
class Term(Entry):
    """A word of the trade."""

    meaning: str = spec(Prose(), "What it means at the bench", need="required", example="...")
    synonyms: tuple[Synonym, ...] = spec(Many(Part(Synonym, shorthand="word"), key="word"), "Words that mean the same; search uses them", example="[anode]")
    see: tuple[str, ...] = spec(Many(Ref("term")), "Related terms", example="[]")
