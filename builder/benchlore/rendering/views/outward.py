"""A shop's links to calculators it keeps elsewhere: RFC 6570 templates, filled from an entry and checked afterwards."""

from __future__ import annotations

from typing import Any

from uritemplate import URITemplate

from benchlore.entries.common import Entry
from benchlore.entries.fields import table_of
from benchlore.quantity import Quantity
from benchlore.rendering.prose import is_outside
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import Here


def shop_links(here: Here, entry: Entry) -> tuple[Link, ...]:
    """The shop's links for entries of this kind; an expansion that is neither the web nor relative is left out."""
    shop = here.library.shop
    made = []
    for link in shop.links if shop and shop.links else ():
        if link.kind == entry.kind:
            target = URITemplate(link.template).expand(**values_of(entry))
            if is_outside(target):
                made.append(Link(link.title, target, tag="outside"))
            elif _is_relative(target):
                made.append(Link(link.title, here.to(target)))
    return tuple(made)


def values_of(entry: Entry) -> dict[str, Any]:
    """What a template may name: the entry's id, title and single figures; a family's idle figures too."""
    values: dict[str, Any] = {"id": entry.id, "title": entry.title}
    for record in (entry, getattr(entry, "idle", None), getattr(entry, "output", None)):
        if record is not None:
            values |= _single_figures(record)
    return values


def _single_figures(record: Any) -> dict[str, str]:
    values = {}
    for name in table_of(type(record)):
        value = getattr(record, name)
        if isinstance(value, Quantity) and not value.is_range:
            values[name] = value.text.replace(" ", "")
        elif isinstance(value, str | int) and not isinstance(value, bool):
            values[name] = str(value)
    return values


def _is_relative(target: str) -> bool:
    """A path below the site's root: no scheme, no host, no way up, nothing that a browser reads as a backslash host."""
    path = target.split("#")[0].split("?")[0]
    return (
        bool(path) and ":" not in path and "\\" not in path and not path.startswith("/") and ".." not in path.split("/")
    )
