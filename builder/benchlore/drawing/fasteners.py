"""Where what works loose is fastened: the numbers of the list, each at its places."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.drawing.chassis import Plain, Plan, outlined
from benchlore.drawing.placing import around
from benchlore.drawing.sheet import Drawn, about, circle, finished, head, line, rect, row, text
from benchlore.entries.family import Family, Hardware, Spot, View

OFTEN = ("nearly every one", "common")


@dataclass(frozen=True, slots=True)
class Numbered:
    """A place of the list beside a drawing: its number, which of the family's hardware it is, and how it is drawn."""

    number: int
    item: Hardware
    often: bool
    earth: bool


@dataclass(frozen=True, slots=True)
class Places:
    """A view with numbered places, and the list that goes with it."""

    view: View
    drawn: Drawn
    items: tuple[Numbered, ...]
    landmarks: tuple[tuple[str, str], ...]


def numbered(family: Family) -> dict[str, Numbered]:
    """The family's hardware by key, numbered in the order of its list."""
    return {
        item.key: Numbered(n, item, item.found_loose in OFTEN, bool(item.earth))
        for n, item in enumerate(family.hardware, 1)
    }


def fastener_views(family: Family, plain: Plain) -> tuple[Places, ...]:
    """Every view of the family on which something is fastened."""
    numbers = numbered(family)
    made = []
    for view in family.views:
        here = [(n, [s for s in n.item.spots if s.view == view.view]) for n in numbers.values()]
        shown = [(n, spots) for n, spots in here if spots]
        if shown:
            made.append(_view(view, plain, shown))
    return tuple(made)


def _view(view: View, plain: Plain, shown: list[tuple[Numbered, list[Spot]]]) -> Places:
    plan = outlined(view, plain, [spot for _, spots in shown for spot in spots])
    for n, spots in shown:
        for spot in spots:
            _badge(plan, n, spot)
    listed = "; ".join(f"{n.number} {plain(n.item.what)}" for n, _ in shown)
    about(plan.sheet, f"{view_name(view)}: where things are fastened", f"{listed}.")
    head(plan.sheet, ["Number", "What", "Places"])
    for n, spots in shown:
        row(plan.sheet, [str(n.number), plain(n.item.what), str(len(spots))])
    return Places(view, finished(plan.sheet), tuple(n for n, _ in shown), plan.landmarks)


def view_name(view: View) -> str:
    """``chassis-inside`` as a heading: ``Chassis, inside``."""
    first, _, rest = view.view.partition("-")
    return f"{first.capitalize()}, {rest}" if rest else first.capitalize()


def _badge(plan: Plan, n: Numbered, spot: Spot) -> None:
    """The number at its place, or beside it with a line to it where there is no room."""
    s, (x, y) = plan.sheet, plan.at(spot)
    own = next(box for box in plan.room.taken if (box.x, box.y, box.w) == (x, y, 10))
    plan.room.taken.remove(own)
    box = plan.room.place(around(x, y, 19, 19, (0, 15, 21, 28, 36)), joined=(x, y))
    if (box.x, box.y) != (x, y):
        line(s, "leader", x, y, box.x, box.y)
        circle(s, "spot", x, y, 3)
        plan.room.taken.append(own)
    look = "badge-often" if n.often else "badge"
    if n.earth:
        rect(s, look, box.x - 8.5, box.y - 8.5, 17, 17)
        rect(s, "badge-rim", box.x - 11, box.y - 11, 22, 22)
    else:
        circle(s, look, box.x, box.y, 8.5)
    text(s, "badge-number-often" if n.often else "badge-number", "middle", box.x, box.y + 4.5, str(n.number))
