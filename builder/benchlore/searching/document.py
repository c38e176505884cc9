"""What search sees of an entry: its words by section, each with the name of its weight.

Apart from the entries themselves, so that a search that finds nothing changed loads no more than this.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

FIELDS = ("title", "names", "owner", "summary", "heading", "checks", "body", "linked")
"""The weights' names, heaviest meaning first; ``linked`` is how the entry is asked for and what joined entries say."""

KINDS = ("family", "symptom", "fault", "stage", "procedure", "tube", "calculator", "fastener", "term", "finding")
"""The kinds that are searched, in the order in which equals are shown.  The shop itself is not looked for."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of words: the name of its weight, and the anchor of the item it belongs to, if it has one."""

    field: str
    text: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page with an anchor of its own; the first section of a document is the page's top and has none."""

    anchor: str
    heading: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """One entry as search sees it."""

    kind: str
    id: str
    title: str
    url: str
    sections: tuple[Section, ...]
    families: tuple[str, ...] = ()
    stages: tuple[str, ...] = ()
    linked: tuple[str, ...] = ()  # how it is asked for, and what joined entries say: it is found by these words, and they are not shown


@dataclass(frozen=True, slots=True)
class Meaning:
    """Words that mean the same. ``both`` find each other; ``one_way`` find those in ``both`` but are not found by them."""

    id: str
    both: tuple[str, ...]
    one_way: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Documents:
    """All that is searched, in order of kind and id, and the meanings that join its words."""

    documents: tuple[Document, ...]
    meanings: tuple[Meaning, ...] = ()
    families: Mapping[str, str] | None = None
    stages: Mapping[str, str] | None = None
