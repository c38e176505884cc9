"""Writes what was taken from a bundle: all of it or nothing, and undone by one command."""

from __future__ import annotations

import base64
import hashlib
import json
import os
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from benchlore.problem import Problem
from benchlore.sharing.comparing import NotTaken
from benchlore.writing import MachineRefused, flush, in_plain_words, locked, replace_file

JOURNAL = ".benchlore-undo.json"
UNDER_WAY = "under way"
DONE = "done"


def absorb(shelf: Path, files: Mapping[str, bytes], verify: Callable[[], Sequence[Problem]]) -> tuple[str, ...]:
    """Write ``files`` (path on the shelf to content), then ask ``verify``; give back the paths that changed.

    ``verify`` reads the shelves as they now are and returns what is wrong. With anything wrong, or when the disk or the
    technician stops it, the shelf is as it was: NotTaken with the problems, MachineRefused, or KeyboardInterrupt.
    A run that was killed is taken back at the next one.
    """
    with in_plain_words(f"write on the shelf {shelf}"), locked(shelf):
        _mend(shelf)
        changed = {path: data for path, data in sorted(files.items()) if _read(shelf, path) != data}
        if not changed:
            return ()
        earlier = _read(shelf, JOURNAL)
        steps = [_step(shelf, path, data) for path, data in changed.items()]
        try:
            _note(shelf, UNDER_WAY, steps)
            for path, data in changed.items():
                (shelf / path).parent.mkdir(exist_ok=True)
                replace_file(shelf / path, data)
            if problems := verify():
                raise NotTaken("Nothing was taken in: with it, the entries would not be sound.", problems)
            _note(shelf, DONE, steps)
        except BaseException:
            _take_back(shelf, steps)
            if earlier is not None:
                replace_file(shelf / JOURNAL, earlier)
            raise
        return tuple(changed)


def undo(shelf: Path) -> tuple[str, ...]:
    """Take the last absorbing back and give the paths. Raises NotTaken when there is none, or a file was changed since."""
    with in_plain_words(f"write on the shelf {shelf}"), locked(shelf):
        if mended := _mend(shelf):
            return mended
        journal = _journal(shelf)
        if journal is None:
            raise NotTaken("There is nothing to undo.")
        steps = journal["files"]
        since = [step["path"] for step in steps if _digest(_read(shelf, step["path"])) != step["after"]]
        if since:
            raise NotTaken(f"Nothing was undone: {', '.join(since)} changed since.")
        taken = {step["path"]: _read(shelf, step["path"]) for step in steps}
        try:
            _note(shelf, UNDER_WAY, steps)
            _take_back(shelf, steps)
        except BaseException:
            _put_again(shelf, taken)
            _note(shelf, DONE, steps)
            raise
        return tuple(taken)


def _mend(shelf: Path) -> tuple[str, ...]:
    """Take back what a killed run left half done, and give its paths."""
    journal = _journal(shelf)
    if journal is None or journal["state"] != UNDER_WAY:
        return ()
    _take_back(shelf, journal["files"])
    return tuple(step["path"] for step in journal["files"])


def _take_back(shelf: Path, steps: Sequence[Mapping[str, Any]]) -> None:
    """Put every file back as it was before; one that somebody changed meanwhile is left alone."""
    for step in steps:
        path, before = step["path"], step["before"]
        if _digest(_read(shelf, path)) != step["after"]:
            continue
        if before is None:
            (shelf / path).unlink()
            with suppress(OSError):
                (shelf / path).parent.rmdir()  # only when it is empty
        else:
            replace_file(shelf / path, base64.b64decode(before))
    (shelf / JOURNAL).unlink(missing_ok=True)


def _put_again(shelf: Path, taken: Mapping[str, bytes | None]) -> None:
    """Put what was taken in where it stood before undoing was stopped."""
    for path, data in taken.items():
        if data is not None and _read(shelf, path) != data:
            (shelf / path).parent.mkdir(exist_ok=True)
            replace_file(shelf / path, data)


def _step(shelf: Path, path: str, data: bytes) -> dict[str, Any]:
    """What undoing one file takes: its content before, and the digest by which one knows that it is still ours."""
    if (shelf / path).parent.is_symlink() or (shelf / path).is_symlink():
        raise MachineRefused(f"Could not write {shelf / path}: there is a link in the way.")
    before = _read(shelf, path)
    return {"path": path, "before": base64.b64encode(before).decode() if before is not None else None, "after": _digest(data)}


def _note(shelf: Path, state: str, steps: Sequence[Mapping[str, Any]]) -> None:
    """Write down what is being done, before it is done."""
    text = json.dumps({"state": state, "files": list(steps)}, indent=1) + "\n"
    replace_file(shelf / JOURNAL, text.encode("utf-8"))
    flush(shelf)


def _journal(shelf: Path) -> dict[str, Any] | None:
    """The note of the last absorbing, if it is one of ours and names only places of entries."""
    try:
        journal = json.loads((_read(shelf, JOURNAL) or b"").decode("utf-8"))
        good = journal["state"] in (UNDER_WAY, DONE) and all(
            set(step) == {"path", "before", "after"} and _inside(step["path"]) for step in journal["files"]
        )
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return journal if good else None


def _inside(path: str) -> bool:
    """A path of an entry, one folder deep."""
    folder, _, name = path.partition("/")
    return folder.isalpha() and name.endswith(".yaml") and os.sep not in name and "/" not in name and not name.startswith(".")


def _read(shelf: Path, path: str) -> bytes | None:
    """A file's content, or None where there is none."""
    file = shelf / path
    return file.read_bytes() if file.is_file() and not file.is_symlink() else None


def _digest(data: bytes | None) -> str | None:
    return None if data is None else hashlib.sha256(data).hexdigest()
