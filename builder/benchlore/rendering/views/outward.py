"""A shop's links to calculators it keeps elsewhere: RFC 6570 templates, filled from an entry and checked afterwards."""

from __future__ import annotations

from typing import Any
from urllib.parse import unquote

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
    """What a template may name: the entry's id, title and single figures as written, a family's idle and output too.

    ``plate_volts`` is ``345 V``; ``plate_volts_si`` is the bare number in its SI unit, for pages that take no units.
    """
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
            values[name] = value.text
            values[f"{name}_si"] = f"{value.value:.12g}"
        elif isinstance(value, str | int) and not isinstance(value, bool):
            values[name] = str(value)
    return values


def _is_relative(target: str) -> bool:
    """A path below the site's root: no scheme, no host, no way up (spelled with % either), nothing that a browser reads past."""
    path = unquote(target.split("#")[0].split("?")[0])
    odd = any(sign in path for sign in ":\\") or any(ord(sign) <= 32 or ord(sign) == 127 for sign in target)
    return bool(path) and not odd and not path.startswith("/") and ".." not in path.split("/")
