"""Where a value stands in the text that a person wrote."""

from __future__ import annotations

from typing import NamedTuple


class Place(NamedTuple):
    """A file and the line and column (both from 1) where a value or key begins.  Made for every value read, so it is small."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
