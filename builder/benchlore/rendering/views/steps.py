"""Steps of a procedure, of opening and of closing, as views."""

from __future__ import annotations

from collections.abc import Iterable

from benchlore.entries.family import OpenStep
from benchlore.entries.procedure import Step as WorkStep
from benchlore.rendering.views.blocks import Step, Steps
from benchlore.rendering.views.page import Here


def open_steps(here: Here, name: str, steps: Iterable[OpenStep]) -> Steps:
    """Steps of opening or closing, each with what can hurt and what tears."""
    pen = here.pen
    return Steps(
        tuple(
            Step(
                number=n,
                anchor=f"{name}-{n}",
                do=pen.line(step.do),
                hazard=step.hazard or "",
                warning=pen.line(step.warning),
                tears=pen.line(step.tears),
                expect=pen.line(step.expect),
            )
            for n, step in enumerate(steps, 1)
        )
    )


def work_steps(here: Here, steps: Iterable[WorkStep]) -> Steps:
    """Steps of a procedure; a live one says so."""
    pen = here.pen
    return Steps(
        tuple(
            Step(
                number=n,
                anchor=f"steps-{n}",
                do=pen.line(step.do),
                live=step.power == "on",
                must=bool(step.must),
                hazard=step.hazard or "",
                warning=pen.line(step.warning),
                why=pen.line(step.why),
                expect=pen.line(step.expect),
            )
            for n, step in enumerate(steps, 1)
        )
    )
