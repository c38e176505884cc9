"""A tube's base seen from below: pins clockwise from the gap or key, each with its number and its job."""

from __future__ import annotations

import math

from benchlore.drawing.placing import lines_of, shortened
from benchlore.drawing.sheet import Drawn, Sheet, about, area, circle, finished, head, row, size, text
from benchlore.entries.tube import Tube

PLACES = {"noval": (9, 10), "octal": (8, 8), "7-pin miniature": (7, 8), "loctal": (8, 8)}
"""Base to its number of pins and the number of equal steps round the circle; the gap or key is at the foot.

Noval: nine pins at 36 degrees with one place left out; seven-pin miniature: seven at 45 degrees with one left out; octal
and loctal: eight at 45 degrees with the key between 8 and 1 (IEC 60067, from memory)."""

KEYED = ("octal", "loctal")
MIDDLE = (170.0, 128.0)


def pin_turn(base: str, pin: int) -> float:
    """The angle of a pin in radians, clockwise from the foot of the drawing as it is seen from below."""
    pins, steps = PLACES[base]
    first = 0.5 if pins == steps else 1.0
    return 2 * math.pi * (pin - 1 + first) / steps


def pin_place(base: str, pin: int, r: float) -> tuple[float, float]:
    """Where a pin lies on the sheet."""
    turn = pin_turn(base, pin)
    return MIDDLE[0] - r * math.sin(turn), MIDDLE[1] + r * math.cos(turn)


def base_drawing(tube: Tube) -> Drawn | None:
    """The base with its pins, or None for a base that is not drawn."""
    if tube.base not in PLACES:
        return None
    pins, _ = PLACES[tube.base]
    s = Sheet()
    listed = ", ".join(f"{pin} {tube.pins.get(str(pin), 'no pin or not connected')}" for pin in range(1, pins + 1))
    about(s, f"{tube.title}: base seen from below", f"{tube.base}, clockwise from the {_mark(tube.base)}: {listed}.")
    circle(s, "base", *MIDDLE, 84)
    _key(s, tube.base)
    head(s, ["Pin", "Job"])
    for pin in range(1, pins + 1):
        _pin(s, tube, pin)
        row(s, [str(pin), tube.pins.get(str(pin), "")])
    text(s, "key", "middle", 170, 276, f"{tube.base}, from below: where you solder")
    size(s, 288)
    return finished(s)


def _mark(base: str) -> str:
    return "key" if base in KEYED else "gap"


def _key(s: Sheet, base: str) -> None:
    """The key of a keyed base, or the word in the gap."""
    x, y = MIDDLE
    if base in KEYED:
        circle(s, "boss", x, y, 22)
        area(s, "boss", [x - 6, x - 6, x + 6, x + 6], [y + 20, y + 31, y + 31, y + 20])
        text(s, "soft", "middle", x, y + 4.5, "key")
    else:
        text(s, "soft", "middle", x, y + 65, "gap")


def _pin(s: Sheet, tube: Tube, pin: int) -> None:
    job = tube.pins.get(str(pin), "")
    none = job in ("", "nc", "absent")
    x, y = pin_place(tube.base, pin, 60)
    circle(s, "pin-none" if none else "pin", x, y, 12.5)
    text(s, "soft" if none else "pin-number", "middle", x, y + 4.5, str(pin))
    out_x, out_y = pin_place(tube.base, pin, 97)
    sideways = out_x - MIDDLE[0]
    where = "middle" if abs(sideways) < 12 else "start" if sideways > 0 else "end"
    room = 2 * min(out_x, 340 - out_x) if where == "middle" else (340 - out_x if sideways > 0 else out_x)
    lines = shortened(lines_of(job or "\u2013", room - 4), 3)
    top = out_y + 4.5 - 7.5 * (len(lines) - 1)
    if where == "middle":
        top += 4 if out_y > MIDDLE[1] else -3
    for n, words in enumerate(lines):
        text(s, "soft" if none else "figure", where, out_x, top + 15 * n, words)
