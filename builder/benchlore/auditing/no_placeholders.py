"""Nothing is left to be filled in.

Passes: ``summary: A small combo with printed boards.``
Fails:  ``summary: TODO``
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.entries.walking import walk
from benchlore.linking.library import Library
from benchlore.problem import Problem

LEFT = re.compile(r"\bTODO\b|\bFIXME\b|\bTBD\b|\blorem ipsum\b|^\.\.\.$")


def check(library: Library) -> Iterator[Problem]:
    """Texts that a draft left for a person to write."""
    for of_kind in library.entries.values():
        for entry in of_kind.values():
            for path, _, value, _ in walk(entry):
                if isinstance(value, str) and LEFT.search(value):
                    yield Problem(
                        entry.place(path),
                        path,
                        "still to be written",
                        "fill it in, or leave the line out where it may be",
                    )
