"""A circuit block that many families share."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, Caution, Change, Entry, Figure, LeadDress, StageFault
from benchlore.entries.fields import Choice, Many, Part, Prose, Ref, Text, spec

STAGE_GROUPS = ("supply", "output", "preamp", "effects", "switching", "build")


@dataclass(frozen=True, kw_only=True)
class Stage(Entry):
    """A circuit block or way of building; families inherit its faults, checks and lead dress."""

    group: str = spec(Choice(STAGE_GROUPS), "Where in the amp it belongs", need="required", example="output")
    summary: str = spec(Prose(), "What it does and how it works, for someone who has to mend it", need="required", example="The grids are held negative by a supply of their own.")
    how_to_tell: tuple[str, ...] = spec(Many(Text()), "How to see that an amp has it", need="required", example="[a small rectifier diode and a capacitor with its plus end to chassis]")
    usual_troubles: str = spec(Prose(), "What usually goes wrong, and in which order one looks", need="required", example="First the reservoir of the bias supply dries out ...")
    figures: tuple[Figure, ...] = spec(Many(Part(Figure)), "Usual figures to judge readings by", example="[]")
    faults: tuple[StageFault, ...] = spec(Many(Part(StageFault), key="fault"), "Faults it is known for", need="required", example="[]")
    lead_dress: tuple[LeadDress, ...] = spec(Many(Part(LeadDress), key="key"), "Wires that must lie apart wherever this stage is", example="[]")
    changes: tuple[Change, ...] = spec(Many(Part(Change), key="key"), "Changes worth offering", example="[]")
    procedures: tuple[str, ...] = spec(Many(Ref("procedure")), "Procedures used on it", example="[idle-measuring]")
    calculators: tuple[str, ...] = spec(Many(Ref("calculator")), "Sums used on it", example="[idle-dissipation]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")
