"""Volts on one scale: expected, how far they may be off, and what was found.  In the printed subset."""

from __future__ import annotations

from benchlore.drawing.cases import Case, many
from benchlore.drawing.scales import nice_step
from benchlore.drawing.sheet import Sheet, about, area, bare, count, head, line, rect, row, said, size, text


def volts_frame(lows: list[float], highs: list[float], left: float) -> list[float]:
    """A scale that holds nought and all of them: least, most, left, right."""
    least = min(0.0, min(lows))
    most = max(0.0, max(highs))
    room = max(most - least, 1.0) * 0.02
    return [least - room if least < 0 else 0.0, most + room, left, 332.0]


def on_volts(f: list[float], value: float) -> float:
    """Where a value stands; what lies outside stands at the end."""
    inside = min(max(value, f[0]), f[1])
    return f[2] + (inside - f[0]) / (f[1] - f[0]) * (f[3] - f[2])


def volts_axis(s: Sheet, f: list[float], top: float, bottom: float) -> None:
    """Lines down through all rows, with their volts below."""
    step = nice_step(f[1] - f[0], 5)
    value = 0.0
    while value - step >= f[0]:
        value = value - step
    while value <= f[1]:
        x = on_volts(f, value)
        line(s, "zero" if abs(value) < step / 1000 else "grid", x, top, x, bottom)
        text(s, "tick", "middle", max(x, 12), bottom + 16, bare(value, "V", 4))
        value = value + step
    text(s, "axis", "end", f[3], bottom + 33, "volts against chassis")


def volts_band(s: Sheet, f: list[float], y: float, low: float, expected: float, high: float) -> None:
    """The allowed spread as a band, what is expected as a line across it."""
    zero = on_volts(f, 0.0)
    line(s, "stem", zero, y, on_volts(f, expected), y)
    left = on_volts(f, low)
    rect(s, "band", left, y - 7, max(on_volts(f, high) - left, 2.0), 14)
    line(s, "expected", on_volts(f, expected), y - 10, on_volts(f, expected), y + 10)


def volts_found(s: Sheet, f: list[float], y: float, value: float, good: bool) -> None:
    """What was found: a diamond within the spread, a cross outside it."""
    x = on_volts(f, value)
    if good:
        area(s, "found-good", [x, x + 6, x, x - 6], [y - 6, y, y + 6, y])
    else:
        line(s, "found-bad", x - 6, y - 6, x + 6, y + 6)
        line(s, "found-bad", x - 6, y + 6, x + 6, y - 6)


def volts_chart(s: Sheet, o: Case) -> None:
    """The chart of the sum that scales a supply to today's mains: a row for each node."""
    expected = many(o, "expected")
    low = many(o, "low")
    high = many(o, "high")
    found = many(o, "found")
    share = many(o, "difference")
    f = volts_frame([min(min(low), min(found))], [max(max(high), max(found))], 16.0)
    outside = 0
    bottom = 26.0 + 44.0 * len(expected)
    volts_axis(s, f, 26.0, bottom)
    head(s, ["Row", "Expected today", "Least", "Most", "Found", "Found over expected"])
    for i in range(len(expected)):
        y = 26.0 + 44.0 * i
        good = found[i] >= low[i] and found[i] <= high[i]
        if not good:
            outside = outside + 1
        volts_band(s, f, y + 31, low[i], expected[i], high[i])
        volts_found(s, f, y + 31, found[i], good)
        text(s, "row", "start", 6, y + 14, "Row " + count(i + 1) + ": expect " + said(expected[i], "V", 3))
        verdict = "found " + said(found[i], "V", 4) if good else "found " + said(found[i], "V", 4) + ": outside"
        text(s, "row-good" if good else "row-bad", "end", 332, y + 14, verdict)
        cells = [count(i + 1), said(expected[i], "V", 4), said(low[i], "V", 4), said(high[i], "V", 4)]
        cells.append(said(found[i], "V", 4))
        cells.append(said(share[i], "%", 3))
        row(s, cells)
    said_of = "No node lies" if outside == 0 else count(outside) + (" node lies" if outside == 1 else " nodes lie")
    about(s, "Supply at today's mains", said_of + " outside its allowed spread.")
    volts_legend(s, bottom + 58)


def volts_legend(s: Sheet, y: float) -> None:
    """What the marks are."""
    rect(s, "band", 6, y - 11, 26, 14)
    line(s, "expected", 19, y - 14, 19, y + 6)
    text(s, "key", "start", 40, y, "expected, and how far it may be off")
    area(s, "found-good", [19, 25, 19, 13], [y + 10, y + 16, y + 22, y + 16])
    text(s, "key", "start", 40, y + 20, "found, within")
    line(s, "found-bad", 153, y + 10, 165, y + 22)
    line(s, "found-bad", 153, y + 22, 165, y + 10)
    text(s, "key", "start", 174, y + 20, "found, outside")
    size(s, y + 32)
