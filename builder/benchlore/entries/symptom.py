"""What is seen, heard, smelled or measured, in an owner's words and in the bench's."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, Caution, Entry
from benchlore.entries.fields import Choice, Many, Prose, Ref, Text, spec

SENSES = ("heard", "seen", "smelled", "felt", "measured")


@dataclass(frozen=True, kw_only=True)
class Symptom(Entry):
    """A sign of trouble. Its title is in the bench's words."""

    sense: str = spec(Choice(SENSES), "How it is noticed", need="required", example="heard")
    owner_words: tuple[str, ...] = spec(Many(Text(120), least=2), "How owners say it", need="required", example="[it hums even with the volume down]")
    summary: str = spec(Prose(), "What it is, and how to tell it from its neighbours", need="required", example="...")
    ask: tuple[str, ...] = spec(Many(Text()), "What to ask the owner", need="required", example="[Does it change with any knob?]")
    first_look: tuple[str, ...] = spec(Many(Text()), "What to look at first, before opening", need="required", example="[]")
    like: tuple[str, ...] = spec(Many(Ref("symptom")), "Symptoms easily taken for it", example="[hum-buzz-120]")
    starts_in: tuple[str, ...] = spec(Many(Ref("stage")), "Stages in which it tends to start", example="[]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines: when to stop at once", example="[]")
