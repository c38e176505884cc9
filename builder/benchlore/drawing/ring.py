"""The order in which a ring of fasteners is drawn up.  In the printed subset."""

from __future__ import annotations

from math import sqrt

from benchlore.drawing.cases import Case, many
from benchlore.drawing.sheet import Sheet, about, area, circle, cos, count, head, line, row, said, sin, size, text

PI = 3.141592653589793


def ring_x(place: float, n: float, r: float) -> float:
    """Across: places are counted from the top, clockwise."""
    return 170 + r * sin(2 * PI * (place - 1) / n)


def ring_y(place: float, n: float, r: float) -> float:
    """In height."""
    return 168 - r * cos(2 * PI * (place - 1) / n)


def ring_chart(s: Sheet, order: list[float], torques: list[float], turns: list[float]) -> None:
    """Fasteners round a ring: outside each its place, inside each its turn in the order; below, the rounds."""
    n = len(order)
    listed = count(order[0])
    for i in range(1, n):
        listed = listed + ", " + count(order[i])
    about(s, "Order for " + count(n) + " fasteners", "Counted clockwise from the top, tighten place " + listed + ".")
    r = 116.0
    knob = max(10.5, min(19.0, 0.8 * PI * r / n))
    circle(s, "ring", 170, 168, r)
    for i in range(n - 1):
        step_line(s, order[i], order[i + 1], n, r, knob)
    for i in range(n):
        x = ring_x(order[i], n, r)
        y = ring_y(order[i], n, r)
        circle(s, "first" if i == 0 else "knob", x, y, knob)
        text(s, "first-number" if i == 0 else "number", "middle", x, y + 4.5, count(i + 1))
        text(
            s,
            "tick",
            "middle",
            ring_x(order[i], n, r + knob + 11),
            ring_y(order[i], n, r + knob + 11) + 4.5,
            count(order[i]),
        )
    head(s, ["Turn", "Place, clockwise from the top"])
    for i in range(n):
        row(s, [count(i + 1), count(order[i])])
    ring_rounds(s, torques, turns)


def step_line(s: Sheet, here: float, there: float, n: float, r: float, knob: float) -> None:
    """The way from one fastener to the next, with a head that says which way."""
    x1 = ring_x(here, n, r)
    y1 = ring_y(here, n, r)
    x2 = ring_x(there, n, r)
    y2 = ring_y(there, n, r)
    long = sqrt((x2 - x1) * (x2 - x1) + (y2 - y1) * (y2 - y1))
    dx = (x2 - x1) / long
    dy = (y2 - y1) / long
    end_x = x2 - dx * (knob + 2)
    end_y = y2 - dy * (knob + 2)
    line(s, "way", x1 + dx * knob, y1 + dy * knob, end_x, end_y)
    back_x = end_x - dx * 8
    back_y = end_y - dy * 8
    area(s, "way-head", [end_x, back_x - dy * 3.5, back_x + dy * 3.5], [end_y, back_y + dx * 3.5, back_y - dx * 3.5])


def ring_rounds(s: Sheet, torques: list[float], turns: list[float]) -> None:
    """What the numbers are, and how far in each round."""
    text(s, "key", "middle", 170, 342, "Inside: first, second \u2026; outside: the place")
    text(s, "key", "middle", 170, 366, "All finger-tight, then in this order")
    y = 386.0
    for i in range(len(torques)):
        words = "Round " + count(i + 1) + ": to " + said(torques[i], "N m", 2) + ", or " + said(turns[i], "deg", 3)
        text(s, "key", "middle", 170, y, words + " past finger-tight")
        y = y + 20
    size(s, y - 10)


def ring_case(s: Sheet, o: Case) -> None:
    """The ring of the sum that gives the order."""
    ring_chart(s, many(o, "order"), many(o, "round_torque"), many(o, "round_turn"))
