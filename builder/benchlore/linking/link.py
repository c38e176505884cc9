"""Entries to a library: every reference and mention resolved, nothing dangling."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import NamedTuple

from benchlore.entries.common import Entry, Retired
from benchlore.entries.references import references
from benchlore.linking.library import Library, Pointer, library_of
from benchlore.problem import Problem, did_you_mean

Name = tuple[str, str]  # kind, id


class Linked(NamedTuple):
    """The library, and what is wrong with how its entries point at each other."""

    library: Library
    problems: tuple[Problem, ...]


def link(entries: Collection[Entry], broken: Collection[Name] = (), retired: Collection[Retired] = ()) -> Linked:
    """Join entries into a library.

    ``broken`` names entries that exist but could not be read: pointing at one is no problem of the pointer's, nor is pointing
    at one that a shelf has retired.
    """
    problems: list[Problem] = []
    broken = {*broken, *((one.kind, one.id) for one in retired)}
    pointing: dict[Name, set[Pointer]] = {}
    library = library_of(entries, {})
    for entry in entries:
        refs = list(references(entry))
        problems += dangling(entry, refs, library, broken)
        for path, kind, id in refs:
            pointing.setdefault((kind, id), set()).add(Pointer(entry.kind, entry.id, path))
    problems += clashes(library, broken)
    known = {name: tuple(sorted(of)) for name, of in sorted(pointing.items()) if library.get(*name) or name in broken}
    return Linked(library_of(entries, known, retired), tuple(problems))


def dangling(
    entry: Entry, refs: Iterable[Sequence[str]], library: Library, broken: Collection[Name]
) -> Iterator[Problem]:
    """What ``entry`` points at (path, kind, id) and the library has not."""
    for path, kind, id in refs:
        of_kind = library.entries.get(kind, {})
        if id not in of_kind and (kind, id) not in broken:
            yield Problem(entry.place(path), path, f'there is no {kind} "{id}"', did_you_mean(id, of_kind))


def clashes(library: Library, broken: Collection[Name] = ()) -> Iterator[Problem]:
    """Titles that two entries of a kind have, and former ids that are in use again."""
    entries = [entry for of in library.entries.values() for entry in of.values()]
    yield from _same_titles(entries)
    yield from _former_ids(entries, library, broken)


def _same_titles(entries: Collection[Entry]) -> Iterator[Problem]:
    seen: dict[Name, Entry] = {}
    for entry in entries:
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


def _former_ids(entries: Collection[Entry], library: Library, broken: Collection[Name]) -> Iterator[Problem]:
    """A former id that is in use again would lead readers astray."""
    taken: dict[Name, Entry] = {}
    for entry in entries:
        for index, id in enumerate(entry.was):
            path = f"was[{index}]"
            if id in library.entries[entry.kind] or (entry.kind, id) in broken:
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
