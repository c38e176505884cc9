"""Faults that are alike are found, so that none is written twice."""

from __future__ import annotations

from whoosh.classify import Bo1Model

from benchlore.linking.library import Library
from benchlore.searching.likeness import ALIKE_TO, BAG, alike, bag_of


def test_a_copy_is_the_most_alike(small_library: Library) -> None:
    """A fault written a second time under another title is most like the first."""
    bags = {id: small_library.ask(BAG, id) for id in small_library.faults}
    words = "Tired capacitors: the electrolytics of the supply have dried and let ripple through"
    bags["caps-tired"] = bags["filter-dried"] | bag_of([("title", words)])
    found = alike(bags)
    assert found["filter-dried"][0].id == "caps-tired" and found["filter-dried"][0].likeness > 0.8
    assert found["caps-tired"][0].id == "filter-dried"


def test_none_is_like_itself(whole_library: Library) -> None:
    """No entry is named as its own neighbour, likeness falls from the first on, and stands between nothing and all."""
    for id, near in alike({id: whole_library.ask(BAG, id) for id in whole_library.faults}).items():
        shares = [one.likeness for one in near]
        assert id not in {one.id for one in near}
        assert shares == sorted(shares, reverse=True) and all(0 < share <= 1 for share in shares)


def test_neighbours_of_the_shipped_book(whole_library: Library) -> None:
    """What a technician would hold side by side; no outside source."""
    pairs = {"bias-supply-dead": "bias-supply-drifted", "speaker-cone-torn": "speaker-surround-loose", "jack-dirty": "speaker-jack-corroded"}
    assert [id for id, other in pairs.items() if other not in whole_library.ask(ALIKE_TO, id)[:3]] == []


def test_key_words_are_weighed_as_whoosh_does() -> None:
    """Outside check: Whoosh's Bo1 model; the word that all hold weighs less than the one that marks a fault."""
    model = Bo1Model(3, 12)
    assert model.score(2, 2, 0) > model.score(2, 6, 0)
    near = alike({"a": {"hum": 2, "cap": 2}, "b": {"cap": 2, "hum": 1, "jack": 1}, "c": {"jack": 3, "nut": 3}})
    assert near["a"][0].id == "b" and near["c"][0].id == "b" and "c" not in {one.id for one in near["a"]}
