"""The whole way from shelves to site, in order, on one screen."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.auditing.rules import audit
from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.problem import Problem, in_order
from benchlore.reading.shelf import read_shelves

if TYPE_CHECKING:
    from benchlore.publishing import Published


@dataclass(frozen=True)
class Checked:
    """A library as far as it is sound, all problems in order of place, and how many entries of each kind were met."""

    library: Library
    problems: tuple[Problem, ...]
    counts: dict[str, int]

    @property
    def sound(self) -> bool:
        """Is there nothing that forbids building?  Warnings do not."""
        return not any(p.severity == "error" for p in self.problems)


@dataclass(frozen=True)
class Built:
    """What a build did."""

    checked: Checked
    published: Published | None
    seconds: float


def check(shelves: Sequence[Path]) -> Checked:
    """Read, link and audit ``shelves`` (lowest first).  Raises ``OSError`` when a shelf cannot be listed."""
    reading = read_shelves(shelves)
    linked = link(reading.entries, reading.broken)
    problems = in_order([*reading.problems, *linked.problems, *audit(linked.library)])
    counts = {kind: len(of) for kind, of in linked.library.entries.items()}
    return Checked(linked.library, tuple(problems), counts)


def build(shelves: Sequence[Path], out: Path) -> Built:
    """Check ``shelves`` and, when nothing is wrong, put their site at ``out``.  With any error, nothing is written.

    Raises ``OSError`` or ``MachineRefused`` when the machine refuses; the older site then still stands.
    """
    from benchlore.publishing import publish
    from benchlore.rendering.site import render  # heavy: only a sound library is worth the import

    start = time.perf_counter()
    checked = check(shelves)
    published = publish(render(checked.library), out) if checked.sound else None
    return Built(checked, published, time.perf_counter() - start)
