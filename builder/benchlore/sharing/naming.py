"""The name of an entry's file, where none is given: the same in the terminal, in the form and on the job sheet (naming.js)."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Mapping
from itertools import count
from string import ascii_lowercase
from typing import Any

MOST = 56  # room for a number behind it


def id_for(kind: str, given: Mapping[str, Any], taken: Container[str]) -> str:
    """An id that is not ``taken``, from what is known of an entry; empty where too little is.

    A finding is called after its day, its family and the initials of who signs, so that files sort by day and two technicians
    never meet on one name (without initials a letter stands there); any other entry after its title.
    """
    told = {name: value for name, value in given.items() if isinstance(value, str)}
    if kind != "finding":
        start = _slug(told.get("title", ""), MOST)
        return start and _free(start, taken)
    who = _slug(told.get("technician", ""), 6)
    words = " ".join(told[name] for name in ("date", "family") if told.get(name))
    head = _slug(words, MOST - 1 - max(1, len(who)))
    if not head or who:
        return head and _free(f"{head}-{who}", taken)
    letter = next((one for one in ascii_lowercase if f"{head}-{one}" not in taken), None)
    return f"{head}-{letter}" if letter else _free(f"{head}-z", taken)


def _slug(words: str, most: int) -> str:
    plain = "".join(c for c in unicodedata.normalize("NFKD", words) if not unicodedata.category(c).startswith("M"))
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).removeprefix("-")[:most].removesuffix("-")


def _free(start: str, taken: Container[str]) -> str:
    """``start``, or with the first number that makes it free."""
    return start if start not in taken else next(id for n in count(2) if (id := f"{start}-{n}") not in taken)
