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
    ways = [p.pair.ends for p in shown if p.drawn is not None]
    plan = outlined(view, plain, [end for p in shown for end in p.pair.ends if end.view == view.view], ways)
    tags = [(p, _pair(plan, p)) for p in shown]
    for p, ends in tags:  # above every line
        _tag(plan, p, ends)
    listed = "; ".join(f"{p.letter} {plain(p.pair.keep)}, away from {plain(p.pair.away_from)}" for p in shown)
    about(plan.sheet, f"{view_name(view)}: wires that must lie apart", f"{listed}.")
    head(plan.sheet, ["Letter", "Keep", "Away from", "At least"])
    for p in shown:
        row(plan.sheet, [p.letter, plain(p.pair.keep), plain(p.pair.away_from), p.words])
    return Leads(view, finished(plan.sheet), shown, plan.landmarks)


def _pair(plan: Plan, p: Pair) -> list[tuple[float, float]]:
    """Both ends, the line between them, and a bar as long as they should lie apart; gives back where the ends are."""
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
    return ends


def _bar(plan: Plan, p: Pair, long: float, drawn: float) -> None:
    """From the wire that is kept toward the other, as far as it should lie; past it where they are too close."""
    (x1, y1), (x2, y2) = (plan.at(end) for end in p.pair.ends)
    dx, dy = ((x2 - x1) / drawn, (y2 - y1) / drawn) if drawn else (1.0, 0.0)
    end_x, end_y = x1 + dx * long, y1 + dy * long
    line(plan.sheet, "too-close" if p.too_close else "wanted-apart", x1, y1, end_x, end_y)
    if p.too_close:
        line(plan.sheet, "too-close-end", end_x - dy * 7, end_y + dx * 7, end_x + dy * 7, end_y - dx * 7)


def _tag(plan: Plan, p: Pair, ends: list[tuple[float, float]]) -> None:
    """The letter of the list beside the line; where they are too close, also how close."""
    s, close = plan.sheet, p.too_close
    words = f"{p.letter} {p.words}" if close else p.letter
    wide = max(18.0, BOLD * len(words) + 8)
    box = plan.room.place(_near(ends, wide))
    x, y = _closest(ends, box)
    if math.hypot(x - box.x, y - box.y) > wide / 2 + 14:
        line(s, "leader", box.x, box.y, x, y)
    rect(s, "tag-box-close" if close else "tag-box", box.x - box.w / 2, box.y - 9, box.w, 18)
    text(s, "close-words" if close else "badge-number", "middle", box.x, box.y + 4.5, words)


def _near(ends: list[tuple[float, float]], wide: float) -> Iterator[Box]:
    """Room for a tag on either side of the line, along its length, nearest its middle first; then further off."""
    (x1, y1), (x2, y2) = ends[0], ends[-1]
    long = math.hypot(x2 - x1, y2 - y1)
    dx, dy = ((x2 - x1) / long, (y2 - y1) / long) if long else (1.0, 0.0)
    for off in (14.0, 20.0, 28.0, 38.0, 50.0):
        reach = off + abs(dy) * (wide / 2 - 9)
        for part in (0.5, 0.4, 0.6, 0.28, 0.72, 0.16, 0.84, 0.0, 1.0):
            for side in (1.0, -1.0):
                x, y = x1 + part * (x2 - x1), y1 + part * (y2 - y1)
                yield Box(x + side * dy * reach, y - side * dx * reach, wide, 18)


def _closest(ends: list[tuple[float, float]], box: Box) -> tuple[float, float]:
    """The point of the line that lies nearest to the tag."""
    (x1, y1), (x2, y2) = ends[0], ends[-1]
    square = (x2 - x1) ** 2 + (y2 - y1) ** 2
    part = ((box.x - x1) * (x2 - x1) + (box.y - y1) * (y2 - y1)) / square if square else 0.0
    part = min(max(part, 0.0), 1.0)
    return x1 + part * (x2 - x1), y1 + part * (y2 - y1)
