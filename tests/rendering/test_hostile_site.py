"""Hostile text in every text field of every kind stays text on every page of the site."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from payloads import RAW, URLS
from test_pages import live_parts, pages, parsed

from benchlore.entries.fields import Choice, Code, FieldType, Many, Part, Prose, Ref, Slug, Table, Text, table_of
from benchlore.linking.library import Library, library_of
from benchlore.rendering.site import render

KEPT = {"template"}  # a shop's link templates have a test of their own


def poisoned(record: Any, payload: str) -> Any:
    """The record with the payload in every field of words."""
    changes = {}
    for name, field in table_of(type(record)).items():
        if name not in KEPT:
            changes[name] = _poisoned(getattr(record, name), field.type, payload)
    return dataclasses.replace(record, **changes)


def _poisoned(value: Any, type_: FieldType, payload: str) -> Any:
    if value is None:
        return None
    if isinstance(type_, Text | Prose | Code):
        return payload
    if isinstance(type_, Many):
        return tuple(_poisoned(v, type_.of, payload) for v in value)
    if isinstance(type_, Table):
        return {key: _poisoned(v, type_.of, payload) for key, v in value.items()}
    if isinstance(type_, Part):
        return poisoned(value, payload)
    assert isinstance(type_, Choice | Ref | Slug) or not isinstance(value, str)
    return value


def poisoned_library(library: Library, payload: str) -> Library:
    """Every entry of the library, poisoned."""
    entries = [poisoned(entry, payload) for of in library.entries.values() for entry in of.values()]
    return library_of(entries, library.pointing)


ALL = [*RAW, *(f"[words]({url})" for url in URLS), *(f"![x]({url})" for url in URLS)]
GROUPS = [" and ".join(ALL[start : start + 8]) for start in range(0, len(ALL), 8)]


@pytest.mark.parametrize("payload", GROUPS)
def test_no_field_becomes_markup(small_library: Library, payload: str) -> None:
    """Nothing live, no parse error of its own making, and no link with a scheme of its own."""
    for path, content in pages(render(poisoned_library(small_library, payload))).items():
        if path == "fields.html":
            continue  # made from the tables alone
        assert live_parts(content) == [], path
        assert b"window.hit" not in b"".join(_attributes_that_run(content)), path


def _attributes_that_run(content: bytes) -> list[bytes]:
    """Values of attributes in which a browser looks for an address or a handler."""
    return [
        str(value).encode()
        for element in parsed(content)[0].iter()
        if isinstance(element.tag, str)
        for name, value in element.attrib.items()
        if name in ("href", "src", "content") or str(name).startswith("on")
    ]


@pytest.mark.parametrize(
    "template",
    ["javascript:alert(1)//{id}", "{+title}", "//evil.example/{id}", "/etc/{id}", "\\\\evil\\{id}", "data:text/html,{id}", "../../{id}", "{&id}:x"],
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
