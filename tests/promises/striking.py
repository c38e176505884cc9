"""A command run in a child in which one file call goes wrong: it is refused, interrupted, or the last thing before a kill."""

from __future__ import annotations

import errno
import os
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import benchlore.cli.building
import benchlore.cli.sharing
import benchlore.cli.writing
import benchlore.sharing.tidy
import benchlore.upkeep  # noqa: F401  all of them here once, so that no child spends its time on importing

CALLS = {
    "open", "os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "os.chmod", "os.scandir", "os.listdir",
    "os.symlink", "os.truncate", "sqlite3.connect",
}  # fmt: skip
"""Python's audit events (PEP 578) for calls that look at the disk or change it."""

Strike = Callable[[], None]


def full() -> None:
    """The disk is full."""
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), "somewhere")


def forbidden() -> None:
    """This user may not."""
    raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), "somewhere")


def gone() -> None:
    """The stick was pulled out."""
    raise OSError(errno.ENODEV, os.strerror(errno.ENODEV), "somewhere")


def interrupt() -> None:
    """Ctrl-C."""
    raise KeyboardInterrupt


def kill() -> None:
    """The power goes."""
    os.kill(os.getpid(), signal.SIGKILL)


@dataclass(frozen=True)
class Ended:
    """How a struck command ended: its status (minus the signal that ended it), what it said, whether it came to the call."""

    status: int
    out: str
    said: str
    struck: bool


def run(words: Sequence[str], below: Path, strike: Strike | None = None, at: int = 0, env: Mapping[str, str] | None = None) -> Ended:
    """Run ``benchlore WORDS`` in a forked child, and ``strike`` at its file call number ``at`` below a folder."""
    with tempfile.TemporaryDirectory() as elsewhere:
        out, said, came = (Path(elsewhere) / name for name in ("out", "said", "came"))
        child = os.fork()
        if child == 0:
            _in_child(words, below, strike, at, {**os.environ, **(env or {})}, (out, said, came))
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        return Ended(status, out.read_text("utf-8"), said.read_text("utf-8"), came.exists())


def _in_child(
    words: Sequence[str], below: Path, strike: Strike | None, at: int, env: Mapping[str, str], files: tuple[Path, Path, Path]
) -> None:
    """Never comes back."""
    status = 99
    try:
        for number, file in zip((1, 2), files[:2], strict=True):
            os.dup2(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), number)
        sys.stdout, sys.stderr = open(1, "w", closefd=False), open(2, "w", closefd=False)  # noqa: SIM115 pytest's own are not these
        os.environ |= env
        came, seen = os.open(files[2].parent, os.O_RDONLY), 0

        def hook(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal seen
            if event in CALLS and arguments and str(below) in str(arguments[0]):
                seen += 1
                if seen == at and strike is not None:
                    os.close(os.open("came", os.O_CREAT | os.O_WRONLY, dir_fd=came))
                    strike()

        sys.addaudithook(hook)
        from benchlore.cli.main import main

        main(list(words))
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else 98
    except BaseException:
        import traceback

        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def every(words: Callable[[], Sequence[str]], below: Path, strike: Strike, step: int, env: Mapping[str, str]) -> Iterator[tuple[int, Ended]]:
    """Strike at every ``step``-th file call, each time in a run of its own, until a run has fewer calls than that."""
    for at in range(1, 20_000, step):
        ended = run(words(), below, strike, at, env)
        if not ended.struck:
            return
        yield at, ended
    raise AssertionError("the run never ends")
