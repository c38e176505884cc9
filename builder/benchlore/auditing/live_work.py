"""Work with power on says what is live.

Passes: ``{do: Read pin 3, power: on, hazard: high voltage, warning: 420 V on pin 3}``
Fails:  ``{do: Read pin 3, power: on}``
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.entries.common import Entry
from benchlore.entries.family import Family
from benchlore.entries.fault import Fault
from benchlore.entries.procedure import Procedure
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums


def of_procedure(procedure: Procedure, library: Library, sums: Sums) -> Iterator[Problem]:
    """Steps done with power on, or with a hazard named, that lack the words of warning."""
    for index, step in enumerate(procedure.steps):
        if (step.power == "on" or step.hazard) and not (step.hazard and step.warning):
            message = "a step with power on or a hazard needs both hazard and warning"
            yield _said(procedure, f"steps[{index}]", message)


def of_fault(fault: Fault, library: Library, sums: Sums) -> Iterator[Problem]:
    """Checks done with power on that lack a caution."""
    for index, check in enumerate(fault.checks):
        if check.power == "on" and not check.caution:
            yield _said(fault, f"checks[{index}]", "a check with power on needs a caution")


def of_family(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Steps of opening and closing with a hazard and no words on it."""
    for name, steps in (("opening", family.opening), ("closing", family.closing)):
        for index, step in enumerate(steps):
            if step.hazard and not step.warning:
                at = f"{name}[{index}]"
                hint = "add warning: what can hurt, and how to stay clear"
                yield Problem(family.place(at), at, "a hazard without words", hint)


def _said(entry: Entry, at: str, message: str) -> Problem:
    return Problem(entry.place(at), at, message, "say what is live and how high, and how to stay clear")
