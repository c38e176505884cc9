"""Which characters may stand in an entry, and where the first forbidden one is."""

from __future__ import annotations

import re
import unicodedata

from benchlore.place import Place
from benchlore.problem import Problem

FORBIDDEN = re.compile(
    "["
    "\x00-\x08\x0b-\x1f\x7f-\x9f"  # controls, all but tab and line feed
    "\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"  # zero-width, separators, direction marks and overrides
    "\ud800-\udfff\ufdd0-\ufdef\ufff9-\uffff"  # lone surrogates, non-characters, object marks
    "\U000e0000-\U000e0fff"  # tag characters
    "]|[" + "".join(chr(plane * 0x10000 + low) for plane in range(1, 17) for low in (0xFFFE, 0xFFFF)) + "]"
)


def forbidden_in(text: str) -> str | None:
    """The first forbidden character's name and code (``RIGHT-TO-LEFT OVERRIDE, U+202E``), or None."""
    found = None if text.isascii() and text.isprintable() else FORBIDDEN.search(text)
    if found is None:
        return None
    character = found.group()
    return f"{unicodedata.name(character, 'a control character')}, U+{ord(character):04X}"


def decode(data: bytes, file: str) -> tuple[str, list[Problem]]:
    """Bytes of a file as text with plain line ends, and the problems met.

    A byte-order mark and CRLF are accepted.  Invalid UTF-8 and every forbidden character are problems, each with its place.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8", "replace")
        return "", [Problem(_at(before, file), "", "these bytes are not UTF-8", "save the file as UTF-8")]
    if data.count(0) > len(data) // 4:
        message = "these bytes are not UTF-8 but, it seems, UTF-16: every other one is nought"
        return "", [Problem(Place(file, 1, 1), "", message, "save the file as UTF-8")]
    text = text.replace("\r\n", "\n")
    problems = [
        Problem(
            _at(text[: found.start()], file),
            "",
            f"a character that must not stand here ({unicodedata.name(found.group(), 'a control character')}, U+{ord(found.group()):04X})",
            "remove it",
        )
        for found in (
            [] if text.isascii() and text.replace("\n", "").isprintable() else list(FORBIDDEN.finditer(text))[:20]
        )
    ]
    return text, problems


def _at(before: str, file: str) -> Place:
    return Place(file, before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1)
