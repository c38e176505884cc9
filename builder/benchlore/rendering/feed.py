"""``changes.atom``: what is new and what was changed, for a feed reader (RFC 4287).

Ids are made from the shelf and the entry's own id, days from the entry's own dates: the same book gives the same feed.
"""

from __future__ import annotations

import datetime
import uuid
from xml.etree import ElementTree

from benchlore.addresses import url_of
from benchlore.entries.common import Entry
from benchlore.linking.library import Library
from benchlore.rendering.history import Happening, latest, written_on
from benchlore.rendering.prose import Scribe
from benchlore.rendering.views.page import KIND_WORDS

ATOM = "http://www.w3.org/2005/Atom"
FEED = "changes.atom"
MOST = 100
LONGEST = 400
OURS = uuid.UUID("6a1f3a6e-7f0c-5c0b-9d50-1f6f6c1d2b7e")
"""The namespace of our names; drawn once."""


def feed_files(library: Library, scribe: Scribe) -> dict[str, bytes]:
    """The feed, path to bytes; none where no entry says when it was written."""
    news = latest(library)[:MOST]
    if not news:
        return {}
    title = library.shop.title if library.shop else "Benchlore"
    feed = ElementTree.Element("feed", {"xmlns": ATOM, "xml:lang": "en"})
    _add(feed, "id", _urn("feed", title))
    _add(feed, "title", f"{title}: what changed")
    _add(feed, "updated", _instant(news[0].day))
    _add(feed, "link", rel="self", type="application/atom+xml", href=FEED)
    _add(feed, "link", rel="alternate", type="text/html", href="changes.html")
    _add(_add(feed, "author"), "name", title)
    if library.shop is not None and library.shop.licence:
        _add(feed, "rights", library.shop.licence)
    pen = scribe.pen(FEED)
    for one in news:
        _entry(feed, one, pen.plain(_words(one.entry)))
    ElementTree.indent(feed)
    return {FEED: ElementTree.tostring(feed, "utf-8", xml_declaration=True) + b"\n"}


def _entry(feed: ElementTree.Element, one: Happening, words: str) -> None:
    entry = one.entry
    kind = KIND_WORDS[entry.kind][0]
    made = _add(feed, "entry")
    _add(made, "id", _urn(entry.shelf, entry.kind, entry.id))
    _add(made, "title", f"{kind} {'changed: ' if one.what == 'changed' else ': '}{entry.title}".replace(" : ", ": "))
    _add(made, "updated", _instant(one.day))
    if (first := written_on(entry)) is not None:
        _add(made, "published", _instant(first))
    _add(made, "link", rel="alternate", type="text/html", href=url_of(entry.kind, entry.id))
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
