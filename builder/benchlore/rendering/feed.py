"""``changes.atom``: what is new and what was changed, for a feed reader (RFC 4287); and the same narrowed, in ``feeds/``.

Ids are made from the shelf and the entry's own id, days from the entry's own dates: the same book gives the same feed.
"""

from __future__ import annotations

import datetime
import re
import uuid
from collections.abc import Iterator
from functools import partial
from typing import Any
from xml.etree import ElementTree

from benchlore.addresses import relative, url_of
from benchlore.entries.common import Entry
from benchlore.linking.library import Library
from benchlore.rendering.history import Happening, happening_from, latest, written_on
from benchlore.rendering.prose import Scribe
from benchlore.rendering.shipped import Made
from benchlore.rendering.views.page import KIND_WORDS
from benchlore.works import Question

ATOM = "http://www.w3.org/2005/Atom"
FEED = "changes.atom"
MOST = 100
MOST_NARROWED = 30
LONGEST = 400
MOST_FAMILIES = 20
"""What speaks of more families than these is general, and filed under none of them."""

NAMES = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
OURS = uuid.UUID("6a1f3a6e-7f0c-5c0b-9d50-1f6f6c1d2b7e")
"""The namespace of our names; drawn once."""


def feed_pieces(library: Library, scribe: Scribe) -> Iterator[Made]:
    """The feed of all news, one for each technician and one for each family; none where no entry says when it was written."""
    for path in library.ask(FEEDS):
        yield (path,), partial(_file, library, scribe, path)


def feed_files(library: Library, scribe: Scribe) -> dict[str, bytes]:
    """All of them at once, path to bytes."""
    return {path: content for _, make in feed_pieces(library, scribe) for path, content in make().items()}


def _file(library: Library, scribe: Scribe, path: str) -> dict[str, bytes]:
    words, query, news = library.ask(NEWS_OF, path)
    return {
        path: _feed(library, scribe, path, words, query, [one for n in news if (one := happening_from(library, n))])
    }


def feed_of(by: str, word: str) -> str:
    """Where the feed of a technician (``by``) or a family (``family``) lies; nothing for initials that make no file's name."""
    name = word.lower() if by == "by" else word
    return f"feeds/{by}-{name}.atom" if NAMES.fullmatch(name) else ""


def _news(library: Library, _: str) -> dict[str, list[Any]]:
    """For each feed's path its further words, how its page is asked for the same, and what happened: all of the book, what one
    technician wrote, what concerns one family."""
    news = latest(library)
    found: dict[str, tuple[str, str, list[Happening]]] = {}
    for one in news:
        for initials in one.by:
            found.setdefault(feed_of("by", initials), (initials, f"?by={initials}", []))[2].append(one)
        for id in one.families:
            family = library.families.get(id)
            if family is not None:
                found.setdefault(feed_of("family", id), (family.title, f"?family={id}", []))[2].append(one)
    told = {
        path: [words, query, _told(of[:MOST_NARROWED])] for path, (words, query, of) in sorted(found.items()) if path
    }
    return {FEED: ["", "", _told(news[:MOST])], **told} if news else {}


def _told(news: list[Happening]) -> list[list[Any]]:
    return [one.told(one.families if len(one.families) <= MOST_FAMILIES else ()) for one in news]


NEWS = Question("news", _news, kept=False)
FEEDS = Question("feeds", lambda library, _: list(library.ask(NEWS)))
NEWS_OF = Question("news-of", lambda library, path: library.ask(NEWS)[path])
QUESTIONS: tuple[Question, ...] = (NEWS, FEEDS, NEWS_OF)


def _feed(library: Library, scribe: Scribe, path: str, words: str, query: str, news: list[Happening]) -> bytes:
    title = library.shop.title if library.shop else "Benchlore"
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": "en"})
    _add(feed, "id", _urn("feed", title, *([query] if query else [])))
    _add(feed, "title", f"{title}: what changed" + (f", {words}" if words else ""))
    _add(feed, "updated", _instant(news[0].day))
    _add(feed, "link", rel="self", type="application/atom+xml", href=path.rpartition("/")[2])
    _add(feed, "link", rel="alternate", type="text/html", href=relative("changes.html" + query, path))
    _add(_add(feed, "author"), "name", title)
    if library.shop is not None and library.shop.licence:
        _add(feed, "rights", library.shop.licence)
    pen = scribe.pen(path)
    for one in news:
        _entry(feed, one, pen.plain(_words(one.entry)), path)
    ElementTree.indent(feed)
    text: bytes = ElementTree.tostring(feed, "utf-8", xml_declaration=True)
    return text + b"\n"


def _entry(feed: ElementTree.Element, one: Happening, words: str, path: str) -> None:
    entry = one.entry
    kind = KIND_WORDS[entry.kind][0]
    made = _add(feed, "entry")
    _add(made, "id", _urn(entry.shelf, entry.kind, entry.id))
    _add(made, "title", f"{kind} {'changed: ' if one.what == 'changed' else ': '}{entry.title}".replace(" : ", ": "))
    _add(made, "updated", _instant(one.day))
    if (first := written_on(entry)) is not None:
        _add(made, "published", _instant(first))
    _add(made, "link", rel="alternate", type="text/html", href=relative(url_of(entry.kind, entry.id), path))
    for initials in one.by:
        _add(_add(made, "author"), "name", initials)
    _add(made, "category", term=entry.kind, label=kind)
    for family in one.families:
        _add(made, "category", term=f"family:{family}")
    if words:
        _add(made, "summary", words if len(words) <= LONGEST else words[:LONGEST].rpartition(" ")[0] + " …")


def _add(parent: ElementTree.Element, name: str, text: str = "", **attributes: str) -> ElementTree.Element:
    child = ElementTree.SubElement(parent, name, attributes)
    child.text = text or None
    return child


def _words(entry: Entry) -> str:
    """A few words on what the entry says."""
    for name in ("learned", "fix", "summary", "meaning", "what"):
        text = getattr(entry, name, None)
        if isinstance(text, str) and text:
            return text.strip().split("\n\n")[0]
    return ""


def _urn(*parts: str) -> str:
    return uuid.uuid5(OURS, "\0".join(parts)).urn


def _instant(day: datetime.date) -> str:
    """A day as an instant, as a feed wants it."""
    return f"{day.isoformat()}T00:00:00Z"
