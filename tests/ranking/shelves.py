"""Small libraries made of records, for tests and the simulation of suspects."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence

from benchlore.entries.common import StageFault
from benchlore.entries.family import Family
from benchlore.entries.fault import Check, Fault, Shows, SpeaksTo
from benchlore.entries.finding import Finding
from benchlore.entries.stage import Stage
from benchlore.entries.symptom import Symptom
from benchlore.linking.library import Library, library_of
from benchlore.quantity import parse_quantity

DAY = datetime.date(2025, 1, 1)


def check(key: str, minutes: int = 5, setup: str = "outside", speaks_to: Mapping[str, float] | None = None, sensitivity: float = 0.9,
          specificity: float = 0.95, after: tuple[str, ...] = ()) -> Check:
    """A check."""
    others = tuple(SpeaksTo(fault=f, sensitivity=percent(s)) for f, s in (speaks_to or {}).items())
    return Check(
        key=key, do=key, minutes=minutes, power="off", setup=setup, passes="right", fails="wrong", sensitivity=percent(sensitivity),
        specificity=percent(specificity), speaks_to=others, after=after,
    )


def percent(share: float):  # type: ignore[no-untyped-def]  # a Quantity; the record's field is typed
    """A ratio as an entry would hold it."""
    return parse_quantity(f"{100 * share:.10g} %", "ratio")


def fault(id: str, commonness: str = "common", shows: Mapping[str, str] | None = None, checks: Sequence[Check] = (), anywhere: bool = False,
          while_open: bool = False) -> Fault:
    """A fault."""
    return Fault(
        id=id, kind="fault", title=f"Fault {id}", group="tubes", summary="x", seen="x", why="x", commonness=commonness, anywhere=anywhere,
        while_open=while_open, shows=tuple(Shows(symptom=s, how_often=h) for s, h in (shows or {}).items()),
        checks=tuple(checks) or (check("look"),), fix=("x",), fix_minutes=5, verify=("x",),
    )


def symptom(id: str) -> Symptom:
    """A symptom."""
    return Symptom(id=id, kind="symptom", title=f"Symptom {id}", sense="heard", owner_words=("a", "b"), summary="x", ask=("x",), first_look=("x",))


def stage(id: str, faults: Mapping[str, str]) -> Stage:
    """A stage that is known for some faults."""
    known = tuple(StageFault(fault=f, common=c) for f, c in faults.items())
    return Stage(id=id, kind="stage", title=f"Stage {id}", group="output", summary="x", how_to_tell=("x",), usual_troubles="x", faults=known)


def family(id: str, stages: tuple[str, ...]) -> Family:
    """A family made of stages; all that ranking does not read is left out."""
    return Family(id=id, kind="family", title=f"Family {id}", maker="x", stages=stages, weak_points=())


def finding(number: int, family: str, faults: tuple[str, ...], present: Iterable[str] = (), absent: Iterable[str] = ()) -> Finding:
    """A finding."""
    return Finding(
        id=f"f{number}", kind="finding", title=f"Finding {number}", family=family, symptoms=tuple(present), absent=tuple(absent), faults=faults,
        fix="x", minutes=30, parts_cost=1.0, technician="RK", date=DAY,
    )


def library(*entries: Fault | Symptom | Stage | Family | Finding) -> Library:
    """A library of these entries."""
    return library_of(entries, {})
