"""Tube bases: pins in their places and with their jobs."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from benchlore.drawing.base import MIDDLE, PLACES, base_drawing, pin_place, pin_turn
from benchlore.linking.library import Library
from drawing.reading_svg import looks, outside, parsed

PUBLISHED = {
    "el84": (
        "noval",
        {1: "ic", 2: "g1", 3: "k+g3", 4: "h", 5: "h", 6: "ic", 7: "a", 8: "ic", 9: "g2"},
    ),  # Philips EL84, 1955
    "6l6gc": ("octal", {2: "h", 3: "a", 4: "g2", 5: "g1", 7: "h", 8: "k+bp"}),  # after General Electric, 1973
    "kt66": ("octal", {2: "h", 3: "a", 4: "g2", 5: "g1", 7: "h", 8: "k+bp"}),  # after Radio Valve Data, 8th ed., 1966
    "el34": (
        "octal",
        {1: "g3", 2: "h", 3: "a", 4: "g2", 5: "g1", 7: "h", 8: "k"},
    ),  # KiCad symbol library, pin 8 from memory
    "6550": ("octal", {2: "h", 3: "a", 4: "g2", 5: "g1", 7: "h", 8: "k+bp"}),  # General Electric 6550A, from memory
    "12ax7": (
        "noval",
        {1: "a2", 2: "g2", 3: "k2", 4: "h", 5: "h", 6: "a1", 7: "g1", 8: "k1", 9: "hct"},
    ),  # a reference page, read
    "ef86": ("noval", {1: "g2", 3: "k", 4: "h", 5: "h", 6: "a", 7: "s", 8: "g3", 9: "g1"}),  # KiCad symbol library
    "ez80": ("noval", {1: "a2", 3: "k", 4: "h", 5: "h", 7: "a1"}),  # Mazda EZ80 sheet
    "5y3gt": ("octal", {2: "f", 4: "a1", 6: "a2", 8: "f"}),  # a reference page, read
    "6sn7gt": (
        "octal",
        {1: "g2", 2: "a2", 3: "k2", 4: "g1", 5: "a1", 6: "k1", 7: "h", 8: "h"},
    ),  # a maker's sheet, read
}
"""Pins as published, each with where they were read."""


def jobs_drawn(svg: str) -> dict[int, str]:
    """The words nearest to each numbered pin, on its own ray from the middle."""
    root = parsed(svg)
    pins = {
        int(e.text or ""): (float(e.get("x", "")), float(e.get("y", "")))
        for e in looks(root, "pin-number", "soft")
        if (e.text or "").isdigit()
    }
    found: dict[int, list[str]] = {pin: [] for pin in pins}
    for e in looks(root, "figure", "soft"):
        if (e.text or "").isdigit() or e.text in ("gap", "key"):
            continue
        x, y = float(e.get("x", "")), float(e.get("y", ""))
        turn = math.atan2(x - MIDDLE[0], y - MIDDLE[1])
        nearest = min(
            pins,
            key=lambda p: abs(
                math.remainder(turn - math.atan2(pins[p][0] - MIDDLE[0], pins[p][1] - MIDDLE[1]), math.tau)
            ),
        )
        found[nearest].append(e.text or "")
    return {pin: " ".join(lines) for pin, lines in found.items()}


@pytest.mark.parametrize("id", sorted(PUBLISHED))
def test_jobs_stand_at_their_pins(whole_library: Library, id: str) -> None:
    """Each published job stands beside its own pin."""
    base, jobs = PUBLISHED[id]
    tube = whole_library.tubes[id]
    drawn = base_drawing(tube)
    assert drawn is not None and tube.base == base
    read = jobs_drawn(drawn.svg)
    assert {pin: read[pin] for pin in jobs} == jobs


@pytest.mark.parametrize("base", sorted(PLACES))
def test_pins_run_clockwise(base: str) -> None:
    """Seen from below, pins run clockwise from the gap or key at the foot: noval 36°, seven-pin and octal 45° apart
    (IEC 60067, from memory); pin 1 is just left of the foot, the last just right of it."""
    pins, steps = PLACES[base]
    turns = [pin_turn(base, pin) for pin in range(1, pins + 1)]
    assert [b - a for a, b in pairwise(turns)] == pytest.approx([math.tau / steps] * (pins - 1))
    first, last = pin_place(base, 1, 60), pin_place(base, pins, 60)
    assert first[0] < MIDDLE[0] < last[0]
    assert first[1] == pytest.approx(last[1]) and first[1] > MIDDLE[1]
    second = pin_place(base, 2, 60)
    assert second[0] < first[0] and second[1] < first[1]  # left and up from the foot is clockwise on a clock's face
    assert math.degrees(math.tau / steps) == {"noval": 36, "octal": 45, "7-pin miniature": 45, "loctal": 45}[base]


def test_all_bases_of_the_book(whole_library: Library) -> None:
    """Every tube with a known base is drawn within its sheet; one with another base is left to its table."""
    for tube in whole_library.tubes.values():
        drawn = base_drawing(tube)
        assert (drawn is not None) == (tube.base in PLACES)
        assert drawn is None or outside(drawn.svg) == []
    assert base_drawing(replace(next(iter(whole_library.tubes.values())), base="4-pin")) is None
