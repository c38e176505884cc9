"""The rules in running order, and the one way to run them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from benchlore.auditing import (
    bias_agrees,
    capacitors_bear,
    heaters_fit,
    idle_share_agrees,
    keys_resolve,
    limits_said,
    live_work,
    loads_fit,
    no_owner_data,
    no_placeholders,
    sockets_agree,
    supply_falls,
)
from benchlore.linking.library import Library
from benchlore.problem import Problem, in_order
from benchlore.reckoning.book import Sums

Rule = Callable[[Library], Iterator[Problem]]
PhysicsRule = Callable[[Library, Sums], Iterator[Problem]]

RULES: tuple[Rule, ...] = (
    live_work.check,
    keys_resolve.check,
    sockets_agree.check,
    no_owner_data.check,
    no_placeholders.check,
)

PHYSICS: tuple[PhysicsRule, ...] = (
    idle_share_agrees.check,
    bias_agrees.check,
    limits_said.check,
    supply_falls.check,
    capacitors_bear.check,
    heaters_fit.check,
    loads_fit.check,
)


def audit(library: Library, sums: Sums) -> list[Problem]:
    """All that the rules find wrong in a joined library, in order of place; ``sums`` are its calculators made ready."""
    said = [problem for rule in RULES for problem in rule(library)]
    return in_order(said + [problem for rule in PHYSICS for problem in rule(library, sums)])
