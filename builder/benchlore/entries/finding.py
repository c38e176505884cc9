"""One job's outcome. Never any owner's data."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from benchlore.entries.common import Entry
from benchlore.entries.fields import Choice, Code, Date, Many, Part, Prose, Real, Ref, Text, Whole, spec


@dataclass(frozen=True, kw_only=True)
class CheckResult:
    """How one check came out."""

    check: str = spec(Code(130), "The check, as fault/key", need="required", example="grid-leak-open/cold-resistance")
    result: str = spec(Choice(("pass", "fail")), "How it came out", need="required", example="fail")


@dataclass(frozen=True, kw_only=True)
class Finding(Entry):
    """One job's outcome: what was complained of, what was found, what it took."""

    family: str = spec(Ref("family"), "The family", need="required", example="heron-30")
    revision: str | None = spec(Text(60), "Revision of the amp, where it matters", example="B")
    symptoms: tuple[str, ...] = spec(Many(Ref("symptom")), "What was there; empty for a request only", need="asked", example="[hum-steady-low]")
    absent: tuple[str, ...] = spec(Many(Ref("symptom")), "What was looked for and was not there", example="[]")
    faults: tuple[str, ...] = spec(Many(Ref("fault")), "What was found; empty when nothing was wrong", need="asked", example="[filter-dried]")
    request: str | None = spec(Text(), "What was asked for, where it was a change and not a complaint", example="Cool the idle")
    fix: str = spec(Prose(4000), "What was done", need="required", example="Replaced both grid leaks.")
    checks: tuple[CheckResult, ...] = spec(Many(Part(CheckResult), key="check"), "Checks that were done", example="[]")
    minutes: int = spec(Whole(1, 6000), "Minutes at the bench, all told", need="required", example="75")
    parts_cost: float = spec(Real(0, 1e6), "Parts cost in the shop's currency", need="required", example="14.50")
    technician: str = spec(Code(6), "Initials", need="required", example="RK")
    date: datetime.date = spec(Date(), "Day it was finished", need="required", example="2025-11-03")
    learned: str | None = spec(Prose(4000), "What the next technician should know", example="...")
