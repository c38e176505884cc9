"""Puts the built site in place: the old one or the new one, never a mixture, and nothing of anybody else's lost.

The new site is written beside the old one, flushed, and exchanged with it in one step; what the builder did not make
(it keeps a list of its own files in the site) is carried over.  Where folders cannot be exchanged, two renames do,
and the next start mends what a power cut left between them.
"""

from __future__ import annotations

import errno
import hashlib
import os
import re
import stat
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from benchlore.writing import FOLDER_MODE, MachineRefused, exchange, flush, flush_tree, in_plain_words, locked, new_file

MANIFEST = ".benchlore-manifest"
MANIFEST_HEAD = "Made by benchlore; it removes only what is listed here."
MOST_FOREIGN = 20_000
PAGE_PATH = re.compile(r"(?:[A-Za-z0-9_-][A-Za-z0-9._-]*/)*[A-Za-z0-9_-][A-Za-z0-9._-]*\Z")


@dataclass(frozen=True, slots=True)
class Published:
    """What a run did: pages in the site, files written, stale files removed; not ``changed``: it touched nothing."""

    pages: int
    written: int
    removed: int
    changed: bool


def publish(pages: Mapping[str, bytes], out: Path) -> Published:
    """Make the folder ``out`` hold exactly ``pages`` (path from the site's root, with ``/``, to content) and what else it held.

    Raises MachineRefused, with the old site as it was, when the disk, a permission or a stranger's file is in the way;
    ValueError for a page path that could leave the folder or clash on another system.
    """
    _check_paths(pages)
    with in_plain_words(f"write the site {out}"):
        if out.is_symlink():
            raise MachineRefused(f"Could not write the site {out}: it is a link; name the folder itself.")
        out.parent.mkdir(parents=True, exist_ok=True)
        out = out.resolve()
        if out.is_mount() or not out.name:
            raise MachineRefused(f"Could not write the site {out}: it is the root of a drive; name a folder on it.")
        with locked(out.parent):
            return _Place(out).hold(pages)


def _check_paths(pages: Mapping[str, bytes]) -> None:
    """Hold every page to small, safe paths that differ in more than case and are not folders of each other."""
    seen: dict[str, str] = {}
    for path in pages:
        if not PAGE_PATH.match(path) or ".." in path:
            raise ValueError(f"not a path for a page: {path!r}")
        if (other := seen.setdefault(path.lower(), path)) != path:
            raise ValueError(f"two pages differ only in case: {other!r} and {path!r}")
    for path in pages:
        for folder in _folders(path):
            if folder.lower() in seen:
                raise ValueError(f"{folder!r} is a page and a folder")


def _folders_of(paths: Iterable[str]) -> set[str]:
    """All folders that the paths lie in."""
    return {folder for path in paths for folder in _folders(path)}


def _folders(path: str) -> Iterator[str]:
    """The folders above a path, nearest first."""
    while "/" in path:
        path = path.rpartition("/")[0]
        yield path


class _Place:
    """One output folder and the two names beside it that the builder uses while it works."""

    def __init__(self, out: Path) -> None:
        self.out = out
        self.new = out.with_name(f".{out.name}.benchlore-new")
        self.old = out.with_name(f".{out.name}.benchlore-old")

    def hold(self, pages: Mapping[str, bytes]) -> Published:
        """Mend, compare, write beside, exchange, tidy. The caller holds the lock."""
        self.mend()
        self.refuse_links(pages)
        listed = _listed(self.out)
        manifest = _manifest(pages)
        same = {path for path, content in pages.items() if _read(self.out / path) == content}
        stale = listed - set(pages)
        if len(same) == len(pages) and not stale and _read(self.out / MANIFEST) == manifest:
            return Published(len(pages), 0, 0, changed=False)
        if self.out.exists() and not os.access(self.out, os.W_OK | os.X_OK):
            raise PermissionError(errno.EACCES, "", str(self.out))
        foreign = self.foreign(listed | same, pages)
        try:
            self.write(pages, manifest, same, foreign)
            self.swap()
        finally:
            self.tidy()
        return Published(len(pages), len(pages) - len(same), len(stale), changed=True)

    def refuse_links(self, pages: Mapping[str, bytes]) -> None:
        """Refuse a folder that cannot be one, or in which a link stands where a page or its folder must go."""
        if self.out.exists() and not self.out.is_dir():
            raise MachineRefused(f"Could not write the site {self.out}: a file of that name is in the way.")
        for path in sorted(set(pages) | _folders_of(pages) | {MANIFEST}):
            if (self.out / path).is_symlink():
                raise MachineRefused(f"Could not write the site: {self.out / path} is a link; take it away.")

    def foreign(self, own: set[str], pages: Mapping[str, bytes]) -> list[str]:
        """What is in the folder and not the builder's own; refused when it stands where a page must go."""
        own_folders = _folders_of(own)
        page_names = {path.lower() for path in pages}
        folder_names = {folder.lower() for folder in _folders_of(pages)}
        foreign = []
        for path in _walk(self.out):
            is_folder = _is_folder(self.out / path)
            if path == MANIFEST or (path in own_folders if is_folder else path in own):
                continue
            if path.lower() in page_names or (path.lower() in folder_names and not is_folder):
                raise MachineRefused(f"Could not write the site: {self.out / path} is not the builder's; move it away.")
            foreign.append(path)
            if len(foreign) > MOST_FOREIGN:
                raise MachineRefused(f"Could not write the site: {self.out} holds much else; name a folder of its own.")
        return foreign

    def write(self, pages: Mapping[str, bytes], manifest: bytes, same: set[str], foreign: list[str]) -> None:
        """Write the whole new site beside the old one; what did not change is linked, not written again."""
        self.new.mkdir()
        new_file(self.new / MANIFEST, manifest)  # first, so that a later start knows these files for the builder's
        folders = _folders_of(pages) | _folders_of(foreign) | {path for path in foreign if _is_folder(self.out / path)}
        for folder in sorted(folders):
            (self.new / folder).mkdir()
        for path in foreign:
            if path not in folders:
                _carry(self.out / path, self.new / path)
        for path, content in pages.items():
            if not (path in same and _link(self.out / path, self.new / path)):
                new_file(self.new / path, content)
        for folder in [*sorted(folders, reverse=True), ""]:
            there = self.out / folder
            (self.new / folder).chmod(stat.S_IMODE(there.stat().st_mode) if _is_folder(there) else FOLDER_MODE)
        flush_tree(self.new)

    def swap(self) -> None:
        """The one step: after it the new site is in place, before it the old one is."""
        if not self.out.exists():
            os.rename(self.new, self.out)
        elif not exchange(self.new, self.out):
            os.rename(self.out, self.old)
            try:
                os.rename(self.new, self.out)
            except BaseException:
                os.rename(self.old, self.out)
                raise
        flush(self.out.parent)

    def tidy(self) -> None:
        """Take away what lies beside; once more if the machine hiccups."""
        try:
            self.mend()
        except OSError:
            self.mend()

    def mend(self) -> None:
        """Finish or undo what an earlier run left: never the site's loss, and never a stranger's file's."""
        if not self.out.exists() and _is_folder(self.old):
            os.rename(self.old, self.out)
        for beside in (self.new, self.old):
            if _is_folder(beside):
                _sweep(beside, self.out)


