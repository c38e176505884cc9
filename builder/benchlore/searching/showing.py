"""Which part of a document answers a query: the section to open, the line to show, and the words to mark in it."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchlore.searching.analysis import also_as, tokens
from benchlore.searching.document import Document, Line, Section
from benchlore.searching.lexicon import Lexicon

LONGEST_SNIPPET = 180
LEAD = 50  # characters shown before the first marked word of a long line

_SAID_SHORTLY = ("names", "owner")
_CHUNK = re.compile(r"\S+")
_LEAD = re.compile("^[^0-9A-Za-z\u00c0-\uffff#]+")
_TAIL = re.compile("[^0-9A-Za-z\u00c0-\uffff+%]+$")


@dataclass(frozen=True, slots=True)
class Shown:
    """The address's anchor, the section's heading ("" at the page's top), the line, and where in it to mark words."""

    anchor: str
    heading: str
    snippet: str
    marks: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class _Best:
    worth: float
    line: Line | None
    section: Section


def show(document: Document, wanted: Sequence[tuple[float, Collection[int]]], lexicon: Lexicon) -> Shown:
    """The line of ``document`` that answers best.

    ``wanted`` has for each word of the query its worth and the groups that stand for it.  A section is opened only when
    it answers more of the query than the page's top does.
    """
    reader = _Reader(lexicon, wanted)
    top = document.sections[0]
    head = reader.worth(" ".join(line.text for line in top.lines if line.field in ("title", "names", "owner", "summary")))
    best = max((reader.best(section) for section in document.sections), key=lambda one: one.worth)
    if best.section is top or best.worth <= head or best.line is None:
        line = _top_line(top, reader)
        return Shown("", "", *reader.cut(line.text if line else document.title))
    return Shown(best.line.anchor or best.section.anchor, best.section.heading, *reader.cut(best.line.text))


def _top_line(top: Section, reader: _Reader) -> Line | None:
    """The line of the page's top that says most: the best of its text, or a name or an owner's words that answer more than title and text do."""
    text = [line for line in top.lines if line.field not in ("title", *_SAID_SHORTLY)]
    text = [line for line in text if line.field == "summary"] + [line for line in text if line.field != "summary"]
    best = max(text, key=lambda line: reader.worth(line.text), default=None)
    short = max((line for line in top.lines if line.field in _SAID_SHORTLY), key=lambda line: reader.worth(line.text), default=None)
    known = max([reader.worth(line.text) for line in (top.lines[0], best) if line is not None])
    return short if short is not None and (best is None or reader.worth(short.text) > known) else best


@dataclass(frozen=True, slots=True)
class _Reader:
    lexicon: Lexicon
    wanted: Sequence[tuple[float, Collection[int]]]

    def groups(self, text: str) -> set[int]:
        read = tokens(text)
        words = {token.text for token in read}
        words.update(part for word in list(words) for part in also_as(word))
        words.update(a.text + b.text for a, b in pairwise(read))
        held = {group for word in words if (group := self.lexicon.group(word)) is not None}
        return held.union(meaning for group in held for meaning in self.lexicon.meanings.get(str(group), ()))

    def worth(self, text: str) -> float:
        """How much of the query ``text`` answers."""
        held = self.groups(text)
        return sum(worth for worth, groups in self.wanted if not held.isdisjoint(groups))

    def best(self, section: Section) -> _Best:
        line = max(section.lines, key=lambda one: self.worth(one.text), default=None)
        return _Best(self.worth(line.text) if line else 0.0, line, section)

    def cut(self, text: str) -> tuple[str, tuple[tuple[int, int], ...]]:
        """``text`` cut to a snippet around its first wanted word, and the stretches to mark."""
        everything = set().union(*(groups for _, groups in self.wanted)) if self.wanted else set()
        marks = [span for span in _chunks(text) if not self.groups(text[span[0] : span[1]]).isdisjoint(everything)]
        start = 0
        if len(text) > LONGEST_SNIPPET and marks and marks[0][0] > LEAD:
            start = text.find(" ", marks[0][0] - LEAD) + 1
        end = len(text)
        if end - start > LONGEST_SNIPPET:
            end = max(text.rfind(" ", start, start + LONGEST_SNIPPET), start + 1)
        before = "… " if start else ""
        shift = len(before) - start
        kept = tuple((a + shift, b + shift) for a, b in marks if a >= start and b <= end)
        return before + text[start:end] + (" …" if end < len(text) else ""), kept


def _chunks(text: str) -> list[tuple[int, int]]:
    """The stretches of ``text`` between spaces, without the marks at their edges."""
    found = []
    for match in _CHUNK.finditer(text):
        lead = _LEAD.match(match[0])
        start = match.start() + (lead.end() if lead else 0)
        tail = _TAIL.search(text[start : match.end()])
        end = start + tail.start() if tail else match.end()
        if start < end:
            found.append((start, end))
    return found


