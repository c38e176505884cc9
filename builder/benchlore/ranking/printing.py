"""The functions of ``core`` as the classic script that the job sheet loads."""

from __future__ import annotations

from types import FunctionType

from benchlore.javascript import javascript_of
from benchlore.ranking import core

FUNCTIONS: tuple[FunctionType, ...] = (
    core.posterior,
    core.left_after,
    core.setting_up,
    core.expected_minutes,
    core.is_free,
    core.greedy_order,
    core.best_arrangement,
    core.best_order,
)  # type: ignore[assignment]


def core_script() -> str:
    """A script that sets ``Benchlore.rank`` to the functions of ``core``."""
    names = ", ".join(f.__name__ for f in FUNCTIONS)
    body = javascript_of(FUNCTIONS, {"MOST_EXACT": core.MOST_EXACT})
    return (
        '(function () {\n"use strict";\n' + body + "globalThis.Benchlore = globalThis.Benchlore || {};\n"
        f"globalThis.Benchlore.rank = {{ {names} }};\n}})();\n"
    )
