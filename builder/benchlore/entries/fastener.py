"""A thread or nut: its size, the driver that fits, where it is met, how tight."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import SOURCES, Entry, Source
from benchlore.entries.fields import Amount, Choice, Many, Part, Prose, Text, spec
from benchlore.quantity import Quantity

LENGTH = Amount("length", least=0, most=0.2)


@dataclass(frozen=True, kw_only=True)
class Tightness:
    """A published or reckoned torque, with its condition."""

    torque: Quantity = spec(Amount("torque", least=0, most=200, range_ok=True), "Torque", need="required", example="10..12 lbf in")
    condition: str = spec(Text(), "Material and condition", need="required", example="steel into steel, dry, routine")
    sources: tuple[Source, ...] = spec(SOURCES, "Where it is printed", need="required", example="[common practice]")


@dataclass(frozen=True, kw_only=True)
class Fastener(Entry):
    """A thread, nut, wood screw or collar."""

    system: str = spec(Choice(("inch", "metric", "wood", "bushing")), "System", need="required", example="inch")
    summary: str = spec(Prose(), "Where it is met and how it behaves", need="required", example="...")
    diameter: Quantity | None = spec(LENGTH, "Major diameter", example="0.138 in")
    pitch: Quantity | None = spec(LENGTH, "Thread pitch", example="0.03125 in")
    across_flats: Quantity | None = spec(LENGTH, "Nut size across flats", example="5/16 in")
    driver: str = spec(Text(), "Driver or socket", need="required", example="5/16 in socket; cross-slot size 2 for the screw")
    places: tuple[str, ...] = spec(Many(Text()), "Usual places", need="required", example="[]")
    proof_stress: Quantity | None = spec(Amount("pressure", least=0, most=2e9), "Proof stress of the usual grade", example="379 MPa")
    grade: str | None = spec(Text(), "Which grade that is", example="grade 2")
    tightness: tuple[Tightness, ...] = spec(Many(Part(Tightness)), "Published torques", example="[]")
    by_feel: str = spec(Text(), "How tight by feel", need="required", example="finger-tight, then about a quarter turn")
    traps: tuple[str, ...] = spec(Many(Text()), "What is easy to get wrong", example="[]")
