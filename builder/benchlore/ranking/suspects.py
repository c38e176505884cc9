"""Suspects for a family and what was seen, with reasons in words, and the order of checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypedDict

from benchlore.ranking import core, evidence, scales
from benchlore.ranking.counts import OTHER, added
from benchlore.ranking.model import Model, ModelCheck
from benchlore.ranking.revisions import on_other_revisions

UNKNOWN_TITLE = "Something not in this book"


class SuspectJson(TypedDict):
    """One suspect of ``suspects --json``."""

    fault: str
    title: str
    probability: float
    because: list[str]


class NextCheckJson(TypedDict):
    """One check of ``suspects --json``; ``gain`` is the chance that it finds the fault."""

    check: str
    fault: str
    minutes: float
    gain: float


class Outcome(TypedDict):
    """The shape of ``suspects --json``."""

    suspects: list[SuspectJson]
    checks: list[NextCheckJson]
    expected_minutes: float


@dataclass(frozen=True)
class Seen:
    """What is known of an amp: ids of symptoms present and absent, checks passed and failed, the set-up reached, its revision's key."""

    present: tuple[str, ...] = ()
    absent: tuple[str, ...] = ()
    passed: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    reached: int = 0
    revision: str = ""


def result_factor(model: Model, check: ModelCheck, candidates: Sequence[str], failed: bool) -> list[float]:
    """Likelihood of a check's result for each candidate."""
    chances = evidence.check_chances(model.candidates(candidates), model.finds(check), check.specificity)
    return evidence.as_factor(chances, failed)


def symptom_factor(model: Model, symptom: str, candidates: Sequence[str], present: bool) -> list[float]:
    """Likelihood of a symptom's presence or absence for each candidate."""
    return evidence.as_factor(model.symptom_chances(candidates, symptom), present)


def elsewhere(model: Model, family: str | None, seen: Seen) -> tuple[str, ...]:
    """Faults that the family is known for on other revisions than the one on the bench."""
    return on_other_revisions(model.library.families[family], seen.revision) if family is not None else ()


def revision_factor(model: Model, faults: Sequence[str], candidates: Sequence[str]) -> list[float]:
    """What the revision on the bench says of each candidate, ``faults`` being those of other revisions."""
    places = [model.places[fault] for fault in faults if fault in model.places]
    return evidence.revision_factor(model.candidates(candidates), places, scales.ELSEWHERE)


def probabilities(
    model: Model, family: str | None, seen: Seen, stages: tuple[str, ...] = ()
) -> tuple[tuple[str, ...], list[float]]:
    """Candidates and their probabilities, the last being 'something not in this book'; they sum to one."""
    prior = model.prior(family, stages)
    names = prior.candidates
    factors = [revision_factor(model, off, names)] if (off := elsewhere(model, family, seen)) else []
    factors += [symptom_factor(model, s, names, True) for s in seen.present]
    factors += [symptom_factor(model, s, names, False) for s in seen.absent]
    factors += [result_factor(model, model.checks[c], names, False) for c in seen.passed]
    factors += [result_factor(model, model.checks[c], names, True) for c in seen.failed]
    return names, core.posterior(list(prior.probability), factors)


def order_of_checks(
    model: Model, names: Sequence[str], probability: list[float], seen: Seen, wanted: int = 24
) -> tuple[list[ModelCheck], list[float], float]:
    """The next checks in order, the chance that each finds the fault, and the expected minutes of the order."""
    done = {*seen.passed, *seen.failed}
    checks = [c for c in model.checks_for(names) if c.id not in done]
    index = {c.id: i for i, c in enumerate(checks)}
    places = model.candidates(names)
    find = [evidence.find_row(places, model.finds(c)) for c in checks]
    after = [[index[a] for a in c.after if a in index] for c in checks]
    minutes, level = [c.minutes for c in checks], [c.level for c in checks]
    setup = list(model.setup_minutes)
    order = core.best_order(probability, find, minutes, level, setup, seen.reached, after, wanted)
    gains = [added(p * f for p, f in zip(probability, find[i], strict=True)) for i in order]
    return (
        [checks[i] for i in order],
        gains,
        core.expected_minutes(probability, find, minutes, level, setup, seen.reached, order),
    )


def suspects(model: Model, family: str | None, seen: Seen, limit: int = 10) -> Outcome:
    """The ranking for ``--json`` and for the terminal."""
    names, probability = probabilities(model, family, seen)
    ranked = sorted(range(len(names)), key=lambda k: (-probability[k], names[k]))[:limit]
    checks, gains, expected = order_of_checks(model, names, probability, seen)
    return {
        "suspects": [
            {
                "fault": names[k] or "other",
                "title": model.library.faults[names[k]].title if names[k] else UNKNOWN_TITLE,
                "probability": probability[k],
                "because": because(model, family, names[k], seen),
            }
            for k in ranked
        ],
        "checks": [
            {"check": c.id, "fault": c.fault, "minutes": c.minutes, "gain": gain}
            for c, gain in zip(checks, gains, strict=True)
        ],
        "expected_minutes": expected,
    }


def because(model: Model, family: str | None, fault: str, seen: Seen) -> list[str]:
    """The reasons for a suspect's place, in words: what stands behind it, and which sign moved it by how much."""
    reasons = [_standing(model, family, fault)]
    prior = model.prior(family)
    if fault in (off := elsewhere(model, family, seen)):
        factor = revision_factor(model, off, prior.candidates)
        ratio = evidence.times_likelier(list(prior.probability), factor, prior.candidates.index(fault))
        reasons.append(f"known on other revisions of this family, not on this one: {_times(ratio)}")
    for present, symptoms in ((True, seen.present), (False, seen.absent)):
        for symptom in symptoms:
            factor = symptom_factor(model, symptom, prior.candidates, present)
            ratio = evidence.times_likelier(list(prior.probability), factor, prior.candidates.index(fault))
            reasons.append(f"{model.library.symptoms[symptom].title}{'' if present else ' (absent)'}: {_times(ratio)}")
    for failed, ids in ((True, seen.failed), (False, seen.passed)):
        for id in ids:
            check = model.checks[id]
            if fault in check.finds:
                said = "points here" if failed else "speaks against it"
                reasons.append(f"the check {id} {'failed' if failed else 'passed'}, which {said}")
    return reasons


def _standing(model: Model, family: str | None, fault: str) -> str:
    counts = model.priors.counts
    everywhere = sum(of.get(fault, 0) for of in counts.faults.values())
    if family is None:
        return f"{_findings(everywhere)} of it on the shelves"
    here, total = counts.faults.get(family, {}).get(fault, 0), counts.total.get(family, 0)
    if fault == OTHER:
        return f"{_findings(here)} on this family found nothing, of {total}"
    return f"found {_often(here)} in {_findings(total)} on this family, {_often(everywhere)} in all"


def _findings(number: int) -> str:
    return f"{number} finding{'' if number == 1 else 's'}"


def _often(number: int) -> str:
    return {0: "never", 1: "once", 2: "twice"}.get(number, f"{number} times")


def _times(ratio: float) -> str:
    if ratio >= 1.1:
        return f"{ratio:.1f} times likelier"
    if ratio <= 0.9:
        return f"{1 / max(ratio, 1e-6):.1f} times less likely"
    return "says little either way"
