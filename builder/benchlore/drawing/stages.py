"""A family's stages as blocks: the signal's way down, the supply and the build below, symptoms where they tend to start."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from benchlore.drawing.placing import lines_of, shortened
from benchlore.drawing.sheet import Drawn, Sheet, about, area, circle, finished, head, line, rect, row, size, text
from benchlore.entries.common import HOW_COMMON
from benchlore.entries.family import Family
from benchlore.entries.fault import SHOWS
from benchlore.entries.stage import Stage
from benchlore.entries.symptom import Symptom
from benchlore.linking.library import Library

MOST = 15
BOX = (8.0, 196.0)
A_ROW = 6


@dataclass(frozen=True, slots=True)
class Start:
    """A symptom of the list beside the blocks: its number, and the family's stages in which it tends to start."""

    number: int
    symptom: Symptom
    stages: tuple[Stage, ...]


@dataclass(frozen=True, slots=True)
class Blocks:
    """The blocks, and the list of symptoms that goes with them."""

    drawn: Drawn
    starts: tuple[Start, ...]


def likely_symptoms(library: Library, family: Family) -> tuple[Symptom, ...]:
    """The symptoms that the family's faults give most: the commoner the fault and the surer it shows, the nearer the front."""
    weight: dict[str, float] = {}
    for known in library.family_faults(family.id):
        common = 0.4 ** HOW_COMMON.index(known.common)
        for shows in known.fault.shows:
            weight[shows.symptom] = weight.get(shows.symptom, 0) + common * 0.5 ** SHOWS.index(shows.how_often)
    stages = set(family.stages)
    known_ids = sorted(weight, key=lambda id: (-round(weight[id], 9), id))
    symptoms = (library.symptoms[id] for id in known_ids if id in library.symptoms)
    return tuple(s for s in symptoms if stages.intersection(s.starts_in))


def stage_blocks(library: Library, family: Family) -> Blocks | None:
    """The family's stages as blocks, or None where none of them is known."""
    stages = [library.stages[id] for id in family.stages if id in library.stages]
    if not stages:
        return None
    order = {stage.id: n for n, stage in enumerate(stages)}
    starts = []
    for number, symptom in enumerate(likely_symptoms(library, family)[:MOST], 1):
        where = sorted((id for id in symptom.starts_in if id in order), key=order.__getitem__)
        starts.append(Start(number, symptom, tuple(library.stages[id] for id in where)))
    s = Sheet()
    y = 6.0
    signal = [stage for stage in stages if stage.group not in ("supply", "build")]
    for title, look, part in (
        ("Signal, from input to speaker", "block", signal),
        ("Supply, which feeds all of it", "block-supply", [x for x in stages if x.group == "supply"]),
        ("How it is built", "block-build", [x for x in stages if x.group == "build"]),
    ):
        y = _part(s, title, look, part, starts, y) if part else y
    size(s, y)
    about(s, f"{family.title}: stages, and where symptoms start", _words(starts))
    head(s, ["Number", "Symptom", "Tends to start in"])
    for start in starts:
        row(s, [str(start.number), start.symptom.title, ", ".join(stage.title for stage in start.stages)])
    return Blocks(finished(s), tuple(starts))


def _words(starts: Iterable[Start]) -> str:
    return (
        "; ".join(f"{x.number} {x.symptom.title}: {', '.join(stage.title for stage in x.stages)}" for x in starts) + "."
    )


def _part(s: Sheet, title: str, look: str, stages: list[Stage], starts: list[Start], y: float) -> float:
    """One part of the amp under its title; gives the height at which the next may begin."""
    text(s, "part", "start", BOX[0], y + 12, title)
    y += 22
    for n, stage in enumerate(stages):
        here = [x for x in starts if stage in x.stages]
        lines = shortened(lines_of(stage.title, BOX[1] - 16), 2)
        high = max(15.0 * len(lines) + 13, 21.0 * ((len(here) + A_ROW - 1) // A_ROW) + 6)
        if n and look == "block":
            _flow(s, y - 12, y)
        _block(s, look, y, high, lines)
        _badges(s, here, y, high)
        y += high + (12 if look == "block" else 6)
    return y + 6


def _block(s: Sheet, look: str, y: float, high: float, lines: list[str]) -> None:
    left, wide = BOX
    rect(s, look, left, y, wide, high)
    if look == "block-supply":
        line(s, "flow", left + 4, y, left + 4, y + high)
    for n, words in enumerate(lines):
        text(s, "key", "start", left + 10, y + high / 2 + 4.5 - 7.5 * (len(lines) - 1) + 15 * n, words)


def _flow(s: Sheet, top: float, foot: float) -> None:
    x = BOX[0] + BOX[1] / 2
    line(s, "flow", x, top, x, foot - 4)
    area(s, "flow-head", [x - 4.5, x + 4.5, x], [foot - 8, foot - 8, foot])


def _badges(s: Sheet, here: list[Start], y: float, high: float) -> None:
    """The numbers of the symptoms that tend to start in a stage."""
    rows = (len(here) + A_ROW - 1) // A_ROW
    for n, start in enumerate(here):
        x = BOX[0] + BOX[1] + 15 + 21.5 * (n % A_ROW)
        at = y + high / 2 + 21 * (n // A_ROW - (rows - 1) / 2)
        circle(s, "badge", x, at, 9)
        text(s, "badge-number", "middle", x, at + 4.5, str(start.number))
