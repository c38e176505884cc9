"""Plate volts against idle current: the limit, the aim, and where this amp stands.  In the printed subset.

The charts read these values, SI, of one tube: ``limit`` (watts), ``plate_to_cathode``, ``plate_current``, ``low_share`` and
``high_share`` (the aim), ``slope`` (volts by which the plates rise for each ampere less; 0 takes them as fixed) and
``volts_limit`` (published plate volts, or 0).
"""

from __future__ import annotations

from math import sqrt

from benchlore.drawing.cases import Case, one
from benchlore.drawing.scales import ROW, at_x, at_y, axis_x, axis_y, edge, framed, legend, trace, upright
from benchlore.drawing.sheet import Sheet, about, area, circle, curve, head, line, rect, row, said, size, text, uprights


def power_curve(f: list[float], power: float) -> list[list[float]]:
    """Volts and currents at which the plate takes ``power`` watts, from where the curve enters the frame: I = P / V."""
    start = max(f[0], power / f[5])
    volts: list[float] = []
    amps: list[float] = []
    for i in range(41):
        v = start + (f[1] - start) * i / 40
        if v > 0 and start < f[1]:
            volts.append(v)
            amps.append(power / v)
    return [volts, amps]


def idle_at(open_volts: float, slope: float, power: float) -> float:
    """The current at which a plate on a supply of ``open_volts`` that falls by ``slope`` takes ``power``; -1 if none."""
    reach = open_volts * open_volts - 4 * slope * power
    return 2 * power / (open_volts + sqrt(reach)) if reach >= 0 else -1.0


def open_volts_of(o: Case) -> float:
    """The plate volts at no current."""
    return one(o, "plate_to_cathode") + one(o, "slope") * one(o, "plate_current")


def idle_frame(o: Case, most: float) -> list[float]:
    """Scales that hold this amp, its range up to ``most``, the limit near it, and the published volts where they are near."""
    volts = one(o, "plate_to_cathode")
    guard = one(o, "volts_limit")
    widest = max(1.12 * volts, volts + 1.1 * one(o, "slope") * one(o, "plate_current"))
    narrowest = 0.62 * volts
    if guard > widest and guard < 1.4 * volts:
        widest = guard * 1.03
    if guard < narrowest and guard > 0.4 * volts:
        narrowest = guard * 0.95
    return framed(narrowest, widest, 0.0, 1.3 * max(one(o, "limit") / volts, most), 30.0, 220.0)


def idle_chart(s: Sheet, o: Case, least: float, most: float) -> None:
    """The whole chart; ``least`` and ``most`` are the plate currents between which the family is met."""
    idle_words(s, o)
    limit = one(o, "limit")
    f = idle_frame(o, most)
    limit_curve = power_curve(f, limit)
    over_area(s, f, limit_curve[0], limit_curve[1])
    axis_x(s, f, "V", "plate volts, cathode to plate")
    axis_y(s, f, "mA", "plate current of one tube, mA")
    aim_band(s, f, one(o, "low_share") * limit, one(o, "high_share") * limit)
    trace(s, "limit", f, limit_curve[0], limit_curve[1])
    supply_line(s, o, f)
    if one(o, "volts_limit") > 0:
        upright(s, "guard", f, one(o, "volts_limit"))
    edge(s, f)
    idle_window(s, o, f)
    idle_point(s, at_x(f, one(o, "plate_to_cathode")), at_y(f, one(o, "plate_current")), at_y(f, least), at_y(f, most))
    idle_legend(s, o, f, least, most)


def idle_words(s: Sheet, o: Case) -> None:
    """What the chart shows, in a sentence or two."""
    limit = one(o, "limit")
    volts = one(o, "plate_to_cathode")
    current = one(o, "plate_current")
    aim = said(one(o, "low_share"), "%", 3) + " to " + said(one(o, "high_share"), "%", 3)
    here = said(current, "mA", 3) + " at " + said(volts, "V", 4) + ", " + said(volts * current / limit, "%", 3)
    words = "Limit " + said(limit, "W", 4) + ", aim " + aim + " of it. This amp: " + here + "."
    about(s, "Plate volts against idle current", words)


def over_area(s: Sheet, f: list[float], volts: list[float], amps: list[float]) -> None:
    """What lies above the limit."""
    xs: list[float] = []
    ys: list[float] = []
    for i in range(len(volts)):
        xs.append(at_x(f, volts[i]))
        ys.append(at_y(f, amps[i]))
    xs.append(f[3])
    ys.append(f[6])
    area(s, "over", xs, ys)


def aim_band(s: Sheet, f: list[float], low: float, high: float) -> None:
    """The band between two dissipations, hatched so that it is seen without colour."""
    lower = power_curve(f, low)
    upper = power_curve(f, high)
    xs: list[float] = []
    tops: list[float] = []
    feet: list[float] = []
    for i in range(71):
        v = f[0] + (f[1] - f[0]) * i / 70
        if v > 0 and low / v < f[5]:
            xs.append(at_x(f, v))
            tops.append(at_y(f, min(high / v, f[5])))
            feet.append(at_y(f, low / v))
    uprights(s, "hatch", xs, tops, feet)
    trace(s, "aim", f, lower[0], lower[1])
    trace(s, "aim", f, upper[0], upper[1])


