"""Entries that a shop's own shelf leaves out of the book: whose word that is, and why, where other entries still speak of them."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable

from markupsafe import Markup

from benchlore.addresses import PLURALS
from benchlore.entries.common import Retired
from benchlore.rendering.views.blocks import Bullets, Item, Section
from benchlore.rendering.views.page import Here, PageView, kicker


def retired_page(kind: str, id: str, here: Here) -> PageView:
    """What stands at the address of an entry that was left out."""
    one = _retired(here, kind, id)
    above = kicker(kind, here) if here.library.entries.get(kind) else ()
    lede = Markup("<p>The shelf <b>{}</b> leaves this out of the book: {}</p>").format(one.shelf, here.pen.line(one.why))
    return PageView(here.path, one.title, kind, above, lede, lede_anchor="retired")


def with_left_out(kind: str, view: Callable[[Here], PageView], here: Here) -> PageView:
    """The list of a kind, with what was left out at its end."""
    page = view(here)
    gone = [_retired(here, *name) for name in here.library.retired if name[0] == kind]
    if not gone:
        return page
    items = tuple(Item(Markup("<b>{}</b> {}").format(_named(here, one), _sentence(here, one)), one.id) for one in gone)
    return dataclasses.replace(page, sections=(*page.sections, Section("left-out", "Left out of this book", (Bullets(items),))))


def _retired(here: Here, kind: str, id: str) -> Retired:
    here.library.get(kind, id)  # a page that speaks of it is made again when it comes back, or when the reason changes
    return here.library.retired[kind, id]


def _named(here: Here, one: Retired) -> Markup:
    """Its title; a link where it has a page of its own."""
    if one.kind not in PLURALS:
        return Markup("{}").format(one.title)
    return Markup('<a href="{}">{}</a>').format(here.pen.url(one.kind, one.id), one.title)


def _sentence(here: Here, one: Retired) -> Markup:
    return Markup("left out by the shelf <b>{}</b>: {}").format(one.shelf, here.pen.line(one.why))
