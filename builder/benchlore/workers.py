"""Work spread over processes, where the system can fork; what comes out, and its order, is the same with one as with many."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

A = TypeVar("A")
B = TypeVar("B")


def usual_jobs() -> int:
    """How many processes are worth having on this machine: two, or one where there is one core or no fork."""
    return min(2, len(os.sched_getaffinity(0))) if hasattr(os, "fork") and hasattr(os, "sched_getaffinity") else 1


def spread(work: Callable[[A], B], items: Sequence[A], jobs: int) -> Iterator[B]:
    """``work`` of each item, in their order.  What it gives must be plain data; what it raises is raised here."""
    if jobs <= 1 or len(items) < 2 or not hasattr(os, "fork"):
        yield from map(work, items)
        return
    from multiprocessing import get_context

    context = get_context("fork")
    helpers = []
    for number in range(1, jobs):
        ours, theirs = context.Pipe(duplex=False)
        process = context.Process(target=_help, args=(theirs, work, items[number::jobs]), daemon=True)
        with _no_interrupt():  # Ctrl-C is for us; a helper ends when we end it
            process.start()
        theirs.close()
        helpers.append((process, ours))
    try:
        made = [[work(item) for item in items[::jobs]], *(_received(ours) for _, ours in helpers)]
    finally:
        for process, ours in helpers:
            ours.close()
            process.terminate()
            process.join()
    for at in range(len(items)):
        yield made[at % jobs][at // jobs]


@contextmanager
def _no_interrupt() -> Iterator[None]:
    """Ctrl-C waits until this is over; what is forked meanwhile never hears it."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _help(pipe: Any, work: Callable[[A], B], items: Sequence[A]) -> None:
    """What a helper does: its share, in one parcel."""
    try:
        pipe.send([work(item) for item in items])
    except Exception as error:
        pipe.send(error)


def _received(pipe: Any) -> list[Any]:
    try:
        parcel = pipe.recv()
    except EOFError:
        raise OSError("a helper process ended before its work was done") from None
    if isinstance(parcel, BaseException):
        raise parcel
    return list(parcel)
