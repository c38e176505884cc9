"""A piece of bench work, step by step."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, HAZARDS, Caution, Entry
from benchlore.entries.fields import Choice, Flag, Many, Part, Prose, Ref, Text, Whole, spec


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step. A step with power on must say what is live."""

    do: str = spec(Text(600), "What to do", need="required", example="Clip the meter's black lead to chassis.")
    why: str | None = spec(Text(600), "Why", example="so that one hand is enough")
    power: str = spec(Choice(("off", "on")), "Is power on?", need="required", example="off")
    hazard: str | None = spec(Choice(HAZARDS), "What can hurt", example="stored charge")
    warning: str | None = spec(Text(), "What is live, hot or sharp, and how to stay clear; required with power on", example="430 V on pin 3 of both sockets")
    expect: str | None = spec(Text(), "What is seen when it went well", example="under 5 V on every capacitor")
    must: bool | None = spec(Flag(), "Must not be skipped silently on the job sheet?", example="yes")


@dataclass(frozen=True, kw_only=True)
class Procedure(Entry):
    """A piece of bench work."""

    summary: str = spec(Prose(), "What it is for and when to do it", need="required", example="...")
    minutes: int = spec(Whole(1, 960), "Minutes when nothing fights back", need="required", example="15")
    tools: tuple[str, ...] = spec(Many(Text()), "What to have at hand", need="required", example="[]")
    before: tuple[str, ...] = spec(Many(Ref("procedure")), "Procedures that come first", example="[making-safe]")
    steps: tuple[Step, ...] = spec(Many(Part(Step), least=3), "The steps in order", need="required", example="[]")
    done_when: tuple[str, ...] = spec(Many(Text(), least=1), "How to know it is done", need="required", example="[]")
    mistakes: tuple[str, ...] = spec(Many(Text()), "Mistakes that are commonly made", example="[]")
    calculators: tuple[str, ...] = spec(Many(Ref("calculator")), "Sums used", example="[capacitor-discharge]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")
