"""A bar while something takes longer than a moment; silence where nobody is looking."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from benchlore.meter import Meter

PATIENCE = 0.8
"""Seconds of work that need no sign."""
BEAT = 0.1


@contextmanager
def waiting(doing: str, quiet: bool = False, shares: Mapping[str, int] | None = None) -> Iterator[Meter]:
    """Show ``doing`` and how far it is on standard error while the body runs; the body's meter says how far that is.

    ``shares`` are the phases of the work with their usual weight; without them the bar only says that something is going on.
    Nothing is shown in the first moment, when standard error is no terminal, when the terminal is dumb, or when asked to be
    quiet; ``NO_COLOR`` takes the colour away. The line is gone before anything else is printed.
    """
    meter = Meter(shares or {})
    if quiet or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield meter
        return
    done = threading.Event()
    shown = threading.Thread(target=_show, args=(doing, meter, done), daemon=True)
    shown.start()
    try:
        yield meter
    finally:
        done.set()
        shown.join()


def _show(doing: str, meter: Meter, done: threading.Event) -> None:
    """Look at the meter ten times a second, so that whoever works never waits for the terminal."""
    if done.wait(PATIENCE):
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeElapsedColumn

    parts = (TextColumn("{task.description}"), BarColumn(bar_width=24), TaskProgressColumn(), TimeElapsedColumn())
    with Progress(
        *parts, console=Console(stderr=True), transient=True, redirect_stdout=False, redirect_stderr=False
    ) as bar:
        task = bar.add_task(doing, total=None)
        while not done.wait(BEAT):
            share = meter.share
            if share is not None:
                bar.update(task, description=f"{doing}: {meter.phase}", total=100, completed=100 * share)
