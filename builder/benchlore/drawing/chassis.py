"""A view of a chassis or cabinet: its outline to scale, its landmarks, and what lies on it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import product

from benchlore.drawing.placing import Box, Room, along, around, fits, lines_of
from benchlore.drawing.sheet import LETTER, WIDE, Sheet, circle, line, rect, said, size, text
from benchlore.entries.family import Mark, Spot, View

MARGIN = 12.0
MOST_BESIDE = 12
"""Letters of a name that may stand beside its landmark."""
RULES = (0.2, 0.1, 0.05, 0.02)
"""Lengths of the scale below a view, in metres: the longest that takes less than a third of the outline."""

Plain = Callable[[str], str]
"""Words of an entry without their markup."""


@dataclass(slots=True)
class Plan:
    """An outline on a sheet: what turns hundredths of the view, and metres, into places on the sheet."""

    sheet: Sheet
    room: Room
    view: View
    wide: float
    high: float
    landmarks: tuple[tuple[str, str], ...] = ()

    @property
    def metre(self) -> float:
        """Units of the sheet in one metre."""
        return self.wide / self.view.width.value

    def at(self, spot: Spot | Mark) -> tuple[float, float]:
        """Where a spot or mark lies on the sheet."""
        return MARGIN + spot.x / 100 * self.wide, MARGIN + spot.y / 100 * self.high


def outlined(view: View, plain: Plain, spots: list[Spot], ways: Iterable[tuple[Spot, ...]] = ()) -> Plan:
    """The outline with its landmarks and its scale; ``spots``, and the lines of ``ways`` from spot to spot, are kept free of words."""
    wide = WIDE - 2 * MARGIN
    high = wide * view.height.value / view.width.value
    sheet = Sheet()
    size(sheet, high + 2 * MARGIN + 18)
    plan = Plan(sheet, Room(WIDE, sheet.high), view, wide, high)
    rect(sheet, "outline", MARGIN, MARGIN, wide, high)
    places = [Box(*plan.at(spot), 10, 10) for spot in spots]
    for way in ways:
        places += along(*plan.at(way[0]), *plan.at(way[-1]))
    plan.landmarks = _landmarks(plan, plain, places)
    _rule(plan)
    plan.room.taken += places
    return plan


def _landmarks(plan: Plan, plain: Plain, places: list[Box]) -> tuple[tuple[str, str], ...]:
    """Draw the landmarks; those whose name does not fit get a letter, given back with the name."""
    lettered: list[tuple[str, str]] = []
    boxes = [_shape(plan, mark) for mark in plan.view.marks]
    for mark, box in zip(plan.view.marks, boxes, strict=True):
        lines = lines_of(plain(mark.label), box.w - 4)
        inner = box.w - 4 if mark.shape == "box" else box.w * 0.9 if len(lines) == 1 else box.w * 0.75
        others = [*places, *(b for b in boxes if b is not box)]
        inside = _free_inside(plan, box, lines, places) if fits(lines, inner, box.h) else None
        if inside is not None and not any(inside.common(place) for place in places):
            _words(plan, inside, lines)
        elif (outside := _beside(plan, box, plain(mark.label), others)) is not None:
            _words(plan, outside, [plain(mark.label)])
        elif inside is not None:
            _words(plan, inside, lines)
        else:
            letter = chr(ord("a") + len(lettered))
            lettered.append((letter, plain(mark.label)))
            room = _free(plan, around(box.x, box.y, 11, 13, (0, min(box.w, box.h) / 3, 16)), places)
            text(plan.sheet, "mark-letter", "middle", room.x, room.y + 4.5, letter)
    return tuple(lettered)


def _shape(plan: Plan, mark: Mark) -> Box:
    """The landmark's own shape."""
    x, y = plan.at(mark)
    w = mark.w / 100 * plan.wide
    if mark.shape == "circle":
        circle(plan.sheet, "mark", x, y, w / 2)
        return Box(x, y, w, w)
    h = mark.h / 100 * plan.high if mark.h is not None else w
    left, top = max(x - w / 2, 1.0), max(y - h / 2, 1.0)
    right, foot = min(x + w / 2, WIDE - 1), min(y + h / 2, plan.high + 2 * MARGIN - 1)
    rect(plan.sheet, "mark", left, top, right - left, foot - top)
    return Box((left + right) / 2, (top + foot) / 2, right - left, foot - top)


def _free(plan: Plan, boxes: Iterable[Box], places: list[Box]) -> Box:
    """The first of the boxes that hides neither a place nor other words; it is then taken."""
    held = len(plan.room.taken)
    plan.room.taken += places
    box = plan.room.place(boxes)
    del plan.room.taken[held : held + len(places)]
    return box


def _free_inside(plan: Plan, box: Box, lines: list[str], places: list[Box]) -> Box:
    """Room for a landmark's name inside its shape, in the middle if it may be."""
    wide, high = 6.4 * max(map(len, lines)), 15.0 * len(lines) - 2
    right, down = max((box.w - wide) / 2 - 3, 0.0), max((box.h - high) / 2 - 3, 0.0)
    steps = sorted(product((0.0, -0.5, 0.5, -1.0, 1.0), repeat=2), key=lambda step: abs(step[0]) + abs(step[1]))
    return _free(plan, (Box(box.x + x * right, box.y + y * down, wide, high) for x, y in steps), places)


def _beside(plan: Plan, box: Box, words: str, taken: list[Box]) -> Box | None:
    """Room for a short name beside a shape that is too small for it; None where there is none."""
    wide, high = LETTER * len(words), 13.0
    across, down = (box.w + wide) / 2 + 3, (box.h + high) / 2 + 1
    if len(words) > MOST_BESIDE:
        return None
    for x, y in ((0.0, down), (0.0, -down), (across, 0.0), (-across, 0.0)):
        near = Box(box.x + x, box.y + y, wide, high)
        inside = near.common(Box(WIDE / 2, MARGIN + plan.high / 2, plan.wide, plan.high)) > wide * high - 1e-6
        if inside and not any(near.common(other) for other in (*taken, *plan.room.taken)):
            plan.room.taken.append(near)
            return near
    return None


def _words(plan: Plan, box: Box, lines: list[str]) -> None:
    for n, words in enumerate(lines):
        text(plan.sheet, "mark-words", "middle", box.x, box.y - 7.5 * len(lines) + 15 * n + 12, words)


def _rule(plan: Plan) -> None:
    """A length to measure the drawing by."""
    metres = next((r for r in RULES if r * plan.metre < plan.wide / 3), RULES[-1])
    y, end = plan.high + 2 * MARGIN + 6, MARGIN + metres * plan.metre
    line(plan.sheet, "rule", MARGIN, y, end, y)
    for x in (MARGIN, end):
        line(plan.sheet, "rule", x, y - 4, x, y + 4)
    text(plan.sheet, "soft", "start", end + 6, y + 4.5, said(metres, "mm", 3))
    plan.room.taken.append(Box((MARGIN + end + 50) / 2, y, end - MARGIN + 50, 14))