def supply_line(s: Sheet, o: Case, f: list[float]) -> None:
    """How the plate volts rise as the current is turned down."""
    slope = one(o, "slope")
    foot = open_volts_of(o)
    left = max(foot - slope * f[5], f[0])
    right = min(foot, f[1])
    if slope > 0 and left < right:
        trace(s, "slope", f, [left, right], [(foot - left) / slope, (foot - right) / slope])


def idle_window(s: Sheet, o: Case, f: list[float]) -> None:
    """The stretch of the supply's own line that lies in the aim."""
    slope = one(o, "slope")
    foot = open_volts_of(o)
    lower = idle_at(foot, slope, one(o, "low_share") * one(o, "limit"))
    upper = idle_at(foot, slope, one(o, "high_share") * one(o, "limit"))
    if lower >= 0 and upper >= 0 and max(lower, upper) <= f[5]:
        xs = [at_x(f, foot - slope * lower), at_x(f, foot - slope * upper)]
        ys = [at_y(f, lower), at_y(f, upper)]
        curve(s, "window", xs, ys)
        for i in range(2):
            line(s, "window-end", xs[i] - 7, ys[i], xs[i] + 7, ys[i])


def idle_point(s: Sheet, x: float, y: float, least: float, most: float) -> None:
    """This amp: a ring with a dot, and how far it ranges in height."""
    if most < least:
        line(s, "range", x, least, x, most)
        line(s, "range", x - 6, least, x + 6, least)
        line(s, "range", x - 6, most, x + 6, most)
    circle(s, "point", x, y, 6.5)
    circle(s, "dot", x, y, 2.5)


def idle_legend(s: Sheet, o: Case, f: list[float], least: float, most: float) -> None:
    """What each mark is, in figures; and the same as a table."""
    limit = one(o, "limit")
    volts = one(o, "plate_to_cathode")
    current = one(o, "plate_current")
    share = said(volts * current / limit, "%", 3)
    head(s, ["", "Plate volts", "Plate current", "Of the limit"])
    row(s, ["Limit at these volts", said(volts, "V", 4), said(limit / volts, "mA", 3), "100 %"])
    row(s, ["This amp", said(volts, "V", 4), said(current, "mA", 3), share])
    y = legend(s, "limit", 276.0, "limit, " + said(limit, "W", 4) + "; shaded above")
    y = aim_legend(s, o, y)
    idle_point(s, 19, y - 4, y, y)
    text(s, "key", "start", 40, y, "this amp: " + said(current, "mA", 3) + " at " + said(volts, "V", 4) + ", " + share)
    y = y + ROW
    if most > least:
        line(s, "range", 19, y - 11, 19, y + 2)
        line(s, "range", 13, y - 11, 25, y - 11)
        line(s, "range", 13, y + 2, 25, y + 2)
        met = said(volts * least / limit, "%", 3) + " to " + said(volts * most / limit, "%", 3)
        text(s, "key", "start", 40, y, "as met: " + met)
        y = y + ROW
    y = window_legend(s, o, y)
    guard = one(o, "volts_limit")
    if guard > 0:
        words = "published plate volts, " + said(guard, "V", 4)
        if guard < f[0] or guard > f[1]:
            words = words + ", off the chart"
        y = legend(s, "guard", y, words)
    size(s, y - 8)


def aim_legend(s: Sheet, o: Case, y: float) -> float:
    """The aim; gives the height of the next line."""
    rect(s, "aim-key", 6, y - 11, 26, 12)
    xs = [8.5, 12.7, 16.9, 21.1, 25.3, 29.5]
    uprights(s, "hatch", xs, [y - 11] * 6, [y + 1] * 6)
    aim = said(one(o, "low_share"), "%", 3) + " to " + said(one(o, "high_share"), "%", 3)
    text(s, "key", "start", 40, y, "aim, " + aim + " of the limit")
    return y + ROW


def window_legend(s: Sheet, o: Case, y: float) -> float:
    """The two currents between which to set it; gives the height of the next line."""
    slope = one(o, "slope")
    foot = open_volts_of(o)
    ends: list[float] = []
    for share in [one(o, "low_share"), one(o, "high_share")]:
        current = idle_at(foot, slope, share * one(o, "limit"))
        if current < 0:
            return y
        ends.append(current)
        row(s, ["Aim", said(foot - slope * current, "V", 4), said(current, "mA", 3), said(share, "%", 3)])
    line(s, "window", 19, y - 11, 19, y + 2)
    line(s, "window-end", 12, y - 11, 26, y - 11)
    line(s, "window-end", 12, y + 2, 26, y + 2)
    text(s, "key", "start", 40, y, "set between " + said(ends[0], "mA", 3) + " and " + said(ends[1], "mA", 3))
    return y + ROW


def idle_window_chart(s: Sheet, o: Case) -> None:
    """The chart of the sum that asks between which currents a tube should idle."""
    idle_chart(s, o, one(o, "plate_current"), one(o, "plate_current"))
