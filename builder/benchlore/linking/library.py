"""All entries of the stacked shelves, joined: the one immutable thing that every later stage reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Any, TypeVar

from benchlore.entries.calculator import Calculator
from benchlore.entries.common import HOW_COMMON, Entry, LeadDress, Retired
from benchlore.entries.family import Family
from benchlore.entries.fastener import Fastener
from benchlore.entries.fault import Fault
from benchlore.entries.finding import Finding
from benchlore.entries.kinds import KINDS
from benchlore.entries.procedure import Procedure
from benchlore.entries.shop import Shop
from benchlore.entries.stage import Stage
from benchlore.entries.symptom import Symptom
from benchlore.entries.term import Term
from benchlore.entries.tube import Tube
from benchlore.linking import questions
from benchlore.works import Answers, Fresh, Question

E = TypeVar("E", bound=Entry)


@dataclass(frozen=True, slots=True, order=True)
class Pointer:
    """An entry that points at another, and the path of the field in which it does."""

    kind: str
    id: str
    path: str


@dataclass(frozen=True, slots=True)
class FamilyFault:
    """A fault a family is known for: its own weak point, or inherited from the stage ``via``."""

    fault: Fault
    common: str
    here: str | None = None
    via: str | None = None
    since: str | None = None
    until: str | None = None


@dataclass(frozen=True, slots=True)
class FaultFamily:
    """A family known for a fault, how often, and the stage it comes with."""

    family: Family
    common: str
    via: str | None = None


@dataclass(frozen=True)
class Library:
    """Entries by kind and id, both sorted, and who points at whom; what is asked of them all is answered once.

    ``retired`` are the entries that a shelf leaves out of the book: others may still point at them.
    """

    entries: Mapping[str, Mapping[str, Entry]]
    pointing: Mapping[tuple[str, str], tuple[Pointer, ...]] = field(default_factory=dict)
    retired: Mapping[tuple[str, str], Retired] = field(default_factory=dict)
    answers: Answers = field(default_factory=Fresh, compare=False, repr=False)

    def ask(self, question: Question, about: str = "") -> Any:
        """The answer to a question about an id, as plain data."""
        return self.answers.ask(self, question, about)

    def get(self, kind: str, id: str) -> Entry | None:
        """The entry of that kind and id, or None."""
        return self.entries.get(kind, {}).get(id)

    def pointers(self, kind: str, id: str) -> tuple[Pointer, ...]:
        """Every entry that points at this one, in order of kind and id."""
        return self.pointing.get((kind, id), ())

    def _of(self, kind: str, record: type[E]) -> Mapping[str, E]:
        return self.entries.get(kind, {})  # type: ignore[return-value]  # link() put only records of KINDS[kind] there

    @cached_property
    def families(self) -> Mapping[str, Family]:
        return self._of("family", Family)

    @cached_property
    def stages(self) -> Mapping[str, Stage]:
        return self._of("stage", Stage)

    @cached_property
    def faults(self) -> Mapping[str, Fault]:
        return self._of("fault", Fault)

    @cached_property
    def symptoms(self) -> Mapping[str, Symptom]:
        return self._of("symptom", Symptom)

    @cached_property
    def tubes(self) -> Mapping[str, Tube]:
        return self._of("tube", Tube)

    @cached_property
    def procedures(self) -> Mapping[str, Procedure]:
        return self._of("procedure", Procedure)

    @cached_property
    def calculators(self) -> Mapping[str, Calculator]:
        return self._of("calculator", Calculator)

    @cached_property
    def findings(self) -> Mapping[str, Finding]:
        return self._of("finding", Finding)

    @cached_property
    def terms(self) -> Mapping[str, Term]:
        return self._of("term", Term)

    @cached_property
    def fasteners(self) -> Mapping[str, Fastener]:
        return self._of("fastener", Fastener)

    @property
    def shop(self) -> Shop | None:
        """The shop that keeps the uppermost shelf that has one."""
        return self._of("shop", Shop).get("shop")

    def family_faults(self, family_id: str) -> tuple[FamilyFault, ...]:
        """What a family suffers from: its own weak points, then its stages' faults, commonest first, each fault once."""
        family = self.families[family_id]
        own = [
            FamilyFault(self.faults[w.fault], w.common, w.here, None, w.since, w.until)
            for w in family.weak_points
            if w.fault in self.faults
        ]
        met = {item.fault.id for item in own}
        inherited = []
        for stage in (self.stages[id] for id in family.stages if id in self.stages):
            for known in stage.faults:
                if known.fault in self.faults and known.fault not in met:
                    met.add(known.fault)
                    inherited.append(FamilyFault(self.faults[known.fault], known.common, known.note, stage.id))
        return tuple(_commonest(own) + _commonest(inherited))

    def fault_families(self, fault_id: str) -> tuple[FaultFamily, ...]:
        """The families that suffer from a fault: their own weak point first, then through a stage."""
        known = self.ask(questions.FAMILIES_WITH, fault_id)
        return tuple(FaultFamily(self.families[family], common, via) for family, common, via in known)

    def family_lead_dress(self, family_id: str) -> tuple[LeadDress, ...]:
        """Which wires must lie apart: the family's own points, then its stages'; a stage's point of the same key gives way."""
        family = self.families[family_id]
        points: dict[str, LeadDress] = {point.key: point for point in family.lead_dress}
        for stage in (self.stages[id] for id in family.stages if id in self.stages):
            for point in stage.lead_dress:
                points.setdefault(point.key, point)
        return tuple(points.values())

    def findings_of(self, family_id: str) -> tuple[Finding, ...]:
        """Findings on a family, newest first."""
        return tuple(self.findings[id] for id in self.ask(questions.FINDINGS_OF, family_id))

    def findings_with(self, fault_id: str) -> tuple[Finding, ...]:
        """Findings in which a fault was found, newest first."""
        return tuple(self.findings[id] for id in self.ask(questions.FINDINGS_WITH, fault_id))


def _commonest(items: list[FamilyFault]) -> list[FamilyFault]:
    return sorted(items, key=lambda item: HOW_COMMON.index(item.common))


def library_of(
    entries: Iterable[Entry], pointing: Mapping[tuple[str, str], Any], retired: Iterable[Retired] = ()
) -> Library:
    """A library of entries that are known to be joined rightly."""
    by_kind: dict[str, dict[str, Entry]] = {kind: {} for kind in KINDS}
    for entry in sorted(entries, key=lambda e: (e.kind, e.id)):
        by_kind[entry.kind][entry.id] = entry
    return Library(
        MappingProxyType({kind: MappingProxyType(of) for kind, of in by_kind.items()}),
        MappingProxyType(dict(pointing)),
        MappingProxyType({(one.kind, one.id): one for one in retired}),
    )
