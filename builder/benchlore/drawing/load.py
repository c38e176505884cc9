"""A triode stage: the law's curves, the load line, and where the two meet.  In the printed subset."""

from __future__ import annotations

from benchlore.drawing.cases import Case, many, one
from benchlore.drawing.scales import at_x, at_y, axis_x, axis_y, edge, framed, legend, trace
from benchlore.drawing.sheet import Sheet, about, area, circle, head, line, row, said, size, text


def load_chart(s: Sheet, o: Case) -> None:
    """Plate current against plate volts, both from the cathode."""
    supply = one(o, "supply")
    short = one(o, "short_current")
    current = one(o, "plate_current")
    volts = one(o, "plate_volts") - one(o, "cathode_volts")
    ends = "The load line from " + said(supply, "V", 4) + " to " + said(short, "mA", 3)
    about(
        s,
        "Load line of the stage",
        ends + " meets the tube at " + said(current, "mA", 3) + " and " + said(volts, "V", 4) + " from the cathode.",
    )
    f = framed(0.0, supply, 0.0, 1.1 * short, 30.0, 230.0)
    axis_x(s, f, "V", "plate volts, from the cathode")
    axis_y(s, f, "mA", "plate current, mA")
    xs = many(o, "curve_volts")
    curves = [many(o, "curve_0"), many(o, "curve_1"), many(o, "curve_2"), many(o, "curve_3"), many(o, "curve_4")]
    for i in range(5):
        trace(s, "trace" if i == 2 else "other", f, xs, curves[i])
    trace(s, "load", f, [0.0, supply], [short, 0.0])
    edge(s, f)
    bias = one(o, "cathode_volts")
    for i in range(5):
        curve_name(s, f, xs, curves[i], said(-bias * i / 2, "V", 2))
    found_point(s, o, f)
    line(s, "now", at_x(f, volts), at_y(f, current), at_x(f, volts), f[7])
    line(s, "now", f[2], at_y(f, current), at_x(f, volts), at_y(f, current))
    circle(s, "point", at_x(f, volts), at_y(f, current), 6.5)
    circle(s, "dot", at_x(f, volts), at_y(f, current), 2.5)
    load_legend(s, o, volts)
    load_table(s, o, volts)


def curve_name(s: Sheet, f: list[float], xs: list[float], ys: list[float], words: str) -> None:
    """The grid volts of a curve, where it leaves the frame: at the top, or inside its right edge."""
    last = len(xs) - 1
    if ys[last] > f[5]:
        i = 0
        while ys[i] <= f[5]:
            i = i + 1
        before = ys[i - 1] if i > 0 else 0.0
        start = xs[i - 1] if i > 0 else 0.0
        x = at_x(f, start + (f[5] - before) / (ys[i] - before) * (xs[i] - start))
        text(s, "tag", "middle", x, f[6] + 12, words)
    elif at_y(f, ys[last]) < f[7] - 8:
        y = at_y(f, ys[last])
        text(s, "tag", "end", f[3] - 3, y + 15 if y + 18 < f[7] else y - 5, words)


def found_point(s: Sheet, o: Case, f: list[float]) -> None:
    """Where the plate volts found would lie on the load line: a diamond."""
    current = (one(o, "supply") - one(o, "found")) / one(o, "plate_resistor")
    volts = one(o, "found") - current * one(o, "cathode_resistor")
    if current >= 0 and current <= f[5] and volts >= 0 and volts <= f[1]:
        diamond(s, at_x(f, volts), at_y(f, current))


def diamond(s: Sheet, x: float, y: float) -> None:
    """A hollow diamond."""
    area(s, "found", [x, x + 7, x, x - 7], [y - 7, y, y + 7, y])


def load_legend(s: Sheet, o: Case, volts: float) -> None:
    """What each line is, in figures."""
    y = 284.0
    circle(s, "point", 19, y - 4, 6.5)
    circle(s, "dot", 19, y - 4, 2.5)
    words = said(one(o, "plate_current"), "mA", 3) + ", plate " + said(one(o, "plate_volts"), "V", 4) + " to chassis"
    text(s, "key", "start", 40, y, "expected: " + words)
    y = y + 20
    diamond(s, 19, y - 4)
    text(s, "key", "start", 40, y, "found: plate " + said(one(o, "found"), "V", 4) + " to chassis")
    y = legend(s, "load", y + 20, "load line, supply to short circuit")
    y = legend(s, "trace", y, "tube at its own " + said(-one(o, "cathode_volts"), "V", 3) + " of bias")
    y = legend(s, "other", y, "tube at the grid volts written on it")
    size(s, y - 8)


def load_table(s: Sheet, o: Case, volts: float) -> None:
    """The ends of the load line and the working point."""
    head(s, ["", "Plate volts, from the cathode", "Plate current"])
    row(s, ["Load line, no current", said(one(o, "supply"), "V", 4), said(0.0, "mA", 3)])
    row(s, ["Load line, tube shorted", said(0.0, "V", 4), said(one(o, "short_current"), "mA", 3)])
    row(s, ["Working point", said(volts, "V", 4), said(one(o, "plate_current"), "mA", 3)])
