"""A digest of what stands on some shelves, to know whether anything has changed without reading an entry."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from pathlib import Path

from benchlore.reading.files import entry_files, read_bytes


def stamp_of(shelves: Sequence[Path]) -> str:
    """A digest of names and bytes of all entries on ``shelves``.  Raises ``OSError`` when a shelf or entry cannot be read."""
    digest = hashlib.sha256()
    for shelf in shelves:
        found, problems = entry_files(shelf)
        digest.update(f"{shelf.as_posix()}\0{len(problems)}\0".encode())
        for item in found:
            digest.update(f"{item.kind}\0{item.id}\0".encode() + hashlib.sha256(read_bytes(item)).digest())
    return digest.hexdigest()
