"""Opens a bundle as what it is: a file from somebody else. Nothing in it is believed before it is checked."""

from __future__ import annotations

import hashlib
import io
import json
import re
import stat
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchlore.entries.kinds import FOLDERS
from benchlore.reading.characters import decode
from benchlore.reading.files import LARGEST, NAME, RESERVED
from benchlore.reading.nodes import Mapping as Record
from benchlore.reading.nodes import Refused, compose
from benchlore.sharing.bundling import FORMAT, MANIFEST, Name
from benchlore.writing import in_plain_words

LARGEST_BUNDLE = 64 << 20
MOST_ENTRIES = 20_000
PATH = re.compile(r"([a-z]+)/([a-z0-9-]+)\.yaml")


class Unfit(Exception):
    """The file is no bundle that may be taken in; the words say why."""


@dataclass(frozen=True)
class Packed:
    """One entry of a bundle: its place, its bytes, and its nodes."""

    kind: str
    id: str
    path: str
    data: bytes
    node: Record


@dataclass(frozen=True)
class Bundle:
    """A bundle that has been checked: whose it is, and its entries by kind and id."""

    shelf: str
    shop: str
    licence: str
    by: tuple[str, ...]
    date: str
    leans_on: Mapping[Name, str]
    """What it points at outside itself, and the digest of the text that it was written against (or nothing)."""
    entries: Mapping[Name, Packed]


def open_bundle(path: Path) -> Bundle:
    """Check a bundle whole: every path, size and digest, and that each entry is readable. Raises Unfit, MachineRefused."""
    with in_plain_words(f"read {path}"), path.open("rb") as stream:
        data = stream.read(LARGEST_BUNDLE + 1)
    if len(data) > LARGEST_BUNDLE:
        raise Unfit(f"{path} is larger than {LARGEST_BUNDLE >> 20} MiB: no shelf needs that")
    files = _unpacked(data, str(path))
    about = _manifest(files.pop(MANIFEST, b""), str(path))
    _whole(files, about, str(path))
    entries = {}
    for name in sorted(files):
        packed = _entry(name, files[name], f"{path}/{name}")
        entries[packed.kind, packed.id] = packed
    return Bundle(
        shelf=_words(about, "shelf"),
        shop=_words(about, "shop"),
        licence=_words(about, "licence"),
        by=tuple(_clean(who[:6]) for who in _list(about, "by") if isinstance(who, str)),
        date=_words(about, "date"),
        leans_on={
            (str(need["kind"])[:60], str(need["id"])[:60]): str(need.get("version", ""))[:16]
            for need in _listed(about, "leans_on")
            if {"kind", "id"} <= set(need)
        },
        entries=entries,
    )


def _unpacked(data: bytes, file: str) -> dict[str, bytes]:
    """The members of the zip, each an ordinary small file of a known place; sizes are believed only as far as bytes come."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            members = archive.infolist()
            if len(members) > MOST_ENTRIES:
                raise Unfit(f"{file} holds more than {MOST_ENTRIES} files")
            files: dict[str, bytes] = {}
            left = LARGEST_BUNDLE
            for member in members:
                _plain_member(member, files, file)
                most = min(left, LARGEST_BUNDLE if member.filename == MANIFEST else LARGEST)
                with archive.open(member) as stream:
                    content = stream.read(most + 1)
                if len(content) > most:
                    raise Unfit(f"{file}: {member.filename} unpacks to more than an entry may hold")
                left -= len(content)
                files[member.filename] = content
    except (zipfile.BadZipFile, EOFError, ValueError, NotImplementedError, RuntimeError, OSError) as error:
        raise Unfit(f"{file} is no bundle, or a damaged one ({str(error) or 'cut short'})") from None
    except Exception as error:  # zlib.error is no ValueError, and other methods have errors of their own
        raise error if isinstance(error, Unfit) else Unfit(f"{file} is damaged ({error})") from None
    return files


def _plain_member(member: zipfile.ZipInfo, known: Mapping[str, bytes], file: str) -> None:
    """Refuse a member that is a link or folder, is encrypted, stands outside the shelf, or stands there twice."""
    name = member.filename
    shown = "".join(c if c.isprintable() else "?" for c in name[:80])
    mode = member.external_attr >> 16
    if member.is_dir() or (mode and not stat.S_ISREG(mode) and stat.S_IFMT(mode)):
        raise Unfit(f"{file}: {shown} is not an ordinary file")
    if member.flag_bits & 1 or member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise Unfit(f"{file}: {shown} is packed in a way that a bundle is not")
    if name in known:
        raise Unfit(f"{file}: {shown} stands in it twice")
    met = PATH.fullmatch(name)
    good = met and met[1] in FOLDERS and NAME.fullmatch(met[2]) and len(met[2]) <= 60 and met[2] not in RESERVED
    if name != MANIFEST and not good:
        raise Unfit(f"{file}: {shown} is no place for an entry")


def _manifest(data: bytes, file: str) -> dict[str, Any]:
    """The bundle's own account of itself."""
    try:
        about = json.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        raise Unfit(f"{file} is no bundle: it has no readable {MANIFEST}") from None
    if not isinstance(about, dict) or repr(about.get("benchlore_bundle")) != repr(FORMAT):
        raise Unfit(f"{file} is no bundle of a form that this version knows")
    return about


def _whole(files: Mapping[str, bytes], about: dict[str, Any], file: str) -> None:
    """Refuse a bundle in which any entry is missing, added or changed."""
    listed = {str(item.get("path")): item.get("sha256") for item in _listed(about, "entries")}
    for name in sorted(set(listed) ^ set(files)):
        raise Unfit(f"{file} is damaged: {_clean(name[:80])} is {'not in its list' if name in files else 'missing'}")
    for name, data in sorted(files.items()):
        if hashlib.sha256(data).hexdigest() != listed[name]:
            raise Unfit(f"{file} is damaged: {name} is not what was packed")


def _entry(path: str, data: bytes, file: str) -> Packed:
    """One entry, readable and without anything that an entry may not hold."""
    folder, _, name = path.partition("/")
    text, problems = decode(data, file)
    if problems:
        raise Unfit(str(problems[0]))
    try:
        return Packed(FOLDERS[folder], name.removesuffix(".yaml"), path, data, compose(text, file))
    except Refused as refused:
        raise Unfit(str(refused.problem)) from None


def _list(about: dict[str, Any], name: str) -> list[Any]:
    """A list of the manifest; none where it is something else."""
    found = about.get(name, [])
    return found if isinstance(found, list) else []


def _listed(about: dict[str, Any], name: str) -> list[dict[str, Any]]:
    """The records of a list of the manifest."""
    return [item for item in _list(about, name) if isinstance(item, dict)]


def _words(about: dict[str, Any], name: str) -> str:
    """A word of the manifest as one clean line."""
    text = about.get(name, "")
    return _clean(text[:120]) if isinstance(text, str) else ""


def _clean(text: str) -> str:
    return "".join(c for c in text if c.isprintable())
