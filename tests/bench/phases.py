"""One build in this process, its processor time told by phase.  ``build_bench.py`` runs it; it prints one line of JSON.

python tests/bench/phases.py CACHE OUT SHELF...
"""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "builder"))

from benchlore import pipeline, upkeep
from benchlore.keeping import Keep
from benchlore.ranking import questions as ranking
from benchlore.reckoning.book import Book
from benchlore.reckoning.compiled import Compiled
from benchlore.works import Works

PHASES = ("read", "check", "reckon", "rank", "index", "render", "publish", "keep")


class Clock:
    """Processor seconds by phase: what one phase does for another counts for the one that does it."""

    def __init__(self) -> None:
        self.seconds = dict.fromkeys(PHASES, 0.0)
        self._running: list[str] = []
        self._since = time.process_time()

    def _turn(self) -> None:
        now = time.process_time()
        if self._running:
            self.seconds[self._running[-1]] += now - self._since
        self._since = now

    def of(self, phase: str, work: Callable[..., Any]) -> Callable[..., Any]:
        """The same work, its time counted for a phase."""

        def timed(*given: Any, **named: Any) -> Any:
            self._turn()
            self._running.append(phase)
            try:
                return work(*given, **named)
            finally:
                self._turn()
                self._running.pop()

        return timed

    def watch(self, phase: str, holder: Any, *names: str) -> None:
        """Count for a phase what these functions of ``holder`` do."""
        for name in names:
            setattr(holder, name, self.of(phase, getattr(holder, name)))


def main() -> None:
    """Build and tell."""
    cache, out, *shelves = map(Path, sys.argv[1:])
    clock = Clock()
    clock.watch("read", pipeline, "gather")
    clock.watch("check", pipeline, "audits", "kept_library")
    clock.watch("reckon", Book, "_made", "_compiled")
    clock.watch("reckon", Compiled, "evaluate")
    clock.watch("rank", ranking, "Model", "export")
    clock.watch("index", upkeep, "bring_up", "_file")
    clock.watch("publish", upkeep, "publish_made")
    clock.watch("keep", Works, "settle", "hand_over", "changed", "decide")
    clock.watch("keep", upkeep, "standing", "remember")
    parts = upkeep.pieces

    def pieces(*given: Any) -> Iterator[Any]:
        for piece in parts(*given):
            yield replace(piece, make=clock.of("render", piece.make))

    upkeep.pieces = pieces
    start = time.process_time()
    pipeline.build(shelves, out, Keep(cache))
    whole = time.process_time() - start
    print(json.dumps({**clock.seconds, "the rest": whole - sum(clock.seconds.values())}))


if __name__ == "__main__":
    main()
