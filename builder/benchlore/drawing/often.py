"""How often something was found: a bar for the share, and the interval in which the true share probably lies."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from benchlore.drawing.placing import lines_of, shortened
from benchlore.drawing.sheet import Drawn, Sheet, about, finished, head, line, rect, row, said, size, text

TRUST = 0.95
LEFT, RIGHT = 8.0, 332.0


@dataclass(frozen=True, slots=True)
class Share:
    """``found`` of ``jobs``, with the interval of Wilson (1927) for the true share."""

    name: str
    found: int
    jobs: int

    @property
    def value(self) -> float:
        """The share itself."""
        return self.found / self.jobs

    @property
    def interval(self) -> tuple[float, float]:
        """Between which shares the true one lies in 95 of 100 such cases."""
        return wilson(self.found, self.jobs)


def wilson(found: int, jobs: int) -> tuple[float, float]:
    """Wilson's score interval at 95 %: honest for few jobs, never below nought or above one."""
    z = NormalDist().inv_cdf((1 + TRUST) / 2)
    share, z2 = found / jobs, z * z
    middle = (share + z2 / (2 * jobs)) / (1 + z2 / jobs)
    half = z / (1 + z2 / jobs) * math.sqrt(share * (1 - share) / jobs + z2 / (4 * jobs * jobs))
    return max(0.0, middle - half), min(1.0, middle + half)


def how_often(title: str, shares: Iterable[Share], most: int = 12) -> Drawn | None:
    """Bars, surest first: ordered by the lower end of the interval, so that one find in one job does not lead."""
    ordered = sorted(shares, key=lambda x: (-round(x.interval[0], 9), -x.found, x.name))
    if not ordered:
        return None
    s, y = Sheet(), 4.0
    top = _top(max(x.interval[1] for x in ordered[:most]))
    head(s, ["", "Found in", "Share", "Probably between"])
    for share in ordered[:most]:
        y = _bar(s, share, y, top)
        low, high = share.interval
        probably = f"{said(low, '%', 2)} and {said(high, '%', 2)}"
        row(s, [share.name, f"{share.found} of {share.jobs}", said(share.value, "%", 2), probably])
    for part in range(5):
        x = _x(top * part / 4, top)
        line(s, "zero" if part == 0 else "grid", x, y + 2, x, y + 8)
        where = "start" if part == 0 else "end" if part == 4 else "middle"
        text(s, "tick", where, x, y + 23, said(top * part / 4, "%", 3))
    text(s, "axis", "start", LEFT, y + 44, "of the jobs; the whisker is the 95 % interval")
    size(s, y + 54)
    best = ordered[0]
    about(s, title, f"{best.name}: {best.found} of {best.jobs} jobs. The table says the rest.")
    return finished(s)


def _top(most: float) -> float:
    """The end of the scale: a quarter, a half or the whole."""
    return next(top for top in (0.2, 0.4, 0.6, 0.8, 1.0) if most <= top + 1e-9)


def _x(share: float, top: float) -> float:
    return LEFT + share / top * (RIGHT - LEFT)


def _bar(s: Sheet, share: Share, y: float, top: float) -> float:
    count = f"{share.found} of {share.jobs}"
    lines = shortened(lines_of(share.name, 316 - 7.5 * len(count), 6.8), 2)
    for n, words in enumerate(lines):
        text(s, "key", "start", LEFT, y + 14 + 15 * n, words)
    text(s, "figure", "end", RIGHT, y + 14, count)
    y += 15 * len(lines) + 8
    rect(s, "often-rest", LEFT, y, RIGHT - LEFT, 10)
    rect(s, "often", LEFT, y, _x(share.value, top) - LEFT, 10)
    low, high = (_x(end, top) for end in share.interval)
    line(s, "interval", low, y + 5, high, y + 5)
    for x in (low, high):
        line(s, "interval", x, y, x, y + 10)
    return y + 18
