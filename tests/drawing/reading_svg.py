"""Reading a drawing back: its shapes by look, its words with their places, its points as numbers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree import ElementTree as ET

_NUMBER = re.compile(r"-?[0-9.]+")
PLACES = ("x", "y", "x1", "y1", "x2", "y2", "cx", "cy")


def parsed(svg: str) -> ET.Element:
    """The drawing as a tree; whatever is no well-formed XML is refused by the parser of the standard library."""
    return ET.fromstring(svg)


def looks(root: ET.Element, *names: str) -> list[ET.Element]:
    """The shapes with one of these looks, in the order in which they are drawn."""
    wanted = {f"d-{name}" for name in names}
    return [e for e in root.iter() if e.get("class") in wanted]


def words(root: ET.Element, *names: str) -> list[str]:
    """The words with one of these looks, or all words."""
    found = looks(root, *names) if names else [e for e in root.iter() if e.tag == "text"]
    return [e.text or "" for e in found if e.tag == "text"]


def points(element: ET.Element) -> list[tuple[float, float]]:
    """The points of a curve or shape."""
    numbers = [float(n) for n in _NUMBER.findall(element.get("points", ""))]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def coordinates(root: ET.Element) -> Iterator[tuple[float, float, ET.Element]]:
    """Every point that is drawn, with what draws it; of circles and boxes their outermost."""
    for e in root.iter():
        yield from ((x, y, e) for x, y in points(e))
        n = {name: float(e.get(name, "0")) for name in (*PLACES, "r", "width", "height")}
        if e.tag == "line":
            yield from ((n["x1"], n["y1"], e), (n["x2"], n["y2"], e))
        elif e.tag == "circle":
            yield from ((n["cx"] - n["r"], n["cy"] - n["r"], e), (n["cx"] + n["r"], n["cy"] + n["r"], e))
        elif e.tag == "rect":
            yield from ((n["x"], n["y"], e), (n["x"] + n["width"], n["y"] + n["height"], e))
        elif e.tag == "path":
            strokes = re.findall(r"M([0-9.]+),([0-9.]+)V([0-9.]+)", e.get("d", ""))
            yield from ((float(x), float(y), e) for x, top, foot in strokes for y in (top, foot))
        elif e.tag == "text":
            yield n["x"], n["y"], e


def outside(svg: str) -> list[str]:
    """Whatever is drawn off the sheet."""
    root = parsed(svg)
    _, _, wide, high = (float(n) for n in root.get("viewBox", "").split())
    return [ET.tostring(e, "unicode") for x, y, e in coordinates(root) if not (0 <= x <= wide and 0 <= y <= high)]


def linear(pairs: list[tuple[float, float]]) -> tuple[float, float]:
    """Slope and offset through the outermost of (place on the sheet, value)."""
    (x1, v1), (x2, v2) = min(pairs), max(pairs)
    slope = (v2 - v1) / (x2 - x1)
    return slope, v1 - slope * x1
