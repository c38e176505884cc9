"""Puts slopes into steps: only where something measured can move them, and only where a result asks for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from benchlore.reckoning.algebra import names_in
from benchlore.reckoning.derivatives import slopes_by
from benchlore.reckoning.steps import Formula, Map, Reduce, Root, Spread, Step


def with_slopes(steps: Sequence[Step], measured: set[str], wanted: set[str]) -> tuple[Step, ...]:
    """The same steps with the partial derivatives by every name in ``measured`` and by what follows from it.

    Steps from which none of the names in ``wanted`` is worked out get none: a curve for a drawing has no uncertainty.
    """
    return _sloped_all(_needed(steps, wanted), set(measured))


def _needed(steps: Sequence[Step], wanted: set[str]) -> list[tuple[Step, bool]]:
    """Each step, and whether a wanted name is worked out from it."""
    need = set(wanted)
    found: list[tuple[Step, bool]] = []
    for step in reversed(steps):
        found.append((step, step.name in need))
        if step.name in need:
            need |= _reads(step)
    return found[::-1]


def _reads(step: Step) -> set[str]:
    if isinstance(step, Formula):
        return set(names_in(step.node))
    if isinstance(step, Map):
        return {*names_in(step.node), *(source for _, source in step.over)}
    if isinstance(step, Root):
        return {step.low, step.high}.union(*(_reads(inner) for inner in step.inner))
    return {step.of}


def _sloped_all(steps: Sequence[tuple[Step, bool]], measured: set[str]) -> tuple[Step, ...]:
    """``measured`` grows by every name that something measured moves."""
    done: list[Step] = []
    for step, needed in steps:
        new, moves = _sloped(step, measured) if needed else (step, False)
        done.append(new)
        if moves:
            measured.add(step.name)
    return tuple(done)


def _sloped(step: Step, measured: set[str]) -> tuple[Step, bool]:
    if isinstance(step, Reduce | Spread):
        return step, step.of in measured
    if isinstance(step, Root):
        return _sloped_root(step, measured)
    moving = dict.fromkeys(measured, True)
    if isinstance(step, Map):
        moving |= {variable: source in measured for variable, source in step.over}
    slopes = slopes_by(step.node, moving)
    return replace(step, slopes=slopes), bool(slopes)


def _sloped_root(step: Root, measured: set[str]) -> tuple[Root, bool]:
    """Inside, the unknown itself moves too; but only where something measured moves the equation at all."""
    every = [(inner, True) for inner in step.inner]
    inside = set(measured)
    plain = _sloped_all(every, inside)
    if step.residual not in inside:
        return replace(step, inner=plain), False
    return replace(step, inner=_sloped_all(every, {*measured, step.name})), True
