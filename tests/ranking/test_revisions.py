"""A revision's own suspects. No outside reference: the promise is that of the family's ``since`` and ``until``."""

from __future__ import annotations

import dataclasses

import pytest

from benchlore.entries.family import Family, Variant, WeakPoint
from benchlore.linking.library import Library
from benchlore.ranking import evidence, scales
from benchlore.ranking.model import Model
from benchlore.ranking.revisions import on_other_revisions
from benchlore.ranking.suspects import Seen, because, probabilities


def weak(fault: str, **limits: str) -> WeakPoint:
    """A weak point of some revisions."""
    return WeakPoint(fault=fault, common="common", here="here", **limits)


@pytest.fixture
def family(whole_library: Library) -> Family:
    """A family of three revisions: a fault of the first, one of the last two, one of all, and one that came back."""
    variants = tuple(Variant(key=key, name=key, marks=("m",), differs="d") for key in ("a", "b", "c"))
    points = (
        weak("grid-leak-open", until="a"),
        weak("screen-resistor-open", since="b"),
        weak("jack-dirty"),
        weak("pot-worn", until="a"),
        weak("pot-worn", since="c"),
    )
    return dataclasses.replace(whole_library.families["thimble-5"], variants=variants, weak_points=points)


@pytest.mark.parametrize(
    ("revision", "off"),
    [
        ("a", ("screen-resistor-open",)),
        ("b", ("grid-leak-open", "pot-worn")),
        ("c", ("grid-leak-open",)),
        ("", ()),
        ("no-such", ()),
    ],
)
def test_weak_points_know_their_revisions(family: Family, revision: str, off: tuple[str, ...]) -> None:
    """From the first to the last that is named; a revision that is not known says nothing."""
    assert on_other_revisions(family, revision) == off


def test_a_fault_of_another_revision_keeps_a_tenth(whole_library: Library) -> None:
    """Its odds fall by exactly the factor that is said; all others keep their proportions; the sum stays one; the reason is told."""
    model, id = Model(whole_library), "bulwark-200"
    later = whole_library.families[id].variants[-1].key
    names, before = probabilities(model, id, Seen(("tubes-glow-red",)))
    same, after = probabilities(model, id, Seen(("tubes-glow-red",), revision=later))
    assert names == same and sum(after) == pytest.approx(1, abs=1e-12)
    at, other = names.index("grid-leak-open"), names.index("tube-worn-output")
    assert after[at] / after[other] == pytest.approx(scales.ELSEWHERE * before[at] / before[other])
    told = because(model, id, "grid-leak-open", Seen(revision=later))
    assert any(words.startswith("known on other revisions of this family, not on this one: ") for words in told)
    assert not any("other revisions" in words for words in because(model, id, "tube-worn-output", Seen(revision=later)))


def test_the_factor_by_itself() -> None:
    """What is not elsewhere is as before."""
    assert evidence.revision_factor([4, 7, -1], [7], 0.1) == [1.0, 0.1, 1.0]
