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
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from benchlore.writing import FOLDER_MODE, MachineRefused, exchange, flush, flush_tree, in_plain_words, locked, new_file

MANIFEST = ".benchlore-manifest"
NEXT_MANIFEST = ".benchlore-manifest-next"
MANIFEST_HEAD = "Made by benchlore; it removes only what is listed here."
MOST_FOREIGN = 20_000
PAGE_PATH = re.compile(r"(?:[A-Za-z0-9_-][A-Za-z0-9._-]*/)*[A-Za-z0-9_-][A-Za-z0-9._-]*\Z")


Mark = tuple[int, ...]
"""Time of change, size and number of a file: another file, or the same one changed, has another mark."""


@dataclass(frozen=True, slots=True)
class Published:
    """What a run did: pages in the site, files written, stale files removed; not ``changed``: it touched nothing.

    ``marks`` tell the files that were made in this run from any that take their place later.
    """

    pages: int
    written: int
    removed: int
    changed: bool
    marks: Mapping[str, Mark] = field(default_factory=dict)


Put = Callable[[str, bytes], str]
"""Puts a page's content in place of the old one and gives its SHA-256.  Works in a forked helper too, once ``ready`` was called."""


class Make(Protocol):
    """What makes pages."""

    def __call__(self, put: Put, ready: Callable[[], None]) -> Mapping[str, str]:
        """Put every page that does not stand as it should, and give the SHA-256 of each; call ``ready`` before forking."""
        ...


def publish(pages: Mapping[str, bytes], out: Path) -> Published:
    """Make the folder ``out`` hold exactly ``pages`` (path from the site's root, with ``/``, to content) and what else it held.

    Raises MachineRefused, with the old site as it was, when the disk, a permission or a stranger's file is in the way;
    ValueError for a page path that could leave the folder or clash on another system.
    """

    def make(put: Put, ready: Callable[[], None]) -> dict[str, str]:
        return {path: put(path, content) for path, content in pages.items()}

    return publish_made(pages, {}, make, out)


def publish_made(paths: Collection[str], standing: Mapping[str, str], make: Make, out: Path) -> Published:
    """The same for pages that come one by one: ``paths`` are all of them, ``standing`` the SHA-256 of those known to stand as they should."""
    _check_paths(paths)
    with in_plain_words(f"write the site {out}"):
        if out.is_symlink():
            raise MachineRefused(f"Could not write the site {out}: it is a link; name the folder itself.")
        out.parent.mkdir(parents=True, exist_ok=True)
        out = out.resolve()
        if out.is_mount() or not out.name:
            raise MachineRefused(f"Could not write the site {out}: it is the root of a drive; name a folder on it.")
        with locked(out.parent):
            return _Place(out, frozenset(paths)).hold(standing, make)


def standing_in(out: Path, marks: Mapping[str, Mark]) -> set[str]:
    """Those of the files of these marks that are in the folder ``out`` as they were."""
    return {path for path, mark in _marks(out, marks.keys()).items() if mark == marks[path]}


def _marks(folder: Path, paths: Collection[str]) -> dict[str, Mark]:
    """The marks of those of ``paths`` that are ordinary files."""
    found: dict[str, Mark] = {}
    for path, entry in _entries(folder):
        if path in paths and entry.is_file(follow_symlinks=False):
            there = entry.stat(follow_symlinks=False)
            found[path] = (there.st_mtime_ns, there.st_size, there.st_ino)
    return found


