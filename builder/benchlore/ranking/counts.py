"""What the findings say, counted once: faults by family, symptoms by fault."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from benchlore.entries.finding import Finding

OTHER = ""  # the name under which 'something not in this book' is counted


@dataclass
class Counts:
    """``faults[family][fault]`` and ``total[family]``; ``present[fault][symptom]`` and ``absent[fault][symptom]``.

    Symptoms are counted from findings with a single fault only: with two, nobody knows which of them gave the symptom.
    """

    faults: dict[str, dict[str, int]] = field(default_factory=dict)
    total: dict[str, int] = field(default_factory=dict)
    present: dict[str, dict[str, int]] = field(default_factory=dict)
    absent: dict[str, dict[str, int]] = field(default_factory=dict)
    alone: dict[str, int] = field(default_factory=dict)


def found_in(finding: Finding) -> tuple[str, ...]:
    """The faults a finding counts for: what was found; 'other' for a complaint with nothing found; none for a mere request."""
    return finding.faults or ((OTHER,) if finding.symptoms else ())


def count(findings: Iterable[Finding]) -> Counts:
    """Count ``findings``."""
    counts = Counts()
    for finding in findings:
        of = counts.faults.setdefault(finding.family, {})
        for fault in found_in(finding):
            of[fault] = of.get(fault, 0) + 1
            counts.total[finding.family] = counts.total.get(finding.family, 0) + 1
        if len(finding.faults) == 1:
            _symptoms(counts, finding.faults[0], finding)
    return counts


def _symptoms(counts: Counts, fault: str, finding: Finding) -> None:
    counts.alone[fault] = counts.alone.get(fault, 0) + 1
    for table, symptoms in ((counts.present, finding.symptoms), (counts.absent, finding.absent)):
        of = table.setdefault(fault, {})
        for symptom in symptoms:
            of[symptom] = of.get(symptom, 0) + 1


def added(values: Iterable[float]) -> float:
    """Their sum, rounded at each step from the first to the last; ``sum`` rounds otherwise from CPython 3.12 on, and pages must not."""
    total = 0.0
    for value in values:
        total += value
    return total
