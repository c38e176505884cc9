"""Shelves to entries: every file read, upper shelves amending lower ones, every problem kept."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence as Seq
from pathlib import Path
from typing import NamedTuple

from benchlore.entries.common import Entry, Retired
from benchlore.entries.kinds import KINDS
from benchlore.place import Place
from benchlore.problem import Problem
from benchlore.reading import amending
from benchlore.reading.characters import decode
from benchlore.reading.files import LARGEST, Found, entry_files, read_bytes
from benchlore.reading.nodes import Mapping, Refused, compose
from benchlore.reading.records import BAD, Converter


class Reading(NamedTuple):
    """What reading gives: the sound entries, all problems, (kind, id) of entries that are not sound, and what was retired."""

    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]
    broken: frozenset[tuple[str, str]]
    retired: tuple[Retired, ...] = ()


class Layer(NamedTuple):
    """One shelf's file for an entry: its nodes, the digest of its text, and its shelf."""

    node: Mapping
    digest: str
    shelf: str
    file: str


def read_shelves(shelves: Seq[Path]) -> Reading:
    """Entries of ``shelves``, lowest first; never stops at the first problem.  Raises ``OSError`` only for a shelf itself."""
    layers: dict[tuple[str, str], list[Layer]] = {}
    problems: list[Problem] = []
    broken: set[tuple[str, str]] = set()
    for shelf in shelves:
        found, unfit = entry_files(shelf)
        problems += unfit
        for item in found:
            layer = layer_of(item, shelf.resolve().name, problems)
            if layer is None:
                broken.add((item.kind, item.id))
            else:
                layers.setdefault((item.kind, item.id), []).append(layer)
    entries: list[Entry] = []
    retired: list[Retired] = []
    for (kind, id), stack in sorted(layers.items()):
        entry = entry_of(kind, id, stack, problems)
        if isinstance(entry, Entry):
            entries.append(entry)
        elif entry is not None:
            retired.append(entry)
        else:
            broken.add((kind, id))
    return Reading(tuple(entries), tuple(problems), frozenset(broken), tuple(retired))


def digest_of(data: bytes) -> str:
    """The short digest by which an amendment names the text it was written against."""
    return hashlib.sha256(data).hexdigest()[:16]


def layer_of(item: Found, shelf: str, problems: list[Problem], data: bytes | None = None) -> Layer | None:
    """One file's nodes, from ``data`` where it has been read already; None when anything in it was reported."""
    try:
        data = read_bytes(item) if data is None else data
    except OSError as error:
        message, hint = f"cannot be read ({error.strerror})", "check that the file is there and may be read"
        problems.append(Problem(Place(item.file), "", message, hint))
        return None
    if len(data) > LARGEST:
        problems.append(
            Problem(Place(item.file), "", f"larger than {LARGEST >> 20} MiB", "split it or remove what does not belong")
        )
        return None
    text, met = decode(data, item.file)
    problems += met
    if met:
        return None
    try:
        return Layer(compose(text, item.file), digest_of(data), shelf, item.file)
    except Refused as refused:
        problems.append(refused.problem)
        return None


def entry_of(kind: str, id: str, stack: Seq[Layer], problems: list[Problem]) -> Entry | Retired | None:
    """The entry that a stack of layers gives, lowest first; that it is retired; None when anything in it was reported."""
    merged = amending.merge(kind, stack, problems)
    if merged is None:
        return None
    converter = Converter()
    converter.places[""] = Place(merged.place.file)
    extra = {
        "id": id,
        "kind": kind,
        "shelf": stack[-1].shelf if len(stack) == 1 else stack[0].shelf,
        "located": converter.places,
        "amended": tuple(word for layer in stack[1:] for word in amending.words_of(layer)),
    }
    made = converter.record(merged, KINDS[kind], "", extra)
    problems += converter.problems
    return None if made is BAD else amending.retirement(kind, id, stack) or made
