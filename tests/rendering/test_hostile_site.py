"""Hostile text in every text field of every kind stays text on every page of the site."""

from __future__ import annotations

import dataclasses
import re

import pytest
from test_pages import live_parts, pages, parsed

from benchlore.linking.library import Library, library_of
from benchlore.rendering.site import render
from hostile import RAW, URLS, poisoned_library

ALL = [*RAW, *(f"[words]({url})" for url in URLS), *(f"![x]({url})" for url in URLS)]
GROUPS = [" and ".join(ALL[start : start + 8]) for start in range(0, len(ALL), 8)]


@pytest.mark.no_cover
@pytest.mark.parametrize("payload", GROUPS)
def test_no_field_becomes_markup(small_library: Library, payload: str) -> None:
    """Nothing live, no parse error of its own making, and no link with a scheme of its own."""
    for path, content in pages(render(poisoned_library(small_library, payload))).items():
        if path == "fields.html":
            continue  # made from the tables alone
        assert live_parts(content) == [], path
        assert b"window.hit" not in b"".join(_attributes_that_run(content)), path


def _attributes_that_run(content: bytes) -> list[bytes]:
    """Values of attributes in which a browser looks for an address or a handler.

    The query of the page itself may carry an entry's words, as long as it is encoded (RFC 3986, unreserved characters).
    """
    return [
        str(value).encode()
        for element in parsed(content)[0].iter()
        if isinstance(element.tag, str)
        for name, value in element.attrib.items()
        if (name in ("href", "src", "content") or str(name).startswith("on"))
        and not re.fullmatch(r"\?[a-z]+=[A-Za-z0-9._~%-]*", str(value))
    ]


@pytest.mark.parametrize(
    "template",
    [
        "javascript:alert(1)//{id}",
        "{+title}",
        "//evil.example/{id}",
        "/etc/{id}",
        "\\\\evil\\{id}",
        "data:text/html,{id}",
        "../../{id}",
        "{&id}:x",
    ],
)
def test_shop_templates_are_checked_after_filling(small_library: Library, template: str) -> None:
    """An expansion that is neither the web nor a path below the site is left out."""
    from benchlore.rendering.pages import Plan
    from benchlore.rendering.prose import scribe
    from benchlore.rendering.views.outward import shop_links
    from benchlore.rendering.views.page import Here

    shop = small_library.shop
    assert shop is not None
    changed = dataclasses.replace(shop, links=(dataclasses.replace(shop.links[0], template=template),))
    family = dataclasses.replace(small_library.families["tarn-15"], title="javascript:alert(1)")
    library = library_of([changed, family], {})
    plan = Plan("families/tarn-15.html", (), lambda here: None)  # type: ignore[arg-type,return-value]
    assert shop_links(Here(library, scribe(library.entries).pen(plan.path), plan.path), family) == ()


@pytest.mark.parametrize(
    ("template", "wanted"),
    [
        ("https://bench.example/{id}{?title}", "https://bench.example/tarn-15?title=T%20%26%20T"),
        ("extra/{id}.html", "../extra/tarn-15.html"),
    ],
)
def test_shop_templates_lead_out_or_below(small_library: Library, template: str, wanted: str) -> None:
    """RFC 6570: the title is encoded in a query; a relative target starts at the site's root."""
    from benchlore.rendering.prose import scribe
    from benchlore.rendering.views.outward import shop_links
    from benchlore.rendering.views.page import Here

    shop = small_library.shop
    assert shop is not None
    changed = dataclasses.replace(shop, links=(dataclasses.replace(shop.links[0], template=template),))
    family = dataclasses.replace(small_library.families["tarn-15"], title="T & T")
    library = library_of([changed, family], {})
    (link,) = shop_links(Here(library, scribe(library.entries).pen("families/x.html"), "families/x.html"), family)
    assert link.url == wanted