def _check_paths(pages: Iterable[str]) -> None:
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

    def __init__(self, out: Path, paths: frozenset[str]) -> None:
        self.out, self.paths = out, paths
        self.new = out.with_name(f".{out.name}.benchlore-new")
        self.old = out.with_name(f".{out.name}.benchlore-old")
        self.folders = _folders_of(paths)
        self.begun = False

    def hold(self, standing: Mapping[str, str], make: Make) -> Published:
        """Mend, make what is wanting beside the old site, exchange, tidy. The caller holds the lock."""
        self.mend()
        self.refuse_links()
        listed = _listed(self.out)
        try:
            digests = dict(standing) | dict(make(self.put, self.begin))
            manifest = _manifest(digests)
            stale = listed.keys() - digests.keys()
            if not stale and not self.written() and _read(self.out / MANIFEST) == manifest:
                return Published(len(digests), 0, 0, False, _marks(self.out, digests.keys() - standing.keys()))
            if self.out.exists() and not os.access(self.out, os.W_OK | os.X_OK):
                raise PermissionError(errno.EACCES, "", str(self.out))
            self.begin()
            written = self.written()
            same = self.paths - written
            foreign = self.foreign(set(listed) | same)
            self.finish(manifest, same, foreign)
            marks = _marks(self.new, digests.keys() - standing.keys())
            self.swap()
        finally:
            self.tidy()
        return Published(len(digests), len(written), len(stale), True, marks)

    def refuse_links(self) -> None:
        """Refuse a folder that cannot be one, or in which a link stands where a page or its folder must go."""
        if self.out.exists() and not self.out.is_dir():
            raise MachineRefused(f"Could not write the site {self.out}: a file of that name is in the way.")
        links = {path for path, entry in _entries(self.out) if entry.is_symlink()}
        for path in sorted(links & (self.paths | self.folders | {MANIFEST})):
            raise MachineRefused(f"Could not write the site: {self.out / path} is a link; take it away.")

    def begin(self) -> None:
        """Make the new folder, first of all the list in it, so that a later start knows these files for the builder's."""
        if not self.begun:
            self.begun = True
            self.new.mkdir()
            new_file(self.new / MANIFEST, _manifest(dict.fromkeys(self.paths, "0" * 64)))
            for folder in sorted(self.folders):
                (self.new / folder).mkdir()

    def put(self, path: str, content: bytes) -> str:
        """Write a page that differs from the one that stands; its SHA-256."""
        if path not in self.paths:
            raise ValueError(f"not a page of this site: {path!r}")
        if _read(self.out / path) != content:
            self.begin()
            new_file(self.new / path, content)
        return hashlib.sha256(content).hexdigest()

    def written(self) -> set[str]:
        """The pages written into the new folder, by whichever process.  A folder that cannot be listed is an error, not an empty one."""
        if not self.begun:
            return set()
        found: set[str] = set()
        for folder in ("", *self.folders):
            with os.scandir(self.new / folder) as entries:
                found.update(f"{folder}/{e.name}" if folder else e.name for e in entries)
        return found & self.paths

    def foreign(self, own: set[str]) -> list[str]:
        """What is in the folder and not the builder's own; refused when it stands where a page must go."""
        own_folders = _folders_of(own)
        page_names = {path.lower() for path in self.paths}
        folder_names = {folder.lower() for folder in self.folders}
        foreign = []
        for path, entry in _entries(self.out):
            is_folder = entry.is_dir(follow_symlinks=False)
            if path == MANIFEST or (path in own_folders if is_folder else path in own):
                continue
            if path.lower() in page_names or (path.lower() in folder_names and not is_folder):
                raise MachineRefused(f"Could not write the site: {self.out / path} is not the builder's; move it away.")
            foreign.append(path)
            if len(foreign) > MOST_FOREIGN:
                raise MachineRefused(f"Could not write the site: {self.out} holds much else; name a folder of its own.")
        return foreign

    def finish(self, manifest: bytes, same: set[str] | frozenset[str], foreign: list[str]) -> None:
        """Bring the pages that stand and what is not the builder's into the new folder; these are linked, not written again."""
        new_file(self.new / NEXT_MANIFEST, manifest)
        os.replace(self.new / NEXT_MANIFEST, self.new / MANIFEST)  # at no time without a list
        folders = (_folders_of(foreign) | {path for path in foreign if _is_folder(self.out / path)}) - self.folders
        for folder in sorted(folders):
            (self.new / folder).mkdir()
        for path in foreign:
            if path not in folders and path not in self.folders:
                _carry(self.out / path, self.new / path)
        for path in same:
            if not _link(f"{self.out}/{path}", f"{self.new}/{path}"):
                _carry(self.out / path, self.new / path)
        for folder in [*sorted(folders | self.folders, reverse=True), ""]:
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
        """Take away what lies beside; once more if the machine hiccups or somebody presses Ctrl-C meanwhile."""
        try:
            self.mend()
        except BaseException as stopped:
            self.mend()
            if not isinstance(stopped, OSError):
                raise

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
    found = [
        (path, entry.is_dir(follow_symlinks=False))
        for path, entry in _entries(beside)
        if path not in (MANIFEST, NEXT_MANIFEST)
    ]
    folders = {path for path, is_folder in found if is_folder}
    for folder in folders:
        if not os.access(beside / folder, os.W_OK | os.X_OK):
            (beside / folder).chmod(FOLDER_MODE)
    for path, is_folder in found:
        if is_folder:
            continue
        if path in listed or _same(beside / path, out / path):
            os.unlink(f"{beside}/{path}")
            continue
        target = out / path
        while os.path.lexists(target):
            target = target.with_name(target.name + ".kept")
        target.parent.mkdir(parents=True, exist_ok=True)
        os.rename(beside / path, target)
    for folder in sorted(folders, key=len, reverse=True):
        (beside / folder).rmdir()
    (beside / NEXT_MANIFEST).unlink(missing_ok=True)
    (beside / MANIFEST).unlink(missing_ok=True)  # last: until then it says whose the files are
    beside.rmdir()


def _manifest(digests: Mapping[str, str]) -> bytes:
    """The list of the builder's own files with their SHA-256, sorted."""
    lines = [f"{digests[path]}  {path}" for path in sorted(digests)]
    return "\n".join([MANIFEST_HEAD, *lines, ""]).encode("utf-8")


def _listed(folder: Path) -> dict[str, str]:
    """The paths in a folder's manifest and their SHA-256; none where there is no manifest of ours. Used to match, never to open."""
    lines = (_read(folder / MANIFEST) or b"").decode("utf-8", errors="replace").splitlines()
    if not lines or lines[0] != MANIFEST_HEAD:
        return {}
    return {line[66:]: line[:64] for line in lines[1:] if line[64:66] == "  "}


def _entries(folder: Path) -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Every path below a folder, sorted in each, a folder before what is in it; links are not followed."""
    waiting = [""]
    while waiting:
        below = waiting.pop()
        with suppress(FileNotFoundError, NotADirectoryError), os.scandir(f"{folder}/{below}") as entries:
            for entry in sorted(entries, key=lambda e: e.name):
                path = f"{below}/{entry.name}" if below else entry.name
                yield path, entry
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


def _link(source: Path | str, target: Path | str) -> bool:
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
