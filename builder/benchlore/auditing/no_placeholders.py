"""Nothing is left to be filled in.

Passes: ``summary: A small combo with printed boards.``
Fails:  ``summary: TODO``
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.entries.common import Entry
from benchlore.entries.walking import walk
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

LEFT = re.compile(r"\bTODO\b|\bFIXME\b|\bTBD\b|\blorem ipsum\b|^\.\.\.$")


def check(entry: Entry, library: Library, sums: Sums) -> Iterator[Problem]:
    """Texts that a draft left for a person to write."""
    for path, _, value, _ in walk(entry):
        if isinstance(value, str) and LEFT.search(value):
            message, hint = "still to be written", "fill it in, or take the line out if the field is optional"
            yield Problem(entry.place(path), path, message, hint)
