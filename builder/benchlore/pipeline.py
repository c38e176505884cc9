"""The whole way from shelves to site, in order, on one screen."""

from __future__ import annotations

import gc
import hashlib
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.auditing.works import audits
from benchlore.entries.kept import Reads
from benchlore.keeping import Keep, code_digest
from benchlore.ledger import Ledger, Lost
from benchlore.linking.kept import kept_library
from benchlore.linking.library import Library
from benchlore.linking.questions import QUESTIONS
from benchlore.meter import Meter, unwatched
from benchlore.problem import Problem, in_order
from benchlore.reading.gathering import gather
from benchlore.reckoning.book import Book, Sums
from benchlore.standing import as_it_was
from benchlore.works import Works

if TYPE_CHECKING:
    from benchlore.publishing import Published


@dataclass(frozen=True)
class Checked:
    """A library as far as it is sound, its sums, all problems in order of place, and how many entries of each kind were met."""

    library: Library
    sums: Sums
    problems: tuple[Problem, ...]
    counts: dict[str, int]
    works: Works

    @property
    def sound(self) -> bool:
        """Is there nothing that forbids building?  Warnings do not."""
        return not self.errors

    @property
    def errors(self) -> tuple[Problem, ...]:
        """The problems that forbid building."""
        return tuple(p for p in self.problems if p.severity == "error")


@dataclass(frozen=True)
class Built:
    """What a build did."""

    checked: Checked
    published: Published | None
    seconds: float


def check(shelves: Sequence[Path], keep: Keep, jobs: int = 1, meter: Meter | None = None) -> Checked:
    """Read, link, reckon and audit ``shelves`` (lowest first): what changed since the last time, and what rests on it.

    ``meter`` is told how far it is.  Raises ``OSError`` when a shelf cannot be listed.
    """
    meter = meter or unwatched()
    try:
        return _checked(shelves, keep, jobs, _ledger_of(shelves, keep), meter)
    except Lost:
        return _checked(shelves, keep, jobs, None, meter)


def _checked(shelves: Sequence[Path], keep: Keep, jobs: int, ledger: Path | None, meter: Meter) -> Checked:
    with _no_collector():
        works = Works(Ledger(ledger, code_digest()), Reads(), meter)
        gathered = gather(shelves, works.ledger, time.time_ns(), jobs, meter)
        library = kept_library(gathered.ids, works, gathered.retired)
        sums = Book(library, keep)
        works.knows(*QUESTIONS, sums.question)
        works.changed(gathered.changed)
        works.decide(library)
        found = audits(library, sums, works, gathered, jobs)
        works.settle()
    counts = {kind: len(ids) for kind, ids in gathered.ids.items()}
    return Checked(library, sums, tuple(in_order([*gathered.problems, *found])), counts, works)


def build(shelves: Sequence[Path], out: Path, keep: Keep, jobs: int = 1, meter: Meter | None = None) -> Built:
    """Check ``shelves`` and, when nothing is wrong, put their site at ``out``.  With any error, nothing is written.

    ``meter`` is told how far it is.  Raises ``OSError`` or ``MachineRefused`` when the machine refuses; the older site then
    still stands.
    """
    start, meter = time.perf_counter(), meter or unwatched()
    try:
        checked, published = _built(shelves, out, keep, jobs, _ledger_of(shelves, keep), meter)
    except Lost:
        checked, published = _built(shelves, out, keep, jobs, None, meter)
    return Built(checked, published, time.perf_counter() - start)


def _built(
    shelves: Sequence[Path], out: Path, keep: Keep, jobs: int, ledger: Path | None, meter: Meter
) -> tuple[Checked, Published | None]:
    checked = _checked(shelves, keep, jobs, ledger, meter)
    if not checked.sound:
        return checked, None
    if (published := as_it_was(checked.works, out)) is not None:
        return checked, published
    from benchlore.upkeep import (
        keep_up,  # heavy: only a sound library in which something has changed is worth the import
    )

    with _no_collector():
        published = keep_up(checked.library, checked.sums, checked.works, out, jobs)
        checked.works.settle()
    return checked, published


def _ledger_of(shelves: Sequence[Path], keep: Keep) -> Path | None:
    """Where is kept what was worked out from this stack of shelves."""
    if keep.folder is None:
        return None
    names = "\0".join(f"{shelf.as_posix()}\0{shelf.resolve()}" for shelf in shelves)
    return keep.folder / f"works-{hashlib.sha256(names.encode('utf-8', 'surrogateescape')).hexdigest()[:16]}.db"


@contextmanager
def _no_collector() -> Iterator[None]:
    """Without the collector of rings: a build makes millions of things that stay, and it would look at them over and over."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
