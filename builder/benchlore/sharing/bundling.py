"""A shelf, or chosen entries of it, packed into one file for another shop: what it is, whose, and proof that it is whole."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Collection, Iterable
from pathlib import Path
from typing import Any

from benchlore.entries.common import Entry
from benchlore.linking.library import Library
from benchlore.reading.files import Found, entry_files, read_bytes
from benchlore.reading.shelf import digest_of
from benchlore.sharing.draft import place_of
from benchlore.writing import in_plain_words, replace_file

MANIFEST = "bundle.json"
FORMAT = 1
Name = tuple[str, str]  # kind, id


class NothingToPack(Exception):
    """There is no such entry on the shelf; the words say so."""


def write_bundle(out: Path, packed: bytes) -> None:
    """Put a bundle on disk in one step. Raises MachineRefused."""
    with in_plain_words(f"write {out}"):
        replace_file(out, packed)


def bundle(shelf: Path, library: Library, chosen: Collection[Name] = (), version: str = "") -> bytes:
    """The bytes of a bundle of the entries of ``shelf`` (the uppermost of ``library``): all, or the chosen and what they need.

    The shop's own page never goes along (prices, people), nor anything that is not an entry. The same entries give the
    same bytes. Raises NothingToPack.
    """
    own = {(found.kind, found.id): found for found in entry_files(shelf)[0] if found.kind != "shop"}
    if missing := sorted(set(chosen) - set(own)):
        raise NothingToPack(f"there is no {missing[0][0]} {missing[0][1]} on {shelf}")
    needs = _needs(library)
    names = _closure(chosen, needs, own) if chosen else set(own)
    if not names:
        raise NothingToPack(f"there is no entry on {shelf}")
    texts = {place_of(*name): read_bytes(own[name]) for name in sorted(names)}
    outside = sorted({need for name in names for need in needs.get(name, ())} - names)
    entries = [entry for name in sorted(names) if (entry := library.get(*name)) is not None]
    about = _about(shelf, library, entries, version) | {
        "leans_on": [_leaned_on(library, name) for name in outside if name[0] != "shop"],
        "entries": [
            {"path": path, "bytes": len(text), "sha256": hashlib.sha256(text).hexdigest()}
            for path, text in texts.items()
        ],
    }
    return _packed({MANIFEST: json.dumps(about, ensure_ascii=False, indent=2).encode("utf-8") + b"\n", **texts})


def _about(shelf: Path, library: Library, entries: Iterable[Entry], version: str) -> dict[str, Any]:
    """Where a bundle comes from: never a price, never a name."""
    days = [day for entry in entries for day in (entry.added, entry.changed, getattr(entry, "date", None)) if day]
    initials = {who for entry in entries for who in (*entry.by, getattr(entry, "technician", "")) if who}
    shop = library.shop
    return {
        "benchlore_bundle": FORMAT,
        "made_with": version,
        "shelf": shelf.resolve().name,
        "shop": shop.title if shop else "",
        "licence": (shop.licence if shop else None) or "",
        "by": sorted(initials),
        "date": max(days).isoformat() if days else "",
    }


def _leaned_on(library: Library, name: Name) -> dict[str, str]:
    """An entry of a shelf below, and the digest of its text: which version these entries were written against."""
    kind, id = name
    entry = library.get(kind, id)
    if entry is None:
        return {"kind": kind, "id": id}
    file = entry.place().file
    return {"kind": kind, "id": id, "version": digest_of(read_bytes(Found(kind, id, Path(file), file)))}


def _needs(library: Library) -> dict[Name, set[Name]]:
    """Which entries each entry points at."""
    needs: dict[Name, set[Name]] = {}
    for target, pointers in library.pointing.items():
        for pointer in pointers:
            needs.setdefault((pointer.kind, pointer.id), set()).add(target)
    return needs


def _closure(chosen: Collection[Name], needs: dict[Name, set[Name]], own: dict[Name, Found]) -> set[Name]:
    """The chosen entries and what they point at, as far as it stands on the same shelf."""
    names: set[Name] = set()
    waiting = list(chosen)
    while waiting:
        name = waiting.pop()
        if name in own and name not in names:
            names.add(name)
            waiting += needs.get(name, ())
    return names


def _packed(files: dict[str, bytes]) -> bytes:
    """A zip without times, people or compression, so that its bytes depend on the entries alone."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as archive:
        for path, content in files.items():
            info = zipfile.ZipInfo(path, (1980, 1, 1, 0, 0, 0))
            info.create_system = 3
            info.external_attr = 0o100644 << 16
            archive.writestr(info, content)
    return out.getvalue()
