"""Where words and numbers find room on a sheet without lying on one another."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from benchlore.drawing.sheet import LETTER


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, from its middle."""

    x: float
    y: float
    w: float
    h: float

    def common(self, other: Box) -> float:
        """The area that two boxes share."""
        wide = min(self.w, other.w, (self.w + other.w) / 2 - abs(self.x - other.x))
        high = min(self.h, other.h, (self.h + other.h) / 2 - abs(self.y - other.y))
        return wide * high if wide > 0 and high > 0 else 0.0

    def outside(self, wide: float, high: float) -> float:
        """How much of the box lies off a sheet of that size."""
        inner = Box(wide / 2, high / 2, wide, high)
        return self.w * self.h - self.common(inner)


@dataclass(slots=True)
class Room:
    """A sheet with what is taken on it."""

    wide: float
    high: float
    taken: list[Box] = field(default_factory=list)

    def place(self, wanted: Iterable[Box], joined: tuple[float, float] | None = None) -> Box:
        """The first of the boxes that lies on nothing, else the one that hides least; it is then taken.

        With ``joined``, a line from there to the box must not cross what is taken either.
        """
        best, least = None, math.inf
        for box in wanted:
            hidden = sum(box.common(other) for other in self.taken) + 4 * box.outside(self.wide, self.high)
            if joined is not None:
                hidden += sum(part.common(other) for part in along(*joined, box.x, box.y)[2:-1] for other in self.taken) / 4
            if hidden < least - 1e-9:
                best, least = box, hidden
            if hidden < 1e-6:
                break
        assert best is not None
        self.taken.append(best)
        return best


def around(x: float, y: float, w: float, h: float, reaches: Iterable[float]) -> Iterator[Box]:
    """Boxes of one size at a place and round it, nearest first."""
    for reach in reaches:
        steps = 1 if reach == 0 else 12
        for step in range(steps):
            turn = 2 * math.pi * step / steps
            yield Box(x + reach * math.cos(turn), y + reach * math.sin(turn), w, h)


def along(x1: float, y1: float, x2: float, y2: float) -> list[Box]:
    """Small boxes along a line, so that nothing is written across it."""
    steps = max(1, math.ceil(math.hypot(x2 - x1, y2 - y1) / 6))
    return [Box(x1 + (x2 - x1) * n / steps, y1 + (y2 - y1) * n / steps, 6, 6) for n in range(steps + 1)]


def lines_of(words: str, wide: float, letter: float = LETTER) -> list[str]:
    """Words broken into lines that take at most ``wide``; a word that is longer stands alone and sticks out."""
    lines: list[str] = []
    for word in words.split():
        if lines and (len(lines[-1]) + 1 + len(word)) * letter <= wide:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def fits(lines: list[str], wide: float, high: float, leading: float = 15.0) -> bool:
    """Whether lines stand inside a box of that size."""
    return max(map(len, lines)) * LETTER <= wide and len(lines) * leading <= high


def shortened(lines: list[str], most: int) -> list[str]:
    """At most so many lines; what is left out is said by an ellipsis."""
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1] + " \u2026"]
