"""Faults that are alike are found, so that none is written twice."""

from __future__ import annotations

import dataclasses

from benchlore.linking.library import Library
from benchlore.searching.documents import documents_of
from benchlore.searching.indexing import index_of
from benchlore.searching.likeness import alike


def test_a_copy_is_the_most_alike(small_library: Library) -> None:
    """A fault written a second time under another title and id is most like the first."""
    documents = documents_of(small_library)
    first = next(one for one in documents.documents if one.id == "filter-dried")
    copy = dataclasses.replace(first, id="caps-tired", title="Tired capacitors", url="faults/caps-tired.html")
    found = alike(index_of(dataclasses.replace(documents, documents=(*documents.documents, copy))))
    assert found["filter-dried"][0].id == "caps-tired" and found["filter-dried"][0].likeness > 0.8
    assert found["caps-tired"][0].id == "filter-dried"


def test_none_is_like_itself(small_library: Library) -> None:
    """No entry is named as its own neighbour, and likeness falls from the first on."""
    for id, near in alike(index_of(documents_of(small_library))).items():
        assert id not in {one.id for one in near}
        assert [one.likeness for one in near] == sorted((one.likeness for one in near), reverse=True)
