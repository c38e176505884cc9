"""Which files of a shelf are entries: ordinary files of good name and size, each looked at before it is opened."""

from __future__ import annotations

import os
import re
import stat
from dataclasses import dataclass, replace
from pathlib import Path

from benchlore.entries.folders import FOLDERS
from benchlore.place import Place
from benchlore.problem import Problem, did_you_mean

LARGEST = 1 << 20
NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
RESERVED = frozenset({"con", "prn", "aux", "nul"} | {f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10)})
IGNORED = ("README.md", "LICENSE", "LICENCE")


@dataclass(frozen=True)
class Found:
    """One entry's file.  ``mark`` (times of change in ns, size, number) differs whenever the file does, a few seconds apart."""

    kind: str
    id: str
    path: Path
    file: str
    mark: tuple[int, ...] = ()


def entry_files(shelf: Path) -> tuple[list[Found], list[Problem]]:
    """The files of a shelf that are entries, in order of kind and id, and what is wrong with the rest.

    Raises ``OSError`` when the shelf itself cannot be listed.
    """
    found: list[Found] = []
    problems: list[Problem] = []
    for item in sorted(os.scandir(shelf), key=lambda item: item.name):
        file = _shown(shelf, item.name)
        if item.name.startswith(".") or item.name in IGNORED:
            continue
        if item.name == "shop.yaml":
            _take(item, Found("shop", "shop", Path(item.path), file), None, found, problems)
        elif item.is_dir(follow_symlinks=False):
            _folder(shelf, item, file, found, problems)
        elif item.is_symlink():
            problems.append(_link(file))
        elif item.name.endswith((".yaml", ".yml")):
            problems.append(
                Problem(
                    Place(file),
                    "",
                    "an entry outside the folder of its kind",
                    "move it into one of " + ", ".join(FOLDERS),
                )
            )
    return found, problems


def _folder(shelf: Path, folder: os.DirEntry[str], file: str, found: list[Found], problems: list[Problem]) -> None:
    kind = FOLDERS.get(folder.name)
    try:
        items = sorted(os.scandir(folder.path), key=lambda item: item.name)
    except FileNotFoundError:  # gone since the shelf was listed
        return
    if kind is None:
        if any(item.name.endswith((".yaml", ".yml")) for item in items):
            problems.append(
                Problem(
                    Place(file),
                    "",
                    f"no kind of entry lives in a folder named {folder.name}",
                    did_you_mean(folder.name, FOLDERS),
                )
            )
        return
    names = {item.name for item in items}
    for item in items:
        if item.name.startswith(".") or item.name.endswith("~") or item.name in IGNORED:
            continue
        shown = _shown(shelf, folder.name, item.name)
        one = Found(kind, item.name.removesuffix(".yaml"), Path(item.path), shown)
        _take(item, one, _clash(item.name, names, shown), found, problems)


def _take(
    item: os.DirEntry[str], one: Found, clash: Problem | None, found: list[Found], problems: list[Problem]
) -> None:
    """Put the item among what was found, or what is wrong with it among the problems."""
    try:
        status = item.stat(follow_symlinks=False)
    except FileNotFoundError:  # somebody is saving beside us: gone since the folder was listed, so not of this book
        return
    problem = clash or _unfit(item.name, status, one.file)
    if problem is None:
        found.append(replace(one, mark=_mark(status)))
    else:
        problems.append(problem)


def _mark(status: os.stat_result) -> tuple[int, ...]:
    return (max(status.st_mtime_ns, status.st_ctime_ns), status.st_mtime_ns, status.st_size, status.st_ino)


def _clash(name: str, names: set[str], file: str) -> Problem | None:
    """Two names that are one file on a disk that does not tell capitals apart."""
    plain = name.lower()
    if name == plain or plain not in names:
        return None
    return Problem(
        Place(file), "", f"differs only in capitals from {plain} beside it", "keep one of the two, in small letters"
    )


def _unfit(name: str, status: os.stat_result, file: str) -> Problem | None:
    """Why this item of a folder cannot be an entry, or None."""
    place = Place(file)
    if stat.S_ISLNK(status.st_mode):
        return _link(file)
    if not stat.S_ISREG(status.st_mode):
        what = "a folder" if stat.S_ISDIR(status.st_mode) else "a pipe, socket or device"
        return Problem(
            place, "", f"{what} where an entry should be", "only ordinary .yaml files may stand here; move it away"
        )
    stem = name.removesuffix(".yaml")
    if stem == name:
        return Problem(
            place,
            "",
            "not an entry: its name does not end in .yaml",
            f"name it {Path(name).stem}.yaml, or move it out of the shelf",
        )
    if not NAME.fullmatch(stem) or len(stem) > 60:
        return Problem(
            place, "", f'"{stem}" cannot be an id', "use up to 60 small letters and digits, joined by single hyphens"
        )
    if stem in RESERVED:
        return Problem(place, "", f'"{stem}" is a reserved file name on some machines', "choose another name")
    if status.st_size > LARGEST:
        return Problem(
            place,
            "",
            f"larger than {LARGEST >> 20} MiB",
            "no entry needs that; split it or remove what does not belong",
        )
    return None


def _link(file: str) -> Problem:
    return Problem(
        Place(file), "", "a link to another file", "put the file itself here: nothing outside the shelf is read"
    )


def _shown(shelf: Path, *parts: str) -> str:
    """The file as the technician would type it; forward slashes everywhere, so that output is the same on every machine."""
    text = "/".join((shelf.as_posix(), *parts))
    return text.encode("utf-8", "replace").decode("utf-8")


def read_bytes(found: Found) -> bytes:
    """The file's bytes, never following a link that has slipped in since it was looked at.

    Raises ``OSError``; reads at most one byte more than the largest size allowed.
    """
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with open(os.open(found.path, flags), "rb") as stream:
        return stream.read(LARGEST + 1)
