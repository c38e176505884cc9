"""Entries become documents by the field tables alone."""

from __future__ import annotations

import pytest

from benchlore.linking.library import Library
from benchlore.searching.documents import documents_of
from benchlore.searching.finding import find
from benchlore.searching.indexing import index_of
from benchlore.searching.plain import plain_lines
from benchlore.searching.store import in_memory


def test_every_entry_is_there_once(small_library: Library) -> None:
    """Each entry but the shop's own is one document, in order of kind and id."""
    documents = documents_of(small_library).documents
    keys = [(one.kind, one.id) for one in documents]
    assert set(keys) == {(kind, id) for kind, of in small_library.entries.items() if kind != "shop" for id in of}
    assert len(keys) == len(set(keys))


def test_sections_are_those_of_the_field_tables(small_library: Library) -> None:
    """A family's fields are its sections, under the anchors that the page has; items have theirs."""
    family = next(one for one in documents_of(small_library).documents if one.kind == "family")
    anchors = {section.anchor for section in family.sections}
    assert {"", "lead-dress", "hardware", "weak-points", "opening"} <= anchors
    items = {line.anchor for section in family.sections for line in section.lines if section.anchor == "hardware"}
    assert items == {f"hardware-{one.key}" for one in small_library.families[family.id].hardware}


def test_owners_words_weigh_as_such(small_library: Library) -> None:
    """A symptom's owner's words carry their own weight."""
    symptom = next(one for one in documents_of(small_library).documents if one.id == "hum-steady-low")
    said = {line.text for section in symptom.sections for line in section.lines if line.field == "owner"}
    assert said == set(small_library.symptoms["hum-steady-low"].owner_words)


@pytest.mark.parametrize(("asks", "kind", "id"), [("growls lorry", "fault", "filter-dried"), ("brake bottles", "term", "bias")])
def test_it_is_found_as_people_ask_for_it(small_library: Library, asks: str, kind: str, id: str) -> None:
    """Words of ``asked`` find the entry, and no other text of it holds them; what is shown is not they."""
    documents = documents_of(small_library)
    found = find(in_memory(index_of(documents)), asks).results[0]
    assert (found.kind, found.id) == (kind, id)
    document = next(one for one in documents.documents if (one.kind, one.id) == (kind, id))
    asked = small_library.entries[kind][id].asked
    assert document.linked[: len(asked)] == asked
    text = " ".join(line.text for section in document.sections for line in section.lines)
    assert not [word for word in asks.split() if word in text or word in found.snippet]


def test_tags_come_through_stages(small_library: Library) -> None:
    """A fault belongs to the families that have it by themselves or through a stage."""
    documents = {(one.kind, one.id): one for one in documents_of(small_library).documents}
    for fault in small_library.faults:
        families = {one.family.id for one in small_library.fault_families(fault)}
        assert set(documents["fault", fault].families) == families


def test_markdown_becomes_plain_words() -> None:
    """Marks and addresses go, a mention without words shows the title, paragraphs and list items are lines."""
    text = "Look at **the** [filters](fault:filter-dried), `C4`.\nSame paragraph.\n\n- [](fault:filter-dried)\n- two_words_stay"
    assert plain_lines(text, lambda kind, id: f"<{kind} {id}>") == ["Look at the filters, C4. Same paragraph.", "<fault filter-dried>", "two_words_stay"]
