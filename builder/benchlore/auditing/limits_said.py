"""An amp that runs its output tubes over a published volts limit says so.

Passes: plates at 420 V on a tube of 350 V, with a ``note`` in the idle block
Fails:  the same without one
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import known
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Plate and screen volts (to cathode) above the limit by which the bench judges, without a word on it."""
    tube = library.tubes.get(family.idle.tube)
    rating = tube.rating if tube else None
    if tube is None or rating is None or family.idle.note:
        return
    cathode = known(family.idle.cathode_volts)
    lifted = cathode.value if cathode else 0.0
    for name, volts, limit in (
        ("plate_volts", family.idle.plate_volts, rating.plate_volts),
        ("screen_volts", known(family.idle.screen_volts), rating.screen_volts),
    ):
        if volts is not None and limit is not None and volts.low - lifted > limit.value * (1 + 1e-9):
            at = f"idle.{name}"
            message = f"{volts.text} is over the {limit.text} of the {tube.title} ({rating.system})"
            yield Problem(
                family.place(at), at, message, "correct it, or say in idle.note that this amp runs its tubes so"
            )
