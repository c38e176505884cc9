"""Mentions of entries in text: Markdown links whose scheme is a kind, such as ``[making safe](procedure:making-safe)``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from benchlore.entries.kinds import KINDS

MENTION = re.compile(r"\]\((" + "|".join(KINDS) + r"):([^)#\s]*)(?:#([^)\s]*))?\)")


class Mention(NamedTuple):
    """An entry spoken of in a text."""

    kind: str
    id: str


def mentions(text: str) -> Iterator[Mention]:
    """The entries that ``text`` links to, in order."""
    if "](" in text:
        for found in MENTION.finditer(text):
            yield Mention(found[1], found[2])
