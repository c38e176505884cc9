"""The built-in speakers are a load that one of the taps serves.

Passes: one 8 ohm speaker on an amp with taps for 4 and 8 ohm
Fails:  two 16 ohm speakers in series on the same amp
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import ask, in_si
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

WIRINGS = {"single": "parallel", "parallel": "parallel", "series": "series", "series-parallel": "strings"}
NEAREST = 0.2


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Families whose own speakers no tap is meant for."""
    found = ask(sums, "cabinets", _given(family), "load", "mismatch")
    if found and abs(found[1] - 1) > NEAREST:
        taps = ", ".join(tap.load.text for tap in family.output.taps)
        message = f"its speakers make {found[0]:.3g} ohm, and no tap serves that (taps: {taps})"
        yield Problem(
            family.place("speaker.ohms"), "speaker.ohms", message, "correct the speakers, their wiring or the taps"
        )


def _given(family: Family) -> dict[str, str]:
    speaker = family.speaker
    if speaker is None:
        return {"wiring": ""}  # no such word: the sum refuses, and there is nothing to say of a head
    half = max(speaker.count // 2, 1)
    return {
        "ohms": "; ".join([in_si(speaker.ohms.value, "ohm")] * speaker.count),
        "rating": "; ".join([in_si(speaker.power.value, "W")] * speaker.count),
        "string": "; ".join(str(1 + index // half) for index in range(speaker.count)),
        "wiring": WIRINGS[speaker.wiring],
        "taps": "; ".join(in_si(tap.load.value, "ohm") for tap in family.output.taps),
    }
