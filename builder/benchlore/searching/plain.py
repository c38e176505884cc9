"""Markdown to plain words, for tokens and snippets: marks go, words stay, a mention without words shows the entry's title."""

from __future__ import annotations

import re
from collections.abc import Callable

_LINK = re.compile(r"\[([^\[\]]*)\]\(([^()\s]*)[^()]*\)")
_MARKS = re.compile(r"\\(?=[^\w\s])|`+|\*\*?|(?<!\w)_+|_+(?!\w)")
_BULLET = re.compile(r"^\s*(?:[-*+]|\d{1,3}[.)]|#{1,6}|>)\s+")
_SPACE = re.compile(r"\s+")


def plain_lines(text: str, title_of: Callable[[str, str], str]) -> list[str]:
    """The lines of ``text`` without Markdown: one for each paragraph, list item or table row.

    ``title_of`` takes kind and id and gives the words that stand for a mention without words of its own.
    """
    lines: list[list[str]] = []
    open_line = False
    for raw in _LINK.sub(lambda m: m[1] or title_of(*_target(m[2])), text).splitlines():
        starts = _BULLET.match(raw) is not None or "|" in raw
        words = _SPACE.sub(" ", _MARKS.sub("", _BULLET.sub("", raw)).replace("|", " ")).strip(" -")
        if not words:
            open_line = False
        elif open_line and not starts:
            lines[-1].append(words)
        else:
            lines.append([words])
            open_line = True
    return [" ".join(parts) for parts in lines]


def _target(address: str) -> tuple[str, str]:
    kind, colon, id = address.partition(":")
    return (kind, id.partition("#")[0]) if colon else ("", "")
