"""Shelves to kept entries: only what is new or changed is parsed; what differs from the last time is named.

An entry's row in the ledger has as its key a digest of all texts that make it, and as its text its lines
(``entries.plain``).  An entry that exists and is not sound has no lines; its problems stand in the table of problems.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from collections.abc import Sequence as Seq
from dataclasses import dataclass
from pathlib import Path

from benchlore.entries.common import Retired
from benchlore.entries.kept import beyond_lines
from benchlore.entries.kinds import KINDS
from benchlore.entries.plain import lines_in, lines_of
from benchlore.ledger import Ledger
from benchlore.meter import READ, Meter
from benchlore.problem import Problem, problem_from
from benchlore.reading.files import LARGEST, Found, entry_files, read_bytes
from benchlore.reading.shelf import entry_of, layer_of
from benchlore.workers import spread

UNSETTLED = 3_000_000_000  # ns: a file changed so shortly before it was read may change again without showing it (FAT: 2 s)
MANY = 200  # files that are worth a second process

UNSOUND = " unsound"  # behind the key of an entry that exists and is not sound

Name = tuple[str, str]  # kind, id
_Made = tuple[dict[str, str] | None, list[Problem], str]


@dataclass(frozen=True)
class Gathered:
    """Ids of the sound entries by kind, who exists but is no entry of the book (not sound, or retired), all problems, the names
    (``entries.kept``) that changed, and what was retired."""

    ids: Mapping[str, tuple[str, ...]]
    broken: frozenset[Name]
    problems: tuple[Problem, ...]
    changed: frozenset[str]
    retired: tuple[Retired, ...] = ()


@dataclass(frozen=True)
class _File:
    """A file of a shelf with the digest of its text and, when it had to be read, the bytes; or why it could not be."""

    found: Found
    shelf: str
    digest: str
    data: bytes | None


def gather(shelves: Seq[Path], ledger: Ledger, now: int, jobs: int, meter: Meter) -> Gathered:
    """Bring the ledger's entries up to what stands on ``shelves`` (lowest first) at ``now`` (ns since 1970).

    Never stops at the first problem.  Raises ``OSError`` only for a shelf itself.
    """
    files, problems = _files(shelves, ledger, now)
    stacks: dict[str, list[_File]] = {}
    for file in files:
        stacks.setdefault(f"{file.found.kind}/{file.found.id}", []).append(file)
    keys = {name: _key(stack) for name, stack in stacks.items()}
    known = ledger.keys("entry")
    fresh = [name for name, key in keys.items() if known.get(name, "").removesuffix(UNSOUND) != key]
    changed: set[str] = set()
    hands = jobs if len(fresh) >= MANY else 1

    def made_of(stack: list[_File]) -> _Made:
        meter.step(hands)  # the helpers are about as far with theirs
        return _made(stack)

    meter.begin(READ, len(fresh))
    made = spread(made_of, [stacks[name] for name in fresh], hands)
    for name, (lines, met, gone) in zip(fresh, made, strict=True):
        known[name] = keys[name] + ("" if lines else UNSOUND)
        changed |= _keep(ledger, name, known[name], lines, met) | _keep_retired(ledger, name, gone)
    for name in known.keys() - keys.keys():
        del known[name]
        changed |= _forget(ledger, name) | _keep_retired(ledger, name, "")
    said = [problem_from(p) for _, row in ledger.rows("problem") if row.key == "reading" for p in json.loads(row.text)]
    ids, broken = _by_kind(known)
    changed |= {f"?{kind}" for kind in KINDS if kind in changed and len(ids[kind]) <= 1}
    retired = tuple(Retired(*json.loads(row.text)) for _, row in sorted(ledger.rows("retired")))
    return Gathered(ids, broken, (*problems, *said), frozenset(changed), retired)


def _by_kind(known: Mapping[str, str]) -> tuple[dict[str, tuple[str, ...]], frozenset[Name]]:
    ids: dict[str, list[str]] = {kind: [] for kind in KINDS}
    broken = set()
    for name, key in known.items():
        kind, _, id = name.partition("/")
        if key.endswith(UNSOUND):
            broken.add((kind, id))
        else:
            ids[kind].append(id)
    return {kind: tuple(sorted(of)) for kind, of in ids.items()}, frozenset(broken)


def _keep(ledger: Ledger, name: str, key: str, lines: Mapping[str, str] | None, met: Seq[Problem]) -> set[str]:
    """Keep an entry that was read anew; the names that have changed by it."""
    row = ledger.get("entry", name)
    before, after = lines_in(row.text if row else ""), lines or {}
    ledger.put("entry", name, key, "\n".join(f"{field}\t{text}" for field, text in after.items()))
    if met:
        ledger.put("problem", f"reading {name}", "reading", json.dumps([p.as_json() for p in met], ensure_ascii=False))
    else:
        ledger.remove("problem", f"reading {name}")
    changed = {f"{name} {field}" for field in before.keys() | after.keys() if before.get(field) != after.get(field)}
    if row is None or bool(before) != bool(after):
        changed |= {name, name.partition("/")[0]}
    return changed


def _keep_retired(ledger: Ledger, name: str, gone: str) -> set[str]:
    """Keep who leaves an entry out of the book (``gone``, as JSON; nothing for nobody); its name, where that has changed."""
    row = ledger.get("retired", name)
    if (row.text if row else "") == gone:
        return set()
    if gone:
        ledger.put("retired", name, "", gone)
    else:
        ledger.remove("retired", name)
    return {name}


def _forget(ledger: Ledger, name: str) -> set[str]:
    """Keep an entry no longer; the names that have changed by it."""
    row = ledger.get("entry", name)
    ledger.remove("entry", name)
    ledger.remove("problem", f"reading {name}")
    return {name, name.partition("/")[0]} | {f"{name} {field}" for field in lines_in(row.text if row else "")}


def _files(shelves: Seq[Path], ledger: Ledger, now: int) -> tuple[list[_File], list[Problem]]:
    """Every entry's file, lowest shelf first.  One that looks as it did when it was last read is not read again."""
    row = ledger.get("state", "files")
    known: Mapping[str, list[int | str]] = json.loads(row.text) if row else {}
    marks: dict[str, list[int | str]] = {}
    files: list[_File] = []
    problems: list[Problem] = []
    for shelf in shelves:
        found, unfit = entry_files(shelf)
        problems += unfit
        name = shelf.resolve().name
        for item in found:
            kept = known.get(item.file)
            if kept is not None and tuple(kept[1:]) == item.mark:
                file = _File(item, name, str(kept[0]), None)
            else:
                file = _read(item, name)
            files.append(file)
            if item.mark and item.mark[0] < now - UNSETTLED and len(file.digest) == 64:
                marks[item.file] = [file.digest, *item.mark]
    if marks != known:
        ledger.put("state", "files", "", json.dumps(marks, ensure_ascii=False))
    return files, problems


def _read(item: Found, shelf: str) -> _File:
    try:
        data = read_bytes(item)
    except OSError as error:
        return _File(item, shelf, f"refused: {error.strerror}", None)
    return _File(item, shelf, hashlib.sha256(data).hexdigest() if len(data) <= LARGEST else "too large", data)


def _key(stack: Iterable[_File]) -> str:
    told = "\0".join(f"{file.shelf}\0{file.found.file}\0{file.digest}" for file in stack)
    return hashlib.sha256(told.encode("utf-8", "surrogatepass")).hexdigest()


def _made(stack: list[_File]) -> _Made:
    """The lines of an entry, None when it is not sound or retired; its problems; and as JSON by whom it is retired."""
    problems: list[Problem] = []
    layers = [layer_of(file.found, file.shelf, problems, file.data) for file in stack]
    sound = [layer for layer in layers if layer is not None]
    entry = entry_of(stack[0].found.kind, stack[0].found.id, sound, problems) if len(sound) == len(stack) else None
    if isinstance(entry, Retired):
        gone = [entry.kind, entry.id, entry.title, entry.shelf, entry.why]
        return None, problems, json.dumps(gone, ensure_ascii=False)
    return (None if entry is None else lines_of(entry) | beyond_lines(entry)), problems, ""
