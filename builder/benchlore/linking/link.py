"""Entries to a library: every reference and mention resolved, nothing dangling."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import NamedTuple

from benchlore.entries.common import Entry
from benchlore.entries.fields import Prose, Ref, Text
from benchlore.entries.kinds import KINDS
from benchlore.entries.mentions import mentions
from benchlore.entries.walking import walk
from benchlore.linking.library import Library, Pointer, library_of
from benchlore.problem import Problem, did_you_mean

Name = tuple[str, str]  # kind, id


class Linked(NamedTuple):
    """The library, and what is wrong with how its entries point at each other."""

    library: Library
    problems: tuple[Problem, ...]


def link(entries: Collection[Entry], broken: Collection[Name] = ()) -> Linked:
    """Join entries into a library.

    ``broken`` names entries that exist but could not be read: pointing at one is no problem of the pointer's.
    """
    known: dict[str, set[str]] = {kind: set() for kind in KINDS}
    for kind, id in [(e.kind, e.id) for e in entries] + list(broken):
        known[kind].add(id)
    problems: list[Problem] = []
    pointing: dict[Name, set[Pointer]] = {}
    for entry in entries:
        for path, kind, id in _references(entry):
            if id in known.get(kind, ()):
                pointing.setdefault((kind, id), set()).add(Pointer(entry.kind, entry.id, path))
            else:
                hint = did_you_mean(id, known.get(kind, ()))
                problems.append(Problem(entry.place(path), path, f'there is no {kind} "{id}"', hint))
    problems += _same_titles(entries)
    problems += _former_ids(entries, known)
    sorted_pointing = {name: tuple(sorted(of)) for name, of in sorted(pointing.items())}
    return Linked(library_of(entries, sorted_pointing), tuple(problems))


def _references(entry: Entry) -> Iterator[tuple[str, str, str]]:
    """Path, kind and id of everything that an entry points at, by a field or in its text."""
    for path, type, value, _ in walk(entry):
        if isinstance(type, Ref):
            yield path, type.kind, value
        elif isinstance(type, Text | Prose):
            for kind, id in mentions(value):
                yield path, kind, id


def _same_titles(entries: Collection[Entry]) -> Iterator[Problem]:
    seen: dict[Name, Entry] = {}
    for entry in sorted(entries, key=lambda e: (e.kind, e.id)):
        if entry.kind in ("finding", "shop"):  # findings are told apart by family and day
            continue
        first = seen.setdefault((entry.kind, entry.title.casefold()), entry)
        if first is not entry:
            yield Problem(
                entry.place("title"),
                "title",
                f'"{entry.title}" is the title of {first.id} too ({first.place("title")})',
                "change one of the two",
            )


def _former_ids(entries: Collection[Entry], known: dict[str, set[str]]) -> Iterator[Problem]:
    """A former id that is in use again would lead readers astray."""
    taken: dict[Name, Entry] = {}
    for entry in sorted(entries, key=lambda e: (e.kind, e.id)):
        for index, id in enumerate(entry.was):
            path = f"was[{index}]"
            if id in known[entry.kind]:
                yield Problem(
                    entry.place(path),
                    path,
                    f'"{id}" is the id of a living {entry.kind}',
                    "remove it here, or rename that entry",
                )
            first = taken.setdefault((entry.kind, id), entry)
            if first is not entry:
                yield Problem(
                    entry.place(path),
                    path,
                    f'"{id}" is a former id of {first.id} too ({first.place("was")})',
                    "keep it in one of the two",
                )
