"""With cathode bias, the cathode volts are the tubes' current through the resistor.

Passes: two tubes of 40 mA on a shared 130 ohm, cathodes at 10.4 V
Fails:  the same with cathodes at 20 V
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import known
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

SLACK = 0.12


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Cathode volts that no sharing of the resistor among the tubes explains."""
    idle = family.idle
    volts = known(idle.cathode_volts)
    resistor = next((leg.value.value for leg in idle.network if leg.role == "cathode"), None)
    if idle.arrangement != "cathode" or volts is None or resistor is None:
        return
    drops = [idle.cathode_current.value * sharing * resistor for sharing in range(1, idle.tubes + 1)]
    if not any(abs(drop - volts.value) <= SLACK * volts.value for drop in drops):
        all_of_them = f"{drops[-1]:.3g} V with all {idle.tubes} tubes on it" if idle.tubes > 1 else f"{drops[0]:.3g} V"
        message = f"{volts.text} does not fit {resistor:g} ohm and {idle.cathode_current.text} a tube, which give {all_of_them}"
        yield Problem(
            family.place("idle.cathode_volts"),
            "idle.cathode_volts",
            message,
            "correct the volts, the current or the resistor",
        )
