"""Scales, axes and legends of the charts.  Written in the subset that ``javascript.py`` prints; see ``printing.py``.

A frame is a list: least x, most x, left, right, least y, most y, top, bottom; the first two of each in SI, the others on
the sheet.
"""

from __future__ import annotations

from benchlore.drawing.sheet import Sheet, bare, curve, floor, line, rect, text

LEFT = 46.0
RIGHT = 328.0
ROW = 20.0
"""Height of a line of the legend."""


def nice_step(span: float, most: float) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that parts ``span`` into at most ``most`` parts."""
    step = 1e-9
    while span / (step * 10) > most:
        step = step * 10
    for times in [1.0, 2.0, 5.0]:
        if span / (step * times) <= most:
            return step * times
    return step * 10


def framed(x_lo: float, x_hi: float, y_lo: float, y_hi: float, top: float, bottom: float) -> list[float]:
    """A frame whose limits are widened to whole steps."""
    x_step = nice_step(x_hi - x_lo, 5)
    y_step = nice_step(y_hi - y_lo, 5)
    x_lo = floor(x_lo / x_step + 1e-9) * x_step
    x_hi = (-floor(-x_hi / x_step + 1e-9)) * x_step
    y_lo = floor(y_lo / y_step + 1e-9) * y_step
    y_hi = (-floor(-y_hi / y_step + 1e-9)) * y_step
    return [x_lo, x_hi, LEFT, RIGHT, y_lo, y_hi, top, bottom]


def at_x(f: list[float], value: float) -> float:
    """Where a value stands across."""
    return f[2] + (value - f[0]) / (f[1] - f[0]) * (f[3] - f[2])


def at_y(f: list[float], value: float) -> float:
    """Where a value stands in height."""
    return f[7] - (value - f[4]) / (f[5] - f[4]) * (f[7] - f[6])


def axis_x(s: Sheet, f: list[float], unit: str, label: str) -> None:
    """The scale below, its lines through the frame, and what it measures."""
    step = nice_step(f[1] - f[0], 5)
    value = (-floor(-f[0] / step + 1e-9)) * step
    while value <= f[1] + step / 1000:
        x = at_x(f, value)
        line(s, "grid", x, f[6], x, f[7])
        text(s, "tick", "middle", x, f[7] + 16, bare(value, unit, 4))
        value = value + step
    text(s, "axis", "end", f[3], f[7] + 33, label)


def axis_y(s: Sheet, f: list[float], unit: str, label: str) -> None:
    """The scale at the left, its lines through the frame, and what it measures."""
    step = nice_step(f[5] - f[4], 5)
    value = (-floor(-f[4] / step + 1e-9)) * step
    while value <= f[5] + step / 1000:
        y = at_y(f, value)
        line(s, "grid", f[2], y, f[3], y)
        text(s, "tick", "end", f[2] - 5, y + 4, bare(value, unit, 4))
        value = value + step
    text(s, "axis", "start", 4, f[6] - 10, label)


def edge(s: Sheet, f: list[float]) -> None:
    """The frame's own outline."""
    rect(s, "frame", f[2], f[6], f[3] - f[2], f[7] - f[6])


def trace(s: Sheet, look: str, f: list[float], xs: list[float], ys: list[float]) -> None:
    """A curve of values, cut where it leaves the frame above or below."""
    px: list[float] = []
    py: list[float] = []
    for i in range(len(xs)):
        inside = ys[i] <= f[5] and ys[i] >= f[4]
        if i > 0:
            before = ys[i - 1] <= f[5] and ys[i - 1] >= f[4]
            if inside != before:
                end = f[5] if max(ys[i], ys[i - 1]) > f[5] else f[4]
                part = (end - ys[i - 1]) / (ys[i] - ys[i - 1])
                px.append(at_x(f, xs[i - 1] + part * (xs[i] - xs[i - 1])))
                py.append(at_y(f, end))
                if before:
                    curve(s, look, px, py)
                    px = []
                    py = []
        if inside:
            px.append(at_x(f, xs[i]))
            py.append(at_y(f, ys[i]))
    curve(s, look, px, py)


def across(s: Sheet, look: str, f: list[float], value: float) -> None:
    """A line at one value of the left scale, through the frame, where it lies within."""
    if value >= f[4] and value <= f[5]:
        line(s, look, f[2], at_y(f, value), f[3], at_y(f, value))


def upright(s: Sheet, look: str, f: list[float], value: float) -> None:
    """A line at one value of the lower scale, through the frame, where it lies within."""
    if value >= f[0] and value <= f[1]:
        line(s, look, at_x(f, value), f[6], at_x(f, value), f[7])


def legend(s: Sheet, look: str, y: float, words: str) -> float:
    """A line of the legend with a piece of the curve it speaks of; gives the height of the next line."""
    line(s, look, 6, y - 4, 32, y - 4)
    text(s, "key", "start", 40, y, words)
    return y + ROW
