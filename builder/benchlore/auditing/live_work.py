"""Work with power on says what is live.

Passes: ``{do: Read pin 3, power: on, hazard: high voltage, warning: 420 V on pin 3}``
Fails:  ``{do: Read pin 3, power: on}``
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.linking.library import Library
from benchlore.problem import Problem


def check(library: Library) -> Iterator[Problem]:
    """Steps and checks done with power on, or with a hazard named, that lack the words of warning."""
    for procedure in library.procedures.values():
        for index, step in enumerate(procedure.steps):
            if (step.power == "on" or step.hazard) and not (step.hazard and step.warning):
                at = f"steps[{index}]"
                yield Problem(
                    procedure.place(at),
                    at,
                    "a step with power on or a hazard needs both hazard and warning",
                    "say what is live and how high, and how to stay clear",
                )
    for fault in library.faults.values():
        for index, check_ in enumerate(fault.checks):
            if check_.power == "on" and not check_.caution:
                at = f"checks[{index}]"
                yield Problem(
                    fault.place(at),
                    at,
                    "a check with power on needs a caution",
                    "say what is live and how high, and how to stay clear",
                )
    for family in library.families.values():
        for name, steps in (("opening", family.opening), ("closing", family.closing)):
            for index, open_step in enumerate(steps):
                if open_step.hazard and not open_step.warning:
                    at = f"{name}[{index}]"
                    yield Problem(
                        family.place(at),
                        at,
                        "a hazard without words",
                        "add warning: what can hurt, and how to stay clear",
                    )
