"""Plate volts against idle current: the limit, the aim, and where this amp stands.  In the printed subset."""

from __future__ import annotations

from math import sqrt

from benchlore.drawing.cases import Case, one
from benchlore.drawing.scales import (
    ROW,
    at_x,
    at_y,
    axis_x,
    axis_y,
    edge,
    framed,
    legend,
    trace,
    upright,
)
from benchlore.drawing.sheet import Sheet, about, area, circle, curve, head, line, rect, row, said, size, text


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
    for i in range(71):
        v = f[0] + (f[1] - f[0]) * i / 70
        if v > 0 and low / v < f[5]:
            line(s, "hatch", at_x(f, v), at_y(f, low / v), at_x(f, v), at_y(f, min(high / v, f[5])))
    trace(s, "aim", f, lower[0], lower[1])
    trace(s, "aim", f, upper[0], upper[1])


def supply_line(s: Sheet, f: list[float], volts: float, current: float, slope: float) -> None:
    """How the plate volts rise as the current is turned down."""
    top = volts - slope * (f[5] - current)
    foot = volts + slope * current
    left = max(top, f[0])
    right = min(foot, f[1])
    if slope > 0 and left < right:
        trace(s, "slope", f, [left, right], [current + (volts - left) / slope, current + (volts - right) / slope])


def idle_chart(
    s: Sheet,
    limit: float,
    volts: float,
    current: float,
    least: float,
    most: float,
    aim_low: float,
    aim_high: float,
    slope: float,
    volts_limit: float,
) -> None:
    """Limit, aim and this amp: plate current ``current`` at ``volts`` (between ``least`` and ``most`` as met).

    ``slope`` is by how much the plate rises for each ampere less of one tube (0 takes the volts as fixed); ``volts_limit``
    is the published plate volts, or 0.
    """
    share = volts * current / limit
    limits = (
        "Limit " + said(limit, "W", 4) + ", aim " + said(aim_low, "%", 3) + " to " + said(aim_high, "%", 3) + " of it."
    )
    about(
        s,
        "Plate volts against idle current",
        limits
        + " This amp: "
        + said(current, "mA", 3)
        + " at "
        + said(volts, "V", 4)
        + ", "
        + said(share, "%", 3)
        + ".",
    )
    widest = max(1.12 * volts, volts + 1.1 * slope * current)
    if volts_limit > widest and volts_limit < 1.4 * volts:
        widest = volts_limit * 1.03
    narrowest = 0.62 * volts
    if volts_limit > 0.4 * volts and volts_limit < narrowest:
        narrowest = volts_limit * 0.95
    f = framed(narrowest, widest, 0.0, 1.3 * max(limit / volts, most), 30.0, 220.0)
    edge_of = power_curve(f, limit)
    over_area(s, f, edge_of[0], edge_of[1])
    axis_x(s, f, "V", "plate volts, cathode to plate")
    axis_y(s, f, "mA", "plate current of one tube, mA")
    aim_band(s, f, aim_low * limit, aim_high * limit)
    trace(s, "limit", f, edge_of[0], edge_of[1])
    supply_line(s, f, volts, current, slope)
    if volts_limit > 0:
        upright(s, "guard", f, volts_limit)
    edge(s, f)
    idle_window(s, f, volts + slope * current, slope, aim_low * limit, aim_high * limit)
    idle_point(s, f, volts, current, least, most)
    idle_legend(s, limit, volts, current, least, most, aim_low, aim_high, slope, volts_limit)


def idle_window(s: Sheet, f: list[float], open_volts: float, slope: float, low: float, high: float) -> None:
    """The stretch of the supply's own line that lies in the aim."""
    lower = idle_at(open_volts, slope, low)
    upper = idle_at(open_volts, slope, high)
    if lower >= 0 and upper >= 0 and upper <= f[5]:
        xs = [at_x(f, open_volts - slope * lower), at_x(f, open_volts - slope * upper)]
        ys = [at_y(f, lower), at_y(f, upper)]
        curve(s, "window", xs, ys)
        for i in range(2):
            line(s, "window-end", xs[i] - 7, ys[i], xs[i] + 7, ys[i])


