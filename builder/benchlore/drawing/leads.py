"""Wires that must lie apart: both ends of each pair, and to scale how far apart they should be."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from benchlore.drawing.chassis import Plain, Plan, outlined
from benchlore.drawing.fasteners import view_name
from benchlore.drawing.placing import Box
from benchlore.drawing.sheet import BOLD, Drawn, about, circle, finished, head, line, rect, row, said, text
from benchlore.entries.family import DressedPair, Family, View
from benchlore.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Pair:
    """A pair of the list: its letter, and how far apart it is drawn (metres) where both ends lie on one view."""

    letter: str
    pair: DressedPair
    drawn: float | None

    @property
    def wanted(self) -> float | None:
        """How far apart they should lie at least, in metres, where that is known."""
        return self.pair.apart.value if isinstance(self.pair.apart, Quantity) else None

    @property
    def too_close(self) -> bool:
        """Whether they are drawn closer than they should lie."""
        return self.drawn is not None and self.wanted is not None and self.drawn < self.wanted

    @property
    def words(self) -> str:
        """The distance in words, as it stands in the drawing."""
        if self.wanted is None:
            return ""
        least = said(self.wanted, "mm", 3)
        if not self.too_close or self.drawn is None:
            return least
        return f"\u2715 {said(self.drawn, 'mm', 2)}, not {least}"


@dataclass(frozen=True, slots=True)
class Leads:
    """A view with pairs, and the list that goes with it."""

    view: View
    drawn: Drawn
    pairs: tuple[Pair, ...]
    landmarks: tuple[tuple[str, str], ...]


def lettered(family: Family) -> dict[str, Pair]:
    """The family's pairs by key, lettered in the order of its list; distances as the entry places them."""
    views = {view.view: view for view in family.views}
    return {
        pair.key: Pair(chr(ord("A") + n % 26), pair, _distance(pair, views)) for n, pair in enumerate(family.lead_dress)
    }


def _distance(pair: DressedPair, views: dict[str, View]) -> float | None:
    if len(pair.ends) != 2 or pair.ends[0].view != pair.ends[1].view or pair.ends[0].view not in views:
        return None
    (a, b), view = pair.ends, views[pair.ends[0].view]
    return math.hypot((a.x - b.x) / 100 * view.width.value, (a.y - b.y) / 100 * view.height.value)


def lead_views(family: Family, plain: Plain) -> tuple[Leads, ...]:
    """Every view of the family on which a pair has an end."""
    pairs = lettered(family)
    made = []
    for view in family.views:
        shown = tuple(p for p in pairs.values() if any(end.view == view.view for end in p.pair.ends))
        if shown:
            made.append(_view(view, plain, shown))
    return tuple(made)


def _view(view: View, plain: Plain, shown: tuple[Pair, ...]) -> Leads:
    plan = outlined(view, plain, [end for p in shown for end in p.pair.ends if end.view == view.view])
    for p in shown:
        _pair(plan, p)
    listed = "; ".join(f"{p.letter} {plain(p.pair.keep)}, away from {plain(p.pair.away_from)}" for p in shown)
    about(plan.sheet, f"{view_name(view)}: wires that must lie apart", f"{listed}.")
    head(plan.sheet, ["Letter", "Keep", "Away from", "At least"])
    for p in shown:
        row(plan.sheet, [p.letter, plain(p.pair.keep), plain(p.pair.away_from), p.words])
    return Leads(view, finished(plan.sheet), shown, plan.landmarks)


def _pair(plan: Plan, p: Pair) -> None:
    """Both ends, the line between them, and a bar as long as they should lie apart."""
    s = plan.sheet
    ends = [plan.at(end) for end in p.pair.ends if end.view == plan.view.view]
    if p.drawn is not None:
        (x1, y1), (x2, y2) = ends
        line(s, "apart", x1, y1, x2, y2)
        if p.wanted is not None:
            _bar(plan, p, p.wanted * plan.metre, p.drawn * plan.metre)
    for end, (x, y) in zip((e for e in p.pair.ends if e.view == plan.view.view), ends, strict=True):
        if end is p.pair.ends[0]:
            circle(s, "end-keep", x, y, 5)
        else:
            rect(s, "end-from", x - 4.5, y - 4.5, 9, 9)
    _tag(plan, p, ends)


def _bar(plan: Plan, p: Pair, long: float, drawn: float) -> None:
    """From the wire that is kept toward the other, as far as it should lie; past it where they are too close."""
    (x1, y1), (x2, y2) = (plan.at(end) for end in p.pair.ends)
    dx, dy = ((x2 - x1) / drawn, (y2 - y1) / drawn) if drawn else (1.0, 0.0)
    end_x, end_y = x1 + dx * long, y1 + dy * long
    line(plan.sheet, "too-close" if p.too_close else "wanted-apart", x1, y1, end_x, end_y)
    if p.too_close:
        line(plan.sheet, "too-close-end", end_x - dy * 7, end_y + dx * 7, end_x + dy * 7, end_y - dx * 7)


def _tag(plan: Plan, p: Pair, ends: list[tuple[float, float]]) -> None:
    """Letter and distance, in a box near the middle of the line."""
    s = plan.sheet
    words = f"{p.letter} {p.words}".strip()
    box = plan.room.place(_near(ends, BOLD * len(words) + 8))
    close = p.too_close
    rect(s, "tag-box-close" if close else "tag-box", box.x - box.w / 2, box.y - 9, box.w, 18)
    text(s, "close-words" if close else "badge-number", "middle", box.x, box.y + 4.5, words)


def _near(ends: list[tuple[float, float]], wide: float) -> Iterator[Box]:
    (x1, y1), (x2, y2) = ends[0], ends[-1]
    for part in (0.5, 0.35, 0.65):
        x, y = x1 + part * (x2 - x1), y1 + part * (y2 - y1)
        for dx, dy in (
            (0.0, -17.0),
            (0.0, 17.0),
            (wide / 2 + 9, 0.0),
            (-wide / 2 - 9, 0.0),
            (wide / 3, -24.0),
            (-wide / 3, 24.0),
        ):
            yield Box(x + dx, y + dy, wide, 20)
    for dy in (-34.0, 34.0, -52.0, 52.0):
        for dx in (0.0, wide / 2, -wide / 2):
            yield Box((x1 + x2) / 2 + dx, (y1 + y2) / 2 + dy, wide, 20)
