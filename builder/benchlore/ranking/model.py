"""The model as plain numbers: what the terminal reckons with, and what is exported to the job sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from benchlore.entries.fault import Check, Fault
from benchlore.linking.library import Library
from benchlore.ranking import scales
from benchlore.ranking.counts import OTHER
from benchlore.ranking.prior import FamilyPrior, Priors

LEVELS = {"outside": 0, "chassis out": 1, "live": 2}


@dataclass(frozen=True)
class ModelCheck:
    """A check as numbers.  ``finds`` maps fault to the chance that the check fails when that fault is there."""

    id: str
    fault: str
    minutes: float
    level: int
    power: str
    specificity: float
    finds: Mapping[str, float]
    after: tuple[str, ...]


@dataclass(frozen=True)
class Model:
    """Priors, symptom chances and checks of a library."""

    library: Library

    @cached_property
    def priors(self) -> Priors:
        """Priors of all families."""
        return Priors(self.library)

    @cached_property
    def shows(self) -> Mapping[str, Mapping[str, float]]:
        """``shows[fault][symptom]``: posterior mean of a Beta-binomial, for every symptom the entry lists or a finding had."""
        counts = self.priors.counts
        table = {}
        for fault in self.library.faults.values():
            declared = {s.symptom: scales.SHOWS[s.how_often] for s in fault.shows}
            present, absent = counts.present.get(fault.id, {}), counts.absent.get(fault.id, {})
            table[fault.id] = {
                symptom: (scales.SHOWS_WORTH * declared.get(symptom, scales.UNLISTED) + present.get(symptom, 0))
                / (scales.SHOWS_WORTH + present.get(symptom, 0) + absent.get(symptom, 0))
                for symptom in sorted({*declared, *present, *absent})
            }
        return table

    @cached_property
    def usual(self) -> Mapping[str, float]:
        """How often each symptom is met over all faults alike: its chance when the cause is not in the book."""
        faults = [f.id for f in self.library.faults.values() if not f.while_open]
        return {
            symptom: sum(self.shows[f].get(symptom, scales.UNLISTED) for f in faults) / max(len(faults), 1)
            for symptom in self.library.symptoms
        }

    def chance(self, fault: str, symptom: str) -> float:
        """Chance that the symptom is there when the fault is."""
        return self.usual[symptom] if fault == OTHER else self.shows[fault].get(symptom, scales.UNLISTED)

    @cached_property
    def checks(self) -> Mapping[str, ModelCheck]:
        """Every check of every fault, by ``fault/key``."""
        return {f"{f.id}/{c.key}": _check(f, c) for f in self.library.faults.values() for c in f.checks}

    @cached_property
    def setup_minutes(self) -> tuple[float, float, float]:
        """Minutes to reach each set-up from the one before, from the procedures where they are in the book."""
        safe, opening = (self.library.procedures.get(id) for id in ("making-safe", "opening-chassis"))
        out = float(safe.minutes + opening.minutes) if safe and opening else scales.SETUP_MINUTES[1]
        return (0.0, out, scales.SETUP_MINUTES[2])

    def prior(self, family: str | None, stages: tuple[str, ...] = ()) -> FamilyPrior:
        """Candidates and their prior."""
        return self.priors.of(family, stages)

    def checks_for(self, candidates: Sequence[str]) -> list[ModelCheck]:
        """Checks whose own fault is a candidate, in order of id."""
        return [check for check in self.checks.values() if check.fault in set(candidates)]


def _check(fault: Fault, check: Check) -> ModelCheck:
    own = check.sensitivity.value if check.sensitivity else scales.SENSITIVITY
    finds = {fault.id: own} | {s.fault: s.sensitivity.value if s.sensitivity else own for s in check.speaks_to}
    level = LEVELS[check.setup]
    before = {f"{fault.id}/{key}" for key in check.after}
    if level == 2:  # nothing is run live before it has been looked over cold
        before |= {
            f"{fault.id}/{other.key}" for other in fault.checks if LEVELS[other.setup] < 2 and other.power != "on"
        }
    specificity = check.specificity.value if check.specificity else scales.SPECIFICITY
    return ModelCheck(
        f"{fault.id}/{check.key}",
        fault.id,
        float(check.minutes),
        level,
        check.power,
        specificity,
        finds,
        tuple(sorted(before)),
    )


def export(model: Model) -> dict[str, Any]:
    """The numbers the job sheet needs: faults and symptoms by index, priors by family, chances, checks.

    The browser multiplies these with the functions printed from ``core``; it states nothing of the model itself.
    """
    library = model.library
    faults = [f.id for f in library.faults.values() if not f.while_open]
    symptoms = list(library.symptoms)
    at = {name: index for index, name in enumerate(faults)}
    sign = {name: index for index, name in enumerate(symptoms)}
    check_at = {id: index for index, id in enumerate(model.checks)}

    def prior(family: str | None) -> list[list[float]]:
        made = model.prior(family)
        return [[at.get(name, -1), p] for name, p in zip(made.candidates, made.probability, strict=True)]

    return {
        "faults": faults,
        "symptoms": symptoms,
        "unlisted": scales.UNLISTED,
        "usual": [model.usual[s] for s in symptoms],
        "shows": [[[sign[s], p] for s, p in model.shows[f].items()] for f in faults],
        "setup": list(model.setup_minutes),
        "prior": {"": prior(None)} | {family: prior(family) for family in library.families},
        "stages": {s.id: [at[k.fault] for k in s.faults if k.fault in at] for s in library.stages.values()},
        "anywhere": [at[f] for f in faults if library.faults[f].anywhere],
        "checks": [
            [
                c.id,
                at.get(c.fault, -1),
                c.minutes,
                c.level,
                c.specificity,
                [[at[f], p] for f, p in c.finds.items() if f in at],
                [check_at[a] for a in c.after],
            ]
            for c in model.checks.values()
        ],
    }
