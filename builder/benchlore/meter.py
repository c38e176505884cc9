"""How far a long piece of work has come. Whoever works writes it, whoever shows it reads it, and neither waits for the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

READ, PROVE, CHECK, INDEX, PAGES = (
    "reading the entries",
    "proving the sums",
    "checking the entries",
    "making the search index",
    "making the pages",
)
CHECKING: Mapping[str, int] = {READ: 30, PROVE: 50, CHECK: 20}
BUILDING: Mapping[str, int] = {READ: 12, PROVE: 20, CHECK: 5, INDEX: 25, PAGES: 38}
"""Parts of a first run of the demonstration book in percent, in order; what is kept already goes by in no time."""


@dataclass
class Meter:
    """The phase a run is in, and how many of its steps are done; ``shares`` are the phases in order with their usual weight."""

    shares: Mapping[str, int]
    phase: str = ""
    done: int = 0
    of: int = 0

    def begin(self, phase: str, of: int) -> None:
        """The phase begins; it has ``of`` steps."""
        self.done, self.of, self.phase = 0, of, phase

    def step(self, steps: int = 1) -> None:
        """So many steps more are done."""
        self.done += steps

    @property
    def share(self) -> float | None:
        """How much of the whole is done, 0 to 1; None before anything is known."""
        if self.phase not in self.shares:
            return None
        names = list(self.shares)
        before = sum(self.shares[name] for name in names[: names.index(self.phase)])
        within = min(1.0, self.done / self.of) if self.of > 0 else 0.0
        return (before + within * self.shares[self.phase]) / sum(self.shares.values())


def unwatched() -> Meter:
    """A meter that nobody looks at."""
    return Meter({})
