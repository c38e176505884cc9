"""Where each entry stands in the site: one rule for the pages, the search and the terminal."""

from __future__ import annotations

import re

PLURALS = {
    "family": "families",
    "stage": "stages",
    "fault": "faults",
    "symptom": "symptoms",
    "tube": "tubes",
    "procedure": "procedures",
    "calculator": "calculators",
}
"""Kinds with a page for each entry, and the folder of those pages."""

LISTED = {"term": "glossary.html", "fastener": "fasteners.html", "finding": "findings.html", "shop": "about.html"}
"""Kinds whose entries stand together on one page, each with an anchor that is its id."""

_DATED = re.compile(r"([0-9]{4})-[0-9]{2}-")


def page_of(kind: str, id: str) -> str:
    """The entry's page as a path from the site's root, without an anchor: ``families/heron-30.html``.

    A finding whose id begins with its day stands with the others of its year, so that no page grows without end.
    """
    if kind == "finding" and (dated := _DATED.match(id)):
        return f"findings/{dated[1]}.html"
    return f"{PLURALS[kind]}/{id}.html" if kind in PLURALS else LISTED[kind]


def url_of(kind: str, id: str, section: str = "") -> str:
    """The entry's address from the site's root; ``section`` is a field's anchor (``lead-dress``)."""
    if kind in PLURALS:
        return page_of(kind, id) + (f"#{section}" if section else "")
    return f"{page_of(kind, id)}#{id}"


def closing_of(family: str) -> str:
    """The closing-up list of a family."""
    return f"closing/{family}.html"


def relative(target: str, page: str) -> str:
    """``target`` (from the site's root) as a link on ``page``: ``../`` once for each folder of the page."""
    return "../" * page.count("/") + target
