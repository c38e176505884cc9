"""A family's supply as a chain: node under node as they feed each other, with droppers, volts and allowed spread."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchlore.drawing.chassis import Plain
from benchlore.drawing.placing import lines_of, shortened
from benchlore.drawing.sheet import Drawn, Sheet, about, area, finished, head, line, rect, row, said, size, text
from benchlore.drawing.volts import volts_axis, volts_band, volts_frame
from benchlore.entries.family import Family, Node
from benchlore.quantity import Quantity

LANE = 24.0


@dataclass(frozen=True, slots=True)
class Link:
    """A node in the order in which it is drawn: its lane, and the node above that feeds it."""

    node: Node
    lane: int
    parent: Node | None


def spread_of(node: Node) -> tuple[float, float]:
    """The least and most volts that are still good."""
    low, high = node.volts.low, node.volts.high
    off = node.spread.value
    return low - abs(low) * off, high + abs(high) * off


def chained(nodes: Sequence[Node]) -> list[Link]:
    """Nodes so that each stands below what feeds it; a second child of one node goes into a lane of its own."""
    children: dict[str | None, list[Node]] = {}
    names = {node.node for node in nodes}
    for node in nodes:
        children.setdefault(node.fed_from if node.fed_from in names else None, []).append(node)
    links: list[Link] = []

    def walk(node: Node, lane: int, parent: Node | None) -> None:
        links.append(Link(node, lane, parent))
        for n, child in enumerate(children.get(node.node, ())):
            if child not in [link.node for link in links]:
                walk(child, lane + n, node)

    for root in children.get(None, ()):
        walk(root, 0, None)
    met = {link.node.node for link in links}
    return [*links, *(Link(node, 0, None) for node in nodes if node.node not in met)]


def supply_chain(family: Family, plain: Plain) -> Drawn:
    """The family's supply chart."""
    s, links = Sheet(), chained(family.supply)
    left = 42 + LANE * max(link.lane for link in links)
    spreads = {link.node.node: spread_of(link.node) for link in links}
    f = volts_frame([low for low, _ in spreads.values()], [high for _, high in spreads.values()], left)
    places, y = {}, 6.0
    words = {link.node.node: _title(link, plain, left) for link in links}
    for link in links:
        y += 27 if link.parent is not None else 10
        places[link.node.node] = y + 18
        y += 36 + 15 * len(words[link.node.node])
    volts_axis(s, f, 8, y)
    for link in links:
        _joined(s, link, places, left)
    for link in links:
        _node(s, link, places[link.node.node], words[link.node.node], f)
    _table(s, family, plain)
    _legend(s, y + 58)
    return finished(s)


def _title(link: Link, plain: Plain, left: float) -> list[str]:
    volts = f"{said(link.node.volts.value, 'V', 4)}"
    return shortened(lines_of(plain(link.node.title), 320 - left - 8 * len(volts), 6.6), 2)


def _x(lane: int) -> float:
    return 18 + LANE * lane


def _node(s: Sheet, link: Link, y: float, words: list[str], f: list[float]) -> None:
    """The node's box, what it feeds, its volts and their band."""
    node, x = link.node, _x(link.lane)
    wide = max(22.0, 8.0 * len(node.node) + 8)
    rect(s, "node", x - 11, y - 11, wide, 22)
    text(s, "node-name", "middle", x - 11 + wide / 2, y + 4.5, node.node)
    start = max(f[2], x - 11 + wide + 6)
    for n, words_of in enumerate(words):
        text(s, "key", "start", start + 4, y - 2 + 15 * n, words_of)
    text(s, "figure", "end", f[3], y - 2, said(node.volts.value, "V", 4))
    low, high = spread_of(node)
    volts_band(s, f, y + 15 * len(words) + 2, low, node.volts.value, high)


def _joined(s: Sheet, link: Link, places: dict[str, float], left: float) -> None:
    """The line from the feeding node, with a resistor on it where there is one; from above for the first of a chain."""
    x, y = _x(link.lane), places[link.node.node]
    if link.parent is None:
        line(s, "chain", x, y - 22, x, y - 11)
        area(s, "flow-head", [x - 4.5, x + 4.5, x], [y - 20, y - 20, y - 12])
        return
    above = places[link.parent.node]
    if x == 18 or link.lane == 0:
        line(s, "chain", x, above + 11, x, y - 11)
    else:
        line(s, "chain", x - LANE, above + 22, x, above + 22)
        line(s, "chain", x, above + 22, x, y - 11)
    if link.node.through is None:
        return
    middle = y - 28
    _resistor(s, x, middle)
    through = said(link.node.through.value, "ohm", 4) if isinstance(link.node.through, Quantity) else "not known"
    if isinstance(link.node.through, Quantity):
        through = _ohms(link.node.through)
    rating = f", {said(link.node.through_rating.value, 'W', 3)}" if link.node.through_rating else ""
    text(s, "tag", "start", max(x + 12, left + 4), middle + 4.5, through + rating)


def _ohms(quantity: Quantity) -> str:
    value = quantity.value
    return said(value, "Mohm" if value >= 1e6 else "kohm" if value >= 1e3 else "ohm", 4)


def _resistor(s: Sheet, x: float, y: float) -> None:
    """A resistor as a box on the line (IEC 60617, from memory)."""
    rect(s, "node", x - 5, y - 10, 10, 20)


def _table(s: Sheet, family: Family, plain: Plain) -> None:
    head(s, ["Node", "Feeds", "Expect", "Good from", "to"])
    said_of = []
    for node in family.supply:
        low, high = spread_of(node)
        volts = said(node.volts.value, "V", 4)
        row(s, [node.node, plain(node.title), volts, said(low, "V", 3), said(high, "V", 3)])
        said_of.append(f"{node.node} {volts}" + (f" from {node.fed_from}" if node.fed_from else ""))
    about(s, "Supply, node by node", "; ".join(said_of) + ".")


def _legend(s: Sheet, y: float) -> None:
    rect(s, "band", 6, y - 11, 26, 14)
    line(s, "expected", 19, y - 14, 19, y + 6)
    text(s, "key", "start", 40, y, "expected, and how far it may be off")
    size(s, y + 14)
