"""The whole way from shelves to site, in order, on one screen."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.auditing.rules import audit
from benchlore.keeping import Keep
from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.problem import Problem, in_order
from benchlore.reading.shelf import read_shelves
from benchlore.reckoning.book import Sums, compile_all

if TYPE_CHECKING:
    from benchlore.publishing import Published


@dataclass(frozen=True)
class Checked:
    """A library as far as it is sound, its sums, all problems in order of place, and how many entries of each kind were met."""

    library: Library
    sums: Sums
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


def check(shelves: Sequence[Path], keep: Keep) -> Checked:
    """Read, link, reckon and audit ``shelves`` (lowest first).  Raises ``OSError`` when a shelf cannot be listed."""
    reading = read_shelves(shelves)
    linked = link(reading.entries, reading.broken)
    sums, unproven = compile_all(linked.library, keep)
    problems = in_order([*reading.problems, *linked.problems, *unproven, *audit(linked.library, sums)])
    counts = {kind: len(of) for kind, of in linked.library.entries.items()}
    return Checked(linked.library, sums, tuple(problems), counts)


def build(shelves: Sequence[Path], out: Path, keep: Keep) -> Built:
    """Check ``shelves`` and, when nothing is wrong, put their site at ``out``.  With any error, nothing is written.

    Raises ``OSError`` or ``MachineRefused`` when the machine refuses; the older site then still stands.
    """
    from benchlore.publishing import publish
    from benchlore.rendering.site import render  # heavy: only a sound library is worth the import

    start = time.perf_counter()
    checked = check(shelves, keep)
    published = publish(render(checked.library, checked.sums), out) if checked.sound else None
    return Built(checked, published, time.perf_counter() - start)
