"""Checks a shelf in a process of its own and prints, as JSON, every audit event (PEP 578) that came of it.

    python watched_check.py build|read WARM SHELF

What is imported is imported before it looks, on a shelf like it; ``build`` makes the site too, ``read`` leaves out the sums.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path

from benchlore.keeping import Keep
from benchlore.pipeline import build, check

events: list[list[str]] = []
listening = False


def hear(event: str, arguments: tuple[object, ...]) -> None:
    """Note an event while listening."""
    if listening:
        events.append([event, *(str(a) for a in arguments[:2])])


def run(what: str, shelf: Path, out: Path) -> None:
    """Check or build."""
    if what == "build":
        build([shelf], out, Keep(None))
    else:
        check([shelf], Keep(None))


what, warm, shelf = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
with tempfile.TemporaryDirectory() as folder:
    run(what, warm, Path(folder) / "warm")
    sys.addaudithook(hear)
    listening = True
    run(what, shelf, Path(folder) / "site")
    listening = False
json.dump(events, sys.stdout)
