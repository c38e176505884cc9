"""A sign of life while something takes longer than a moment; silence where nobody is looking."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

PATIENCE = 0.8
"""Seconds of work that need no sign."""


@contextmanager
def waiting(doing: str, quiet: bool = False) -> Iterator[None]:
    """Show ``doing`` and the seconds so far on standard error while the body runs.

    Nothing is shown in the first moment, when standard error is no terminal, when the terminal is dumb, or when asked to be
    quiet; ``NO_COLOR`` takes the colour away. The line is gone before anything else is printed.
    """
    if quiet or not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield
        return
    done = threading.Event()
    shown = threading.Thread(target=_show, args=(doing, done), daemon=True)
    shown.start()
    try:
        yield
    finally:
        done.set()
        shown.join()


def _show(doing: str, done: threading.Event) -> None:
    if done.wait(PATIENCE):
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    parts = (TextColumn("{task.description}"), BarColumn(bar_width=24), TimeElapsedColumn())
    with Progress(
        *parts, console=Console(stderr=True), transient=True, redirect_stdout=False, redirect_stderr=False
    ) as bar:
        bar.add_task(doing, total=None)
        done.wait()
