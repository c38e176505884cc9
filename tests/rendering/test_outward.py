"""A shop's links to sums it keeps elsewhere: RFC 6570 templates fed with an entry, and nowhere but the web or the site."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest

from benchlore.entries.shop import Link
from benchlore.linking.library import Library
from benchlore.rendering.prose import scribe
from benchlore.rendering.views.outward import shop_links, values_of
from benchlore.rendering.views.page import Here

PAGE = "families/tarn-15.html"


def led(library: Library, template: str, **changed: Any) -> list[str]:
    """Where the link of a shop leads on the page of a family, some fields of which are changed."""
    shop = dataclasses.replace(library.shop, links=(Link(title="Elsewhere", template=template, kind="family"),))  # type: ignore[type-var]
    family = dataclasses.replace(library.families["tarn-15"], **changed)
    changed_library = Library({**library.entries, "shop": {shop.id: shop}, "family": {family.id: family}})
    here = Here(changed_library, scribe(changed_library.entries).pen(PAGE, (("family", family.id),)), PAGE)
    return [link.url for link in shop_links(here, family)]


@pytest.mark.parametrize(
    ("template", "url"),
    [
        ("https://bench.example/load{?plate_volts,id}", "https://bench.example/load?plate_volts=290%20V&id=tarn-15"),
        ("http://bench.example/{id}#{tube}", "http://bench.example/tarn-15#6aq5"),
        ("https://bench.example/{?plate_volts_si}", "https://bench.example/?plate_volts_si=290"),
        ("https://bench.example/{?nosuch}", "https://bench.example/"),
        ("sheets/load.html{?id}", "../sheets/load.html?id=tarn-15"),
        ("sheets/{id}.html#top", "../sheets/tarn-15.html#top"),
    ],
)
def test_templates_are_filled(small_library: Library, template: str, url: str) -> None:
    """Figures as written, bare numbers in SI, names that are not there left out (RFC 6570, section 3.2); relative from the site's root."""
    assert led(small_library, template) == [url]


@pytest.mark.parametrize(
    "template",
    [
        "javascript:alert(1)",
        "JavaScript:alert({id})",
        "data:text/html,{id}",
        "file:///etc/passwd",
        "ftp://bench.example/{id}",
        "//bench.example/{id}",
        "/etc/passwd",
        "\\\\bench.example\\x",
        "../../secret.html",
        "sheets/../../secret.html",
        "sheets/%2e%2e/%2e%2e/secret.html",
        "%2fetc/passwd",
        "java\tscript:alert(1)",
        "https://jo@bench.example/",
        "https://",
        "{+title}",
        "{title}",
        "#top",
        "",
    ],
)
def test_other_targets_are_left_out(small_library: Library, template: str) -> None:
    """Other schemes, other hosts without one, ways up and out of the site: no link at all, whatever a title holds."""
    assert led(small_library, template, title="javascript:alert(1)") == []


@pytest.mark.parametrize("title", ["../../../etc/passwd", "//evil.example/", "x:y", "a b\n\tc", "\u202e", '"><script>'])
def test_no_title_leads_elsewhere(small_library: Library, title: str) -> None:
    """What an entry holds stays within the place the template gives it."""
    for template in ("https://bench.example/{title}", "https://bench.example/x{?title}", "sheets/{title}.html"):
        for url in led(small_library, template, title=title):
            assert url.startswith(("https://bench.example/", "../sheets/"))
            assert not set(url) & set('"<>\\ \n\t') and "/../" not in url.removeprefix("../")
    for url in led(small_library, "https://bench.example/{+title}", title=title):
        assert url.startswith("https://bench.example/")


def test_values_of_a_tube(small_library: Library) -> None:
    """Every kind that may have links gives its own single figures; lists and records are left out."""
    values = values_of(small_library.tubes["12ax7"])
    assert values["id"] == "12ax7" and values["role"] == "small signal"
    assert all(isinstance(value, str) for value in values.values())
