"""What was written and what was changed, when and by whom: from the dates in the entries, never from a clock."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from benchlore.entries.common import Entry
from benchlore.entries.finding import Finding
from benchlore.linking.library import Library
from benchlore.works import Question

ORDER = ("family", "finding", "fault", "symptom", "stage", "procedure", "calculator", "tube", "fastener", "term")
"""Kinds in the order in which one day's news are told."""


@dataclass(frozen=True, slots=True)
class Happening:
    """An entry came (``new``) or was changed on a day; ``families`` are those that it speaks of or that speak of it."""

    day: datetime.date
    what: str
    entry: Entry
    by: tuple[str, ...]
    families: tuple[str, ...]

    def told(self, families: tuple[str, ...]) -> list[Any]:
        """It as plain data: day, what, kind, id, initials, and these families."""
        return [self.day.isoformat(), self.what, self.entry.kind, self.entry.id, list(self.by), list(families)]


def happening_from(library: Library, told: list[Any]) -> Happening | None:
    """What was told; None when the entry is not there any more."""
    day, what, kind, id, by, families = told
    entry = library.get(kind, id)
    return (
        None if entry is None else Happening(datetime.date.fromisoformat(day), what, entry, tuple(by), tuple(families))
    )


def happenings(library: Library) -> list[Happening]:
    """All of them, newest day first, and in a day by kind and title."""
    return [one for told in library.ask(HAPPENINGS) if (one := happening_from(library, told)) is not None]


def _happenings(library: Library, _: str) -> list[list[Any]]:
    """Day, what, kind, id, initials and families of everything that happened, in order."""
    found = [one for kind in ORDER for entry in library.entries.get(kind, {}).values() for one in _of(library, entry)]
    found.sort(key=lambda h: (-h.day.toordinal(), ORDER.index(h.entry.kind), h.entry.title.lower(), h.entry.id))
    return [one.told(one.families) for one in found]


HAPPENINGS = Question("happenings", _happenings)


def latest(library: Library) -> list[Happening]:
    """For each entry the last thing that happened to it, newest first."""
    met: dict[tuple[str, str], Happening] = {}
    for one in happenings(library):
        met.setdefault((one.entry.kind, one.entry.id), one)
    return list(met.values())


def written_on(entry: Entry) -> datetime.date | None:
    """The day on which an entry was first written; a finding without one was written when the job was finished."""
    return entry.added or (entry.date if isinstance(entry, Finding) else None)


def _of(library: Library, entry: Entry) -> Iterator[Happening]:
    by = tuple(dict.fromkeys((*entry.by, *((entry.technician,) if isinstance(entry, Finding) else ()))))
    families = _families(library, entry)
    added = written_on(entry)
    if added is not None:
        yield Happening(added, "new", entry, by, families)
    if entry.changed is not None and entry.changed != added:
        yield Happening(entry.changed, "changed", entry, by, families)


def _families(library: Library, entry: Entry) -> tuple[str, ...]:
    if entry.kind == "family":
        return (entry.id,)
    if isinstance(entry, Finding):
        return (entry.family,)
    return tuple(dict.fromkeys(p.id for p in library.pointers(entry.kind, entry.id) if p.kind == "family"))
