"""A cause of trouble, with the checks that prove it, the fix and the proof of the fix."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, POWER, Caution, Entry
from benchlore.entries.fields import Amount, Choice, Code, Flag, Many, Part, Prose, Ref, Slug, Text, Whole, spec
from benchlore.quantity import Quantity

FAULT_GROUPS = (
    "tubes", "supply", "output stage", "preamp", "hum and noise", "oscillation", "reverb and tremolo", "switching and jacks",
    "transformers", "boards and wiring", "speaker", "cabinet and hardware",
)
COMMONNESS = ("very common", "common", "occasional", "rare", "very rare")
SHOWS = ("almost always", "often", "sometimes", "seldom")
SETUPS = ("outside", "chassis out", "live")


@dataclass(frozen=True, kw_only=True)
class Shows:
    """How often a fault gives a symptom."""

    symptom: str = spec(Ref("symptom"), "The symptom", need="required", example="hum-steady-low")
    how_often: str = spec(Choice(SHOWS), "How often it shows when the fault is there", need="required", example="often")


@dataclass(frozen=True, kw_only=True)
class SpeaksTo:
    """Another fault that the same check also finds."""

    fault: str = spec(Ref("fault"), "The other fault", need="required", example="filter-dried")
    sensitivity: Quantity | None = spec(Amount("ratio", least=0, most=1), "Chance that the check fails when that fault is there", example="80 %")


@dataclass(frozen=True, kw_only=True)
class Check:
    """One test at the bench: it fails when the fault is there and passes when it is not."""

    key: str = spec(Slug(), "Short key, unique in the fault", need="required", example="swap-tube")
    do: str = spec(Text(), "The check in one line, as an order", need="required", example="Swap the two output tubes and see whether the glow moves")
    how: str | None = spec(Prose(), "How to do it, where one line is not enough", example="...")
    minutes: int = spec(Whole(1, 480), "Minutes, without opening the amp or setting up", need="required", example="5")
    tools: tuple[str, ...] = spec(Many(Text(80)), "Tools beyond screwdriver and eyes", example="[multimeter]")
    power: str = spec(Choice(POWER), "Is power on?", need="required", example="off")
    setup: str = spec(Choice(SETUPS), "What must be done first: nothing (outside), the chassis out, or running live on the bench", need="required", example="chassis out")
    passes: str = spec(Text(), "What is seen or read when this fault is NOT there", need="required", example="both read 30 to 45 V negative, within 2 V of each other")
    fails: str = spec(Text(), "What is seen or read when the fault IS there", need="required", example="one reads near zero")
    sensitivity: Quantity | None = spec(Amount("ratio", least=0, most=1), "Chance that it fails when the fault is there (default 90 %)", example="95 %")
    specificity: Quantity | None = spec(Amount("ratio", least=0, most=1), "Chance that it passes when the fault is not there (default 95 %)", example="90 %")
    speaks_to: tuple[SpeaksTo, ...] = spec(Many(Part(SpeaksTo, shorthand="fault"), key="fault"), "Other faults the same check finds", example="[]")
    after: tuple[str, ...] = spec(Many(Slug()), "Keys of checks of this fault that must come before it", example="[look-over]")
    caution: str | None = spec(Text(), "What can hurt while doing it; required when power is on", example="420 V on the plates: one hand, insulated probes.")


@dataclass(frozen=True, kw_only=True)
class PartUsed:
    """A part that the fix needs."""

    part: str = spec(Text(), "What", need="required", example="grid-leak resistor 220k 1/2 W, metal film")
    count: int = spec(Whole(1, 100), "How many", need="required", example="2")
    note: str | None = spec(Text(), "What to mind when buying or fitting", example="both, as a pair")


@dataclass(frozen=True, kw_only=True)
class Fault(Entry):
    """A cause of trouble."""

    group: str = spec(Choice(FAULT_GROUPS), "Where it belongs", need="required", example="output stage")
    summary: str = spec(Text(), "The fault in one plain sentence", need="required", example="A grid-leak resistor has gone open, so one output tube loses its bias.")
    seen: str = spec(Prose(), "What is seen, heard, smelled or measured", need="required", example="...")
    why: str = spec(Prose(), "Why it happens, in terms of the circuit", need="required", example="...")
    commonness: str = spec(Choice(COMMONNESS), "How common in the trade, all amps together", need="required", example="occasional")
    anywhere: bool | None = spec(Flag(), "Can it sit in any amp, whatever its stages?", example="yes")
    while_open: bool | None = spec(Flag(), "Merely usual wear, to look at while the amp is open, never a suspect for an unrelated complaint?", example="no")
    shows: tuple[Shows, ...] = spec(Many(Part(Shows), key="symptom"), "Which symptoms it gives, and how often", need="required", example="[]")
    checks: tuple[Check, ...] = spec(Many(Part(Check), key="key", least=1), "How to prove it, cheapest first", need="required", example="[]")
    fix: tuple[str, ...] = spec(Many(Text(600), least=1), "How to mend it, step by step", need="required", example="[]")
    parts: tuple[PartUsed, ...] = spec(Many(Part(PartUsed)), "Parts that the fix needs", example="[]")
    fix_minutes: int = spec(Whole(1, 2000), "Minutes for the fix, amp already open", need="required", example="20")
    verify: tuple[str, ...] = spec(Many(Text(), least=1), "How to know that it is mended", need="required", example="[]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")
    procedures: tuple[str, ...] = spec(Many(Ref("procedure")), "Procedures it calls for", example="[making-safe]")
    calculators: tuple[str, ...] = spec(Many(Ref("calculator")), "Sums it calls for", example="[idle-dissipation]")
    like: tuple[str, ...] = spec(Many(Ref("fault")), "Faults easily taken for it", example="[bias-supply-dead]")
    touches: tuple[str, ...] = spec(Many(Code(40)), "What the fix touches, for closing up: tubes, bias, speaker, filter capacitors, transformer, board, jacks, reverb, mains wiring, cabinet", example="[tubes, bias]")
