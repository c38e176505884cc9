"""How likely each fault is in a family before any symptom is looked at: its own findings, shrunk toward its kin's, toward the trade's.

For a family ``f`` and a candidate ``k``::

    trade   w(k)  = commonness of k, raised by what the family or a stage says of it; scaled to sum to 1 - OTHER
    kin     r(k)  = (n_kin(k) + s w(k)) / (N_kin(k) + s), scaled to sum to one
    family  p(k)  = (n_f(k) + t r(k)) / (N_f + t)

``n_kin(k)`` counts findings of ``k`` in the other families that share a stage known for ``k`` (all other families for a fault that
can sit anywhere), ``N_kin(k)`` all findings there.  The last step is the posterior mean of a Dirichlet; the strengths ``s`` and ``t``
are those under which each finding is best foretold by all the others (leave one out).
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass
from functools import cached_property

from benchlore.linking.library import Library
from benchlore.ranking import evidence
from benchlore.ranking.counts import OTHER, Counts, added, count
from benchlore.ranking.scales import COMMONNESS, KNOWN_HERE, STRENGTHS
from benchlore.ranking.scales import OTHER as OTHER_SHARE


@dataclass(frozen=True)
class Strengths:
    """How many findings the trade's word (``kin``) and the kin's word (``family``) are worth."""

    kin: float
    family: float
    log_likelihood: float = 0.0


@dataclass(frozen=True)
class FamilyPrior:
    """Candidates of one family with their probabilities; the last candidate is 'something not in this book'."""

    candidates: tuple[str, ...]
    probability: tuple[float, ...]


@dataclass(frozen=True)
class Priors:
    """Priors of all families of a library."""

    library: Library

    @cached_property
    def counts(self) -> Counts:
        """All findings, counted."""
        return count(self.library.findings.values())

    def candidates(self, family: str | None, stages: tuple[str, ...] = ()) -> dict[str, float]:
        """Candidate faults and their weights in the trade; without a family, those of ``stages``, without either all."""
        known: dict[str, float] = {}
        if family is not None:
            for item in self.library.family_faults(family):
                known[item.fault.id] = KNOWN_HERE[item.common]
        for stage in (self.library.stages[s] for s in stages):
            for of_stage in stage.faults:
                known.setdefault(of_stage.fault, KNOWN_HERE[of_stage.common])
        faults, commonness, anywhere = self._faults
        raised = [known.get(fault, 0.0) for fault in faults]
        shares = evidence.trade_prior(commonness, anywhere, raised, family is None and not stages, OTHER_SHARE)
        named = {fault: share for fault, share in zip(faults, shares, strict=False) if share > 0}
        return named | {OTHER: shares[-1]}

    @cached_property
    def _faults(self) -> tuple[list[str], list[float], list[float]]:
        """Every fault that can be a suspect, its weight in the trade, and whether it can sit anywhere."""
        faults = [fault for fault in self.library.faults.values() if not fault.while_open]
        weights = [COMMONNESS[fault.commonness] for fault in faults]
        return [fault.id for fault in faults], weights, [float(bool(fault.anywhere)) for fault in faults]

    @cached_property
    def _by_family(self) -> dict[str, dict[str, float]]:
        return {family: self.candidates(family) for family in self.library.families}

    @cached_property
    def _kin(self) -> dict[str, dict[str, tuple[int, int]]]:
        """For each family and candidate: findings of it, and all findings, in the kin."""
        homes: dict[str, set[str]] = {}
        families: dict[str, set[str]] = {}
        for family in self.library.families.values():
            for stage in family.stages:
                families.setdefault(stage, set()).add(family.id)
        for entry in self.library.stages.values():
            for known in entry.faults:
                homes.setdefault(known.fault, set()).update(families.get(entry.id, ()))
        everyone = frozenset(self.library.families)
        anywhere = {fault.id for fault in self.library.faults.values() if fault.anywhere} | {OTHER}
        sums: dict[str, tuple[int, int]] = {}
        kin: dict[str, dict[str, tuple[int, int]]] = {}
        for id, candidates in self._by_family.items():
            kin[id] = {}
            for fault in candidates:
                home = everyone if fault in anywhere else homes.get(fault, set())
                if fault not in sums:
                    sums[fault] = self._found(fault, home)
                found, total = sums[fault]
                own, of_all = self._found(fault, {id} & home)
                kin[id][fault] = (found - own, total - of_all)
        return kin

    def _found(self, fault: str, families: Collection[str]) -> tuple[int, int]:
        """Findings of a fault, and all findings, in some families."""
        of, total = self.counts.faults, self.counts.total
        return sum(of.get(f, {}).get(fault, 0) for f in families), sum(total.get(f, 0) for f in families)

    def kin_share(self, family: str, strength: float) -> dict[str, float]:
        """What the kin's findings and the trade say of each candidate of a family."""
        raw = {
            fault: (self._kin[family][fault][0] + strength * weight) / (self._kin[family][fault][1] + strength)
            for fault, weight in self._by_family[family].items()
        }
        total = added(raw.values())
        return {fault: share / total for fault, share in raw.items()}

    @cached_property
    def strengths(self) -> Strengths:
        """The strengths under which the findings foretell each other best; the weakest of equals."""
        best: Strengths | None = None
        for kin in STRENGTHS:
            shares = {family: self.kin_share(family, kin) for family in self._by_family}
            for family_strength in STRENGTHS:
                score = self._leave_one_out(shares, family_strength)
                if best is None or score > best.log_likelihood + 1e-9:
                    best = Strengths(kin, family_strength, score)
        assert best is not None
        return best

    def _leave_one_out(self, shares: dict[str, dict[str, float]], strength: float) -> float:
        score = 0.0
        for family, of in sorted(self.counts.faults.items()):
            total = self.counts.total.get(family, 0)
            for fault, n in sorted(of.items()):
                share = shares.get(family, {}).get(fault)
                if share is not None:  # a finding of what is no candidate here says nothing about the strengths
                    score += n * math.log((n - 1 + strength * share) / (total - 1 + strength))
        return score

    def of(self, family: str | None, stages: tuple[str, ...] = ()) -> FamilyPrior:
        """The prior of a family; of a set of stages, or of the trade, where the amp is not in the book."""
        if family is None:
            weights = self.candidates(None, stages)
            return _ordered(weights)
        share = self.kin_share(family, self.strengths.kin)
        found, total = self.counts.faults.get(family, {}), self.counts.total.get(family, 0)
        t = self.strengths.family
        mixed = {fault: (found.get(fault, 0) + t * share[fault]) for fault in share}
        known = sum(found.get(fault, 0) for fault in share)
        return (
            _ordered({fault: value / (known + t) for fault, value in mixed.items()})
            if total or share
            else _ordered(share)
        )


def _ordered(weights: dict[str, float]) -> FamilyPrior:
    names = [*sorted(name for name in weights if name != OTHER), OTHER]
    total = added(weights.values())
    return FamilyPrior(tuple(names), tuple(weights[name] / total for name in names))
