"""A sheet to draw on: plain shapes and words to SVG.

The same few functions stand in ``assets/js/sheet.js``, so that a chart written once (``charts.py``) is drawn alike when
the site is built and when a technician types.  A look is a class of ``drawings.css``; no shape carries a colour.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from xml.etree import ElementTree as ET

from benchlore import quantity

WIDE = 340.0
"""Width of every sheet in its own units; one unit is one pixel on the narrowest telephone."""
LETTER = 7.4
BOLD = 9.2
"""Room that one letter takes in the widest of the usual faces, at the size of 13 units: plain, and bold."""


@dataclass(slots=True)
class Sheet:
    """A drawing in the making: its size, its elements, and the rows of the table that says the same in figures."""

    title: str = ""
    words: str = ""
    wide: float = WIDE
    high: float = WIDE
    body: list[ET.Element] = field(default_factory=list)
    head: list[str] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A finished drawing: SVG markup, what it shows in words, and its figures as a table (the first row is the head)."""

    svg: str
    words: str
    head: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


def finished(s: Sheet) -> Drawn:
    """The sheet as markup; its title and words are for those who listen."""
    root = ET.Element(
        "svg", {"class": "sheet-svg", "viewBox": f"0 0 {coordinate(s.wide)} {coordinate(s.high)}", "role": "img"}
    )
    for name, text in (("title", s.title), ("desc", s.words)):
        ET.SubElement(root, name).text = text
    root.extend(s.body)
    return Drawn(ET.tostring(root, encoding="unicode"), s.words, tuple(s.head), tuple(map(tuple, s.rows)))


def size(s: Sheet, high: float) -> None:
    """How high the sheet is; it is always ``WIDE`` wide."""
    s.high = high


def about(s: Sheet, title: str, words: str) -> None:
    """What the drawing is, and what it shows, in words."""
    s.title = title
    s.words = words


def head(s: Sheet, cells: Sequence[str]) -> None:
    """The head of the table that says the same."""
    s.head = list(cells)


def row(s: Sheet, cells: Sequence[str]) -> None:
    """A row of that table."""
    s.rows.append(list(cells))


def line(s: Sheet, look: str, x1: float, y1: float, x2: float, y2: float) -> None:
    """A straight line."""
    _add(s, "line", look, {"x1": x1, "y1": y1, "x2": x2, "y2": y2})


def rect(s: Sheet, look: str, x: float, y: float, w: float, h: float) -> None:
    """A box, from its upper left corner."""
    _add(s, "rect", look, {"x": x, "y": y, "width": max(w, 0.0), "height": max(h, 0.0)})


def circle(s: Sheet, look: str, x: float, y: float, r: float) -> None:
    """A circle, round its middle."""
    _add(s, "circle", look, {"cx": x, "cy": y, "r": r})


def curve(s: Sheet, look: str, xs: Sequence[float], ys: Sequence[float]) -> None:
    """A line through points; one point or none draws nothing."""
    if len(xs) > 1:
        _add(s, "polyline", look, {}, points=_points(xs, ys))


def uprights(s: Sheet, look: str, xs: Sequence[float], tops: Sequence[float], feet: Sequence[float]) -> None:
    """Upright strokes side by side, as one shape: a hatch."""
    strokes = (f"M{coordinate(x)},{coordinate(a)}V{coordinate(b)}" for x, a, b in zip(xs, tops, feet, strict=True))
    _add(s, "path", look, {}).set("d", "".join(strokes))


def area(s: Sheet, look: str, xs: Sequence[float], ys: Sequence[float]) -> None:
    """A closed shape."""
    if len(xs) > 2:
        _add(s, "polygon", look, {}, points=_points(xs, ys))


def text(s: Sheet, look: str, where: str, x: float, y: float, words: str) -> None:
    """One line of words; ``where`` is the end of it that stands at x: start, middle or end."""
    element = _add(s, "text", look, {"x": x, "y": y})
    element.set("text-anchor", where)
    element.text = words


def coordinate(value: float) -> str:
    """A coordinate to a tenth of a unit, written the same in both languages."""
    return f"{math.floor(value * 10 + 0.5) / 10:g}"


def said(value: float, unit: str, digits: int) -> str:
    """An SI value in a unit, with a true minus sign."""
    return quantity.shown(value, unit, digits).replace("-", "\u2212")


def bare(value: float, unit: str, digits: int) -> str:
    """The number alone of an SI value in a unit."""
    return quantity.rounded(quantity.in_unit(value, unit), digits).replace("-", "\u2212")


def count(value: float) -> str:
    """A whole number."""
    return str(int(value))


def letters(words: str) -> float:
    """Room that a line of words takes, on the safe side."""
    return len(words) * LETTER


def floor(value: float) -> float:
    """The whole number at or below."""
    return float(math.floor(value))


def cos(turn: float) -> float:
    """The cosine of an angle in radians."""
    return math.cos(turn)


def sin(turn: float) -> float:
    """The sine of an angle in radians."""
    return math.sin(turn)


def _points(xs: Sequence[float], ys: Sequence[float]) -> str:
    return " ".join(f"{coordinate(x)},{coordinate(y)}" for x, y in zip(xs, ys, strict=True))


def _add(s: Sheet, tag: str, look: str, numbers: Mapping[str, float], points: str = "") -> ET.Element:
    element = ET.Element(tag, {"class": f"d-{look}", **{name: coordinate(value) for name, value in numbers.items()}})
    if points:
        element.set("points", points)
    s.body.append(element)
    return element
