"""Idle share, plate and screen volts against the resistor that goes into a bias network.  In the printed subset."""

from __future__ import annotations

from math import log

from benchlore.drawing.cases import Case, answered, one, swept
from benchlore.drawing.scales import across, at_x, at_y, axis_y, edge, framed, legend, trace
from benchlore.drawing.sheet import Sheet, about, area, bare, circle, head, line, row, said, size, text

TWELVE = [1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2]


def twelve_between(least: float, most: float) -> list[float]:
    """The values of the E12 series (IEC 60063) from ``least`` to ``most`` ohms."""
    found: list[float] = []
    ten = 1.0
    while ten <= most:
        for step in TWELVE:
            if step * ten >= least and step * ten <= most:
                found.append(step * ten)
        ten = ten * 10
    return found


def bias_chart(s: Sheet, o: Case) -> None:
    """What each resistor of the E12 series in that place would do."""
    leg = one(o, "old_leg")
    tried = swept(o, "added", twelve_between(max(leg / 6, 10.0), min(leg * 40, 1e7)), "ohm")
    runs = [run for run in tried if answered(run)]
    ohms = [log(one(run, "added")) for run in runs]
    if len(ohms) < 2:
        about(s, "Idle share against the resistor", "No resistor in this place gives an answer.")
        size(s, 40)
        text(s, "key", "start", 6, 24, "No resistor in this place gives an answer.")
        return
    shares = [one(run, "share_after") for run in runs]
    plates = [one(run, "plate_after") for run in runs]
    screens = [one(run, "screen_after") for run in runs]
    screen = said(one(o, "screen_after"), "V", 4)
    words = "With " + said(one(o, "added"), "kohm", 3) + " the idle goes from " + said(one(o, "share_before"), "%", 3)
    words = words + " to " + said(one(o, "share_after"), "%", 3) + " of the limit"
    about(
        s,
        "Idle share, plate and screen volts against the resistor that goes in",
        words + ", the plates to " + said(one(o, "plate_after"), "V", 4) + " and the screens to " + screen + ".",
    )
    share_panel(s, o, ohms, shares)
    volts_panel(s, o, ohms, plates, screens)
    bias_legend(s, o)
    bias_table(s, runs)


def on_log(ohms: list[float], f: list[float]) -> list[float]:
    """The frame with the resistors' own ends, which are logarithms and are not widened to whole steps."""
    return [ohms[0], ohms[len(ohms) - 1], f[2], f[3], f[4], f[5], f[6], f[7]]


def ohm_axis(s: Sheet, f: list[float], labelled: bool) -> None:
    """Lines at 1, 2 and 5 times each power of ten."""
    ten = 1.0
    while log(ten) <= f[1]:
        for times in [1.0, 2.0, 5.0]:
            value = log(ten * times)
            if value >= f[0] - 1e-9 and value <= f[1] + 1e-9:
                x = at_x(f, value)
                line(s, "grid", x, f[6], x, f[7])
                if labelled:
                    text(s, "tick", "middle", x, f[7] + 16, bare(ten * times, "kohm", 3))
        ten = ten * 10
    if labelled:
        text(s, "axis", "end", f[3], f[7] + 33, "resistor that goes in, k\u03a9")


def share_panel(s: Sheet, o: Case, ohms: list[float], shares: list[float]) -> None:
    """Idle share against the resistor, with the limit, the share before and the share wanted."""
    before = one(o, "share_before")
    highest = max(1.1, 1.05 * before, min(max(shares), 2.0))
    f = on_log(ohms, framed(0.0, 1.0, 0.0, highest, 30.0, 170.0))
    area(s, "over", [f[2], f[2], f[3], f[3]], [at_y(f, 1.0), f[6], f[6], at_y(f, 1.0)])
    ohm_axis(s, f, False)
    axis_y(s, f, "%", "idle share, % of the limit")
    across(s, "limit", f, 1.0)
    across(s, "before", f, before)
    across(s, "wanted", f, one(o, "wanted_share"))
    edge(s, f)
    trace(s, "trace", f, ohms, shares)
    for i in range(len(ohms)):
        if shares[i] <= f[5]:
            circle(s, "bead", at_x(f, ohms[i]), at_y(f, shares[i]), 1.8)
    bias_now(s, o, f, [one(o, "share_after")])
    nearest = one(o, "nearest")
    if nearest > 0 and log(nearest) >= f[0] and log(nearest) <= f[1]:
        x = at_x(f, log(nearest))
        area(s, "near", [x, x - 6, x + 6], [f[7] - 1, f[7] - 12, f[7] - 12])


