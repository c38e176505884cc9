"""The rules in running order, and the one way to run them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from benchlore.auditing import (
    bias_agrees,
    capacitors_bear,
    heaters_fit,
    idle_share_agrees,
    keys_resolve,
    limits_said,
    links_lead,
    live_work,
    loads_fit,
    no_owner_data,
    no_placeholders,
    sockets_agree,
    supply_falls,
)
from benchlore.entries.common import Entry
from benchlore.linking.library import Library
from benchlore.problem import Problem, in_order
from benchlore.reckoning.book import Sums

Rule = Callable[[Any, Library, Sums], Iterator[Problem]]

EVERY: tuple[Rule, ...] = (no_placeholders.check,)
"""Rules for entries of all kinds."""

RULES: Mapping[str, tuple[Rule, ...]] = {
    "family": (
        live_work.of_family,
        keys_resolve.of_family,
        sockets_agree.check,
        idle_share_agrees.check,
        bias_agrees.check,
        limits_said.check,
        supply_falls.check,
        capacitors_bear.check,
        heaters_fit.check,
        loads_fit.check,
    ),
    "fault": (live_work.of_fault, keys_resolve.of_fault),
    "procedure": (live_work.of_procedure,),
    "tube": (keys_resolve.of_tube,),
    "finding": (no_owner_data.check, keys_resolve.of_finding),
    "shop": (keys_resolve.of_shop, links_lead.check),
}


def audit_entry(entry: Entry, library: Library, sums: Sums) -> list[Problem]:
    """All that the rules find wrong in one entry of a joined library; ``sums`` are its calculators made ready."""
    return [problem for rule in (*EVERY, *RULES.get(entry.kind, ())) for problem in rule(entry, library, sums)]


def audit(library: Library, sums: Sums) -> list[Problem]:
    """All that the rules find wrong in a joined library, in order of place."""
    entries = (entry for of_kind in library.entries.values() for entry in of_kind.values())
    return in_order(problem for entry in entries for problem in audit_entry(entry, library, sums))
