"""The model as plain numbers: what the terminal reckons with, and what is exported to the job sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from benchlore.entries.fault import Check, Fault
from benchlore.linking.library import Library
from benchlore.ranking import evidence, scales
from benchlore.ranking.counts import OTHER, added
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
                if symptom in self.library.symptoms  # one may be retired
            }
        return table

    @cached_property
    def usual(self) -> Mapping[str, float]:
        """How often each symptom is met over all faults alike: its chance when the cause is not in the book."""
        faults = [f.id for f in self.library.faults.values() if not f.while_open]
        return {
            symptom: added(self.shows[f].get(symptom, scales.UNLISTED) for f in faults) / max(len(faults), 1)
            for symptom in self.library.symptoms
        }

    @cached_property
    def suspects(self) -> tuple[str, ...]:
        """Every fault that can be a suspect, in order of id: their places are the numbers of the export."""
        return tuple(f.id for f in self.library.faults.values() if not f.while_open)

    @cached_property
    def places(self) -> Mapping[str, int]:
        """Place of each suspect in ``suspects``."""
        return {name: index for index, name in enumerate(self.suspects)}

    @cached_property
    def signs(self) -> Mapping[str, int]:
        """Place of each symptom in the export."""
        return {name: index for index, name in enumerate(self.library.symptoms)}

    @cached_property
    def shows_rows(self) -> list[list[list[float]]]:
        """``shows`` by place: pairs of (symptom, chance) for each suspect."""
        return [[[self.signs[s], p] for s, p in self.shows[fault].items()] for fault in self.suspects]

    def candidates(self, names: Sequence[str]) -> list[int]:
        """Places of the suspects ``names``; -1 for 'something not in this book'."""
        return [self.places.get(name, -1) for name in names]

    def symptom_chances(self, names: Sequence[str], symptom: str) -> list[float]:
        """Chance of a symptom under each of ``names``."""
        return evidence.symptom_chances(
            self.candidates(names), self.shows_rows, scales.UNLISTED, self.usual[symptom], self.signs[symptom]
        )

    def finds(self, check: ModelCheck) -> list[list[float]]:
        """What a check finds, by place: pairs of (fault, chance)."""
        return [[self.places[fault], p] for fault, p in check.finds.items() if fault in self.places]

    @cached_property
    def checks(self) -> Mapping[str, ModelCheck]:
        """Every check of every fault, by ``fault/key``."""
        return {f"{f.id}/{c.key}": _check(f, c) for f in self.library.faults.values() for c in f.checks}

    @cached_property
    def setup_minutes(self) -> tuple[float, float, float]:
        """Minutes that every check costs besides its own, and to reach each set-up from the one before (see ``scales``)."""
        safe, opening = (self.library.procedures.get(id) for id in ("making-safe", "opening-chassis"))
        out = float(safe.minutes + opening.minutes) if safe and opening else scales.SETUP_MINUTES[1]
        return (scales.SETUP_MINUTES[0], out, scales.SETUP_MINUTES[2])

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
    """The numbers the job sheet needs: faults and symptoms by place, priors by family, chances, checks.

    The browser multiplies these with the functions printed from ``core`` and ``evidence``; it states nothing of the model itself.
    """
    library = model.library
    return {
        "faults": list(model.suspects),
        "symptoms": list(library.symptoms),
        "unlisted": scales.UNLISTED,
        "usual": [model.usual[s] for s in library.symptoms],
        "shows": model.shows_rows,
        "setup": list(model.setup_minutes),
        "prior": prior_of(model, None),
        "commonness": [scales.COMMONNESS[library.faults[f].commonness] for f in model.suspects],
        "anywhere": [float(bool(library.faults[f].anywhere)) for f in model.suspects],
        "other": scales.OTHER,
        "elsewhere": scales.ELSEWHERE,
        "stages": _by_stage(model),
        "explains": scales.EXPLAINS,
        "range": scales.RANGE,
        "checks": _checks(model),
        "counts": _standing(model),
    }


def prior_of(model: Model, family: str | None) -> list[list[float]]:
    """A family's suspects by place with their prior; of any family where none is named."""
    made = model.prior(family)
    return [[model.places.get(name, -1), p] for name, p in zip(made.candidates, made.probability, strict=True)]


def counted_of(model: Model, family: str) -> list[Any]:
    """A family's findings in all, and by the place of their fault."""
    counts, at = model.priors.counts, model.places
    of = sorted(counts.faults.get(family, {}).items())
    return [counts.total.get(family, 0), [[at.get(f, -1), n] for f, n in of if f in at or f == OTHER]]


def _by_stage(model: Model) -> dict[str, list[list[float]]]:
    """By how much each stage raises the suspects it is known for: pairs of (fault, times)."""
    at = model.places
    return {
        s.id: [[at[k.fault], scales.KNOWN_HERE[k.common]] for k in s.faults if k.fault in at]
        for s in model.library.stages.values()
    }


def _checks(model: Model) -> list[list[Any]]:
    """Every check as [id, fault, minutes, level, specificity, finds, what comes before]."""
    at = {id: index for index, id in enumerate(model.checks)}
    return [
        [
            c.id,
            model.places.get(c.fault, -1),
            c.minutes,
            c.level,
            c.specificity,
            model.finds(c),
            [at[a] for a in c.after],
        ]
        for c in model.checks.values()
    ]


def _standing(model: Model) -> dict[str, Any]:
    """How many findings stand behind each fault in all."""
    counts, at = model.priors.counts, model.places
    everywhere: dict[str, int] = {}
    for of in counts.faults.values():
        for fault, n in of.items():
            everywhere[fault] = everywhere.get(fault, 0) + n
    return {"all": [[at[f], n] for f, n in sorted(everywhere.items()) if f in at]}