def volts_panel(s: Sheet, o: Case, ohms: list[float], plates: list[float], screens: list[float]) -> None:
    """Plate and screen volts against the resistor, each with its published limit where that lies near."""
    now = [one(o, "plate_volts"), one(o, "screen_volts")]
    limits = [one(o, "plate_limit"), one(o, "screen_limit")]
    least = min(now[0], now[1], min(plates), min(screens))
    most = max(now[0], now[1], max(plates), max(screens))
    for limit in limits:
        if limit > 0.75 * least and limit < 1.25 * most:
            least = min(least, limit)
            most = max(most, limit)
    f = on_log(ohms, framed(0.0, 1.0, least - 8, most + 8, 200.0, 300.0))
    ohm_axis(s, f, True)
    axis_y(s, f, "V", "plate and screen volts after")
    across(s, "guard", f, limits[0])
    across(s, "guard-screen", f, limits[1])
    edge(s, f)
    trace(s, "trace", f, ohms, plates)
    trace(s, "screen", f, ohms, screens)
    bias_now(s, o, f, [one(o, "plate_after"), one(o, "screen_after")])


def bias_now(s: Sheet, o: Case, f: list[float], heights: list[float]) -> None:
    """The resistor that is typed in: an upright line, and a ring on each curve."""
    x_value = log(one(o, "added"))
    if x_value < f[0] or x_value > f[1]:
        return
    x = at_x(f, x_value)
    line(s, "now", x, f[6], x, f[7])
    for height in heights:
        if height <= f[5] and height >= f[4]:
            circle(s, "point", x, at_y(f, height), 6)
            circle(s, "dot", x, at_y(f, height), 2.5)


def bias_legend(s: Sheet, o: Case) -> None:
    """What each line is, in figures."""
    y = 356.0
    circle(s, "point", 19, y - 4, 6)
    circle(s, "dot", 19, y - 4, 2.5)
    text(
        s,
        "key",
        "start",
        40,
        y,
        said(one(o, "added"), "kohm", 3) + ": " + said(one(o, "share_after"), "%", 3) + " of the limit",
    )
    y = legend(s, "before", y + 20, "as it is now, " + said(one(o, "share_before"), "%", 3))
    y = legend(s, "wanted", y, "wanted, " + said(one(o, "wanted_share"), "%", 3))
    nearest = one(o, "nearest")
    if nearest > 0:
        area(s, "near", [19, 13, 25], [y, y - 11, y - 11])
        text(s, "key", "start", 40, y, "nearest E24 value for that, " + said(nearest, "kohm", 3))
        y = y + 20
    y = legend(s, "trace", y, "share above; plate volts below")
    y = legend(s, "screen", y, "screen volts")
    y = legend(s, "guard", y, "published plate volts, " + said(one(o, "plate_limit"), "V", 4))
    y = legend(s, "guard-screen", y, "published screen volts, " + said(one(o, "screen_limit"), "V", 4))
    size(s, y - 8)


def bias_table(s: Sheet, runs: list[Case]) -> None:
    """Every second value of the series, in figures."""
    head(s, ["Resistor", "Idle share", "Plate", "Screen"])
    for i in range(len(runs)):
        if (i & 1) == 0:
            run = runs[i]
            cells = [said(one(run, "added"), "kohm", 3), said(one(run, "share_after"), "%", 3)]
            cells.append(said(one(run, "plate_after"), "V", 4))
            cells.append(said(one(run, "screen_after"), "V", 4))
            row(s, cells)
