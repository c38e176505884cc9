"""The stated idle share is that of the entry's own volts and amps against the tube's limit.

Passes: ``stock_share: 80..95 %`` with 345 V, 38 mA cathode and 2 mA screen current on a tube of 14 W (89 %)
Fails:  ``stock_share: 50..60 %`` with the same readings
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import ask, in_si, known
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

SLACK = 0.05  # readings are rounded, and so is the range


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Families whose stated range leaves out what their own readings give."""
    tube = library.tubes.get(family.idle.tube)
    rating = tube.rating if tube else None
    stated, share = known(family.idle.stock_share), own_share(family, sums)
    if stated is None or share is None or rating is None or rating.plate_dissipation is None:
        return
    if not stated.low * (1 - SLACK) <= share <= stated.high * (1 + SLACK):
        yield Problem(
            family.place("idle.stock_share"),
            "idle.stock_share",
            f'"{stated.text}" is stated, but its own volts and amps give {share:.0%} of {rating.plate_dissipation.text} ({rating.system})',
            "correct the share, or the plate volts, cathode current and screen current beside it",
        )


def own_share(family: Family, sums: Sums) -> float | None:
    """Idle share as the sum ``idle-dissipation`` gives it from the family's readings; None where it cannot be reckoned."""
    idle = family.idle
    cathode, screen = known(idle.cathode_volts), known(idle.screen_current)
    amps = idle.cathode_current.value
    if amps <= 0:
        return None
    lifted = cathode.value if cathode is not None and cathode.value > 0 else 0.1 * amps
    given = {
        "tube": idle.tube,
        "plate_volts": in_si(idle.plate_volts.value, "V"),
        "sense_volts": in_si(lifted, "V"),
        "sense_resistor": in_si(lifted / amps, "ohm"),
        "screen_current": in_si(screen.value if screen else 0.0, "A"),
    }
    found = ask(sums, "idle-dissipation", given, "share")
    return found[0] if found else None