def _sweep(beside: Path, out: Path) -> None:
    """Remove a folder of the builder's own; a stranger's file in it that ``out`` does not have moves there first."""
    listed = _listed(beside)
    paths = [path for path in _walk(beside) if path != MANIFEST]
    folders = {path for path in paths if _is_folder(beside / path)}
    for folder in folders:
        if not os.access(beside / folder, os.W_OK | os.X_OK):
            (beside / folder).chmod(FOLDER_MODE)
    for path in paths:
        here = beside / path
        if path in folders:
            continue
        if path in listed or _same(here, out / path):
            here.unlink()
            continue
        target = out / path
        while os.path.lexists(target):
            target = target.with_name(target.name + ".kept")
        target.parent.mkdir(parents=True, exist_ok=True)
        os.rename(here, target)
    for folder in sorted(folders, key=len, reverse=True):
        (beside / folder).rmdir()
    (beside / MANIFEST).unlink(missing_ok=True)  # last: until then it says whose the files are
    beside.rmdir()


def _manifest(pages: Mapping[str, bytes]) -> bytes:
    """The list of the builder's own files with their SHA-256, sorted."""
    lines = [f"{hashlib.sha256(pages[path]).hexdigest()}  {path}" for path in sorted(pages)]
    return "\n".join([MANIFEST_HEAD, *lines, ""]).encode("utf-8")


def _listed(folder: Path) -> set[str]:
    """The paths in a folder's manifest; none where there is no manifest of ours. Used to match, never to open."""
    lines = (_read(folder / MANIFEST) or b"").decode("utf-8", errors="replace").splitlines()
    if not lines or lines[0] != MANIFEST_HEAD:
        return set()
    return {line[66:] for line in lines[1:] if line[64:66] == "  "}


def _walk(folder: Path) -> Iterator[str]:
    """Every path below a folder, sorted in each, a folder before what is in it; links are not followed."""
    waiting = [""]
    while waiting:
        below = waiting.pop()
        with suppress(FileNotFoundError), os.scandir(folder / below) as entries:
            for entry in sorted(entries, key=lambda e: e.name):
                path = f"{below}/{entry.name}" if below else entry.name
                yield path
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(path)


def _is_folder(path: Path) -> bool:
    """A folder itself, not a link to one."""
    return path.is_dir() and not path.is_symlink()


def _read(path: Path) -> bytes | None:
    """An ordinary file's content; None when there is none or a link stands there."""
    try:
        there = path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    return path.read_bytes() if stat.S_ISREG(there.st_mode) else None


def _same(one: Path, other: Path) -> bool:
    """The same file, or one with the same content."""
    with suppress(OSError):
        if os.path.samestat(one.lstat(), other.lstat()):
            return True
    content = _read(one)
    return content is not None and content == _read(other)


def _link(source: Path, target: Path) -> bool:
    """A second name for a file, which costs nothing; False where the disk has no such thing."""
    try:
        os.link(source, target, follow_symlinks=False)
    except (OSError, NotImplementedError):
        return False
    return True


def _carry(source: Path, target: Path) -> None:
    """Bring a stranger's file or link along as it is."""
    if _link(source, target):
        return
    if source.is_symlink():
        os.symlink(source.readlink(), target)
    elif (content := _read(source)) is not None:
        new_file(target, content, stat.S_IMODE(source.stat().st_mode))
    else:
        raise MachineRefused(f"Could not write the site: {source} is not an ordinary file; move it away.")
