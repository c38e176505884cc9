"""The functions of ``core`` and ``evidence`` as the classic script that the job sheet loads."""

from __future__ import annotations

from types import FunctionType

from benchlore.javascript import javascript_of
from benchlore.ranking import core, evidence

FUNCTIONS: tuple[FunctionType, ...] = (
    core.posterior,
    core.left_after,
    core.setting_up,
    core.expected_minutes,
    core.is_free,
    core.greedy_order,
    core.may_follow,
    core.set_costs,
    core.best_arrangement,
    core.best_order,
    evidence.trade_prior,
    evidence.symptom_chances,
    evidence.check_chances,
    evidence.find_row,
    evidence.revision_factor,
    evidence.as_factor,
    evidence.times_likelier,
    evidence.without,
    evidence.explains,
    evidence.check_speaks_to,
    evidence.middle,
    evidence.honest_range,
)  # type: ignore[assignment]


def core_script() -> str:
    """A script that sets ``Benchlore.rank`` to the printed functions."""
    names = ", ".join(f.__name__ for f in FUNCTIONS)
    body = javascript_of(FUNCTIONS, {"MOST_EXACT": core.MOST_EXACT})
    return (
        '(function () {\n"use strict";\n' + body + "globalThis.Benchlore = globalThis.Benchlore || {};\n"
        f"globalThis.Benchlore.rank = {{ {names} }};\n}})();\n"
    )
