"""The few ways in which files are put on disk: whole or not at all, and never through a link.

Used by ``publishing`` and ``sharing`` only.
"""

from __future__ import annotations

import errno
import functools
import os
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

FILE_MODE = 0o644
FOLDER_MODE = 0o755
NO_LINKS = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
EXCHANGE = 2  # RENAME_EXCHANGE of renameat2(2)
HERE = -100  # AT_FDCWD
NOT_OFFERED = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP}

WORDS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "this user's share of the disk is full",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "this user may not write there",
    errno.EPERM: "this user may not write there",
    errno.ENOENT: "it is not there any more",
    errno.ENODEV: "the drive is not there any more",
    errno.EIO: "the drive does not answer properly",
    errno.ENOTDIR: "a file stands where a folder is wanted",
    errno.EBUSY: "it is in use, or the root of a drive",
}


class MachineRefused(Exception):
    """The machine would not do it (disk, permission); the words are one plain sentence for the terminal (exit 3)."""


@contextmanager
def in_plain_words(doing: str) -> Iterator[None]:
    """Turn an OSError inside into a MachineRefused such as ``Could not write site: the disk is full (site/a.html).``"""
    try:
        yield
    except OSError as error:
        why = WORDS.get(error.errno or 0, error.strerror or str(error))
        where = f" ({os.fsdecode(error.filename)})" if error.filename else ""
        raise MachineRefused(f"Could not {doing}: {why}{where}.") from error


def new_file(path: Path, content: bytes, mode: int = FILE_MODE) -> None:
    """Write a file that must not exist yet; nothing is left of it when the disk refuses."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | NO_LINKS, mode)
    try:
        rest = memoryview(content)
        while rest:
            rest = rest[os.write(handle, rest) :]
        if hasattr(os, "fchmod"):
            os.fchmod(handle, mode)  # the same whatever the umask
    except BaseException:
        os.close(handle)
        with suppress(OSError):
            path.unlink()
        raise
    os.close(handle)


def replace_file(path: Path, content: bytes) -> None:
    """Put ``content`` at ``path`` in one step, keeping the mode of the file that was there; refuse a link."""
    mode = FILE_MODE
    with suppress(FileNotFoundError):
        there = path.lstat()
        if not stat.S_ISREG(there.st_mode):
            raise MachineRefused(f"Could not write {path}: it is not an ordinary file.")
        mode = stat.S_IMODE(there.st_mode)
    begun = f".{path.name}.benchlore-"
    beside = path.with_name(f"{begun}{os.getpid()}")
    try:
        _sweep(path.parent, begun)
        new_file(beside, content, mode)
        flush(beside)
        os.replace(beside, path)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise


def _sweep(folder: Path, begun: str) -> None:
    """Take away what a killed run left of a file: its name ends in the number of a process that is no more."""
    if os.name == "nt":
        return  # there one cannot ask after a process without touching it
    for left in [entry.name for entry in os.scandir(folder) if entry.name.startswith(begun)]:
        number = left.removeprefix(begun)
        if number.isascii() and number.isdigit() and len(number) < 10 and not _runs(int(number)):
            (folder / left).unlink(missing_ok=True)


def _runs(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OSError:
        return True
    return True


def flush(path: Path) -> None:
    """Wait until a file or folder is on the disk itself, where the system can say so."""
    if os.name == "nt" and path.is_dir():
        return
    handle = os.open(path, (os.O_RDWR if os.name == "nt" else os.O_RDONLY) | NO_LINKS)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def flush_tree(folder: Path) -> None:
    """Wait until all below ``folder`` is on the disk: one call for the file system on Linux, else one per file."""
    if (library := _library()) is not None:
        handle = os.open(folder, os.O_RDONLY)
        try:
            if library.syncfs(handle) == 0:
                return
            if (number := _error_number()) not in NOT_OFFERED:
                raise OSError(number, os.strerror(number), str(folder))
        finally:
            os.close(handle)
    for place, _, names in os.walk(folder):
        for name in names:
            if not (file := Path(place, name)).is_symlink():
                flush(file)
        flush(Path(place))


def exchange(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; False where this system or file system cannot (then nothing was done)."""
    if (library := _library()) is None:
        return False
    sys.audit("os.rename", str(one), str(other), -1, -1)
    if library.renameat2(HERE, os.fsencode(one), HERE, os.fsencode(other), EXCHANGE) == 0:
        return True
    if (number := _error_number()) in NOT_OFFERED:
        return False
    raise OSError(number, os.strerror(number), str(other))


@functools.cache
def _library() -> Any:
    """The C library, where it knows ``renameat2`` and ``syncfs`` (Linux); else None."""
    if not sys.platform.startswith("linux"):
        return None
    import ctypes

    library = ctypes.CDLL(None, use_errno=True)
    return library if hasattr(library, "renameat2") and hasattr(library, "syncfs") else None


def _error_number() -> int:
    """What went wrong in the last call of the C library."""
    import ctypes

    return ctypes.get_errno()


@contextmanager
def locked(folder: Path, seconds: float = 60) -> Iterator[None]:
    """Hold ``folder`` for one writer; others wait. A dead holder blocks nobody, and no lock file stays behind."""
    handle = _lock_handle(folder)
    deadline = time.monotonic() + seconds
    try:
        while not _try_lock(handle):
            if time.monotonic() > deadline:
                raise MachineRefused(f"Another builder has been writing in {folder} for {seconds:.0f} s; try again later.")
            time.sleep(0.02)
        yield
    finally:
        os.close(handle)


if sys.platform == "win32":
    import msvcrt

    def _lock_handle(folder: Path) -> int:
        return os.open(folder / ".benchlore-lock", os.O_RDWR | os.O_CREAT | os.O_TEMPORARY)  # goes when it is closed

    def _try_lock(handle: int) -> bool:
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _lock_handle(folder: Path) -> int:
        return os.open(folder, os.O_RDONLY)  # the folder itself: nothing to leave behind

    def _try_lock(handle: int) -> bool:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError as error:
            if error.errno not in (errno.EBADF, errno.ENOLCK, *NOT_OFFERED):
                raise
        return True  # some network drives cannot lock a folder: then builds are the shop's to keep apart
