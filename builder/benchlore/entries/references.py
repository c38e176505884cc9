"""What an entry points at."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.entries.common import Entry
from benchlore.entries.fields import Prose, Ref, Text
from benchlore.entries.mentions import mentions
from benchlore.entries.walking import walk


def references(entry: Entry) -> Iterator[tuple[str, str, str]]:
    """Path, kind and id of everything that an entry points at, by a field or in its text."""
    for path, type, value, _ in walk(entry):
        if isinstance(type, Ref):
            yield path, type.kind, value
        elif isinstance(type, Text | Prose):
            for kind, id in mentions(value):
                yield path, kind, id
