"""The rules in running order, and the one way to run them."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from benchlore.auditing import keys_resolve, live_work, no_owner_data, no_placeholders, sockets_agree
from benchlore.linking.library import Library
from benchlore.problem import Problem, in_order

Rule = Callable[[Library], Iterator[Problem]]

RULES: tuple[Rule, ...] = (
    live_work.check,
    keys_resolve.check,
    sockets_agree.check,
    no_owner_data.check,
    no_placeholders.check,
)


def audit(library: Library) -> list[Problem]:
    """All that the rules find wrong in a joined library, in order of place."""
    return in_order(problem for rule in RULES for problem in rule(library))
