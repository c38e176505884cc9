"""Puts slopes into steps, only where something measured can move them."""

from __future__ import annotations

from dataclasses import replace

from benchlore.reckoning.derivatives import slopes_by
from benchlore.reckoning.steps import Formula, Map, Root, Step


def with_slopes(steps: list[Step] | tuple[Step, ...], uncertain: set[str]) -> tuple[Step, ...]:
    """The same steps with the partial derivatives by every name in ``uncertain`` and by what follows from it.

    ``uncertain`` is added to.
    """
    done: list[Step] = []
    for step in steps:
        new, moves = _sloped(step, uncertain)
        done.append(new)
        if moves:
            uncertain.add(step.name)
    return tuple(done)


def _sloped(step: Step, uncertain: set[str]) -> tuple[Step, bool]:
    if isinstance(step, Formula):
        slopes = slopes_by(step.node, dict.fromkeys(uncertain, True))
        return replace(step, slopes=slopes), bool(slopes)
    if isinstance(step, Map):
        moving = dict.fromkeys(uncertain, True) | {variable: source in uncertain for variable, source in step.over}
        slopes = slopes_by(step.node, moving)
        return replace(step, slopes=slopes), bool(slopes)
    if isinstance(step, Root):
        inside = set(uncertain)
        plain = with_slopes(step.inner, inside)
        if step.residual not in inside:
            return replace(step, inner=plain), False
        return replace(step, inner=with_slopes(step.inner, {*uncertain, step.name})), True
    return step, step.of in uncertain
