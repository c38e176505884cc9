"""Whose word a field is, where an upper shelf has amended an entry of a lower one."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable

from markupsafe import Markup, escape

from benchlore.entries.common import Amended, Entry
from benchlore.entries.fields import table_of
from benchlore.rendering.views.blocks import Bullets, Item, Section
from benchlore.rendering.views.page import Here, PageView

DONE = {
    "set": "set by the shelf",
    "add": "added to by the shelf",
    "retire": "shortened by the shelf",
}


def with_words(here: Here, entry: Entry, page: PageView) -> PageView:
    """The page, each amended section saying whose word it is, and a list of all that was amended at its end."""
    if not entry.amended:
        return page
    words = {table_of(type(entry))[one.field].anchor: Markup() for one in entry.amended}
    for one in entry.amended:
        words[table_of(type(entry))[one.field].anchor] += Markup('<p class="whose">{}</p>').format(_sentence(here, one))
    made = tuple(dataclasses.replace(part, word=words.get(part.anchor, Markup())) for part in page.sections)
    return dataclasses.replace(page, sections=(*made, _all(here, entry, {part.anchor for part in made})))


def word_lines(here: Here, entries: Iterable[Amended]) -> Markup:
    """What was amended, in one line for a card."""
    return Markup("; ").join(
        Markup("{} {}").format(one.field.replace("_", " "), _sentence(here, one)) for one in entries
    )


def _all(here: Here, entry: Entry, anchors: set[str]) -> Section:
    items = []
    for n, one in enumerate(entry.amended, 1):
        anchor, name = table_of(type(entry))[one.field].anchor, one.field.replace("_", " ")
        link = Markup('<a href="#{}">{}</a>').format(anchor, name) if anchor in anchors else escape(name)
        items.append(Item(Markup("<b>{}</b> {}").format(link, _sentence(here, one)), f"amended-{n}"))
    lede = f"All else on this page is the word of the shelf {entry.shelf}."
    return Section("amended", "Whose word it is", (Bullets(tuple(items)),), lede)


def _sentence(here: Here, one: Amended) -> Markup:
    what = Markup("{} <b>{}</b>").format(DONE[one.how], one.shelf)
    if one.items:
        verb = "without" if one.how == "retire" else "with"
        what += Markup(", {} {}").format(verb, Markup(", ").join(escape(here.pen.plain(i).rstrip(".")) for i in one.items))
    return what + (Markup(": {}").format(here.pen.line(one.why)) if one.why else Markup())
