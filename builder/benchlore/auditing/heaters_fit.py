"""The heaters together do not ask more of a winding than it is rated for.

Passes: two 6V6GT and five double triodes (2.4 A) on a winding of 3.5 A
Fails:  the same tubes on a winding of 2 A
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import ask, in_si
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

NEAR = 0.15  # a heater of 6.3 V hangs on a winding marked 6.0 to 7.0 V


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Families whose tubes ask more of the heater winding than it is rated for."""
    winding = family.mains.heater_winding
    amps = heater_currents(family, library)
    if winding is None or not amps:
        return
    given = {
        "amps": "; ".join(in_si(a, "A") for a in amps),
        "number": "; ".join(str(n) for n in amps.values()),
        "winding": in_si(winding.value, "A"),
    }
    found = ask(sums, "heater-budget", given, "total", "use")
    if found and found[1] > 1.0 + 1e-9:
        at = "mains.heater_winding"
        message = f"the tubes on it draw {found[0]:.2f} A, more than its {winding.text}"
        yield Problem(family.place(at), at, message, "correct the winding or the tubes by socket")


def heater_currents(family: Family, library: Library) -> dict[float, int]:
    """How many heaters of each current, in amperes, hang on the heater winding (not those of another voltage)."""
    volts = family.mains.heater_volts.value if family.mains.heater_volts else 6.3
    amps: dict[float, int] = {}
    for socket in family.tubes:
        tube = library.tubes.get(socket.type)
        fitting = [h for h in tube.heater if abs(h.volts.value - volts) <= NEAR * volts] if tube else []
        if fitting:
            current = fitting[0].amps.value
            amps[current] = amps.get(current, 0) + 1
    return dict(sorted(amps.items()))