def idle_point(s: Sheet, f: list[float], volts: float, current: float, least: float, most: float) -> None:
    """This amp: a ring with a dot, and how far it ranges."""
    x = at_x(f, volts)
    if most > least:
        line(s, "range", x, at_y(f, least), x, at_y(f, most))
        line(s, "range", x - 6, at_y(f, least), x + 6, at_y(f, least))
        line(s, "range", x - 6, at_y(f, most), x + 6, at_y(f, most))
    circle(s, "point", x, at_y(f, current), 6.5)
    circle(s, "dot", x, at_y(f, current), 2.5)


def idle_legend(
    s: Sheet,
    limit: float,
    volts: float,
    current: float,
    least: float,
    most: float,
    aim_low: float,
    aim_high: float,
    slope: float,
    volts_limit: float,
) -> None:
    """What each mark is, in figures; and the same as a table."""
    head(s, ["", "Plate volts", "Plate current", "Of the limit"])
    y = 276.0
    y = legend(s, "limit", y, "limit, " + said(limit, "W", 4) + "; shaded above")
    row(s, ["Limit at these volts", said(volts, "V", 4), said(limit / volts, "mA", 3), "100 %"])
    rect(s, "aim-key", 6, y - 11, 26, 12)
    for i in range(6):
        line(s, "hatch", 8.5 + 4.2 * i, y - 11, 8.5 + 4.2 * i, y + 1)
    text(s, "key", "start", 40, y, "aim, " + said(aim_low, "%", 3) + " to " + said(aim_high, "%", 3) + " of the limit")
    y = y + ROW
    circle(s, "point", 19, y - 4, 6.5)
    circle(s, "dot", 19, y - 4, 2.5)
    here = said(current, "mA", 3) + " at " + said(volts, "V", 4) + ", " + said(volts * current / limit, "%", 3)
    text(s, "key", "start", 40, y, "this amp: " + here)
    row(s, ["This amp", said(volts, "V", 4), said(current, "mA", 3), said(volts * current / limit, "%", 3)])
    y = y + ROW
    if most > least:
        line(s, "range", 19, y - 11, 19, y + 2)
        line(s, "range", 13, y - 11, 25, y - 11)
        line(s, "range", 13, y + 2, 25, y + 2)
        low_share = said(volts * least / limit, "%", 3)
        text(s, "key", "start", 40, y, "as met: " + low_share + " to " + said(volts * most / limit, "%", 3))
        y = y + ROW
    y = window_legend(s, y, limit, volts + slope * current, slope, aim_low, aim_high)
    if volts_limit > 0:
        y = legend(s, "guard", y, "published plate volts, " + said(volts_limit, "V", 4))
    size(s, y - 8)


def window_legend(
    s: Sheet, y: float, limit: float, open_volts: float, slope: float, aim_low: float, aim_high: float
) -> float:
    """The two currents between which to set it; gives the height of the next line."""
    lower = idle_at(open_volts, slope, aim_low * limit)
    upper = idle_at(open_volts, slope, aim_high * limit)
    if lower < 0 or upper < 0:
        return y
    for end in [[lower, aim_low], [upper, aim_high]]:
        row(s, ["Aim", said(open_volts - slope * end[0], "V", 4), said(end[0], "mA", 3), said(end[1], "%", 3)])
    line(s, "window", 19, y - 11, 19, y + 2)
    line(s, "window-end", 12, y - 11, 26, y - 11)
    line(s, "window-end", 12, y + 2, 26, y + 2)
    words = "set between " + said(lower, "mA", 3) + " and " + said(upper, "mA", 3)
    text(s, "key", "start", 40, y, words)
    return y + ROW


def idle_window_chart(s: Sheet, o: Case) -> None:
    """The chart of the sum that asks between which currents a tube should idle."""
    current = one(o, "plate_current")
    idle_chart(
        s,
        one(o, "limit"),
        one(o, "plate_to_cathode"),
        current,
        current,
        current,
        one(o, "low_share"),
        one(o, "high_share"),
        one(o, "slope"),
        one(o, "volts_limit"),
    )
