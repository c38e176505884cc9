"""What pages ask of the model: worked out from all findings at once, and so once."""

from __future__ import annotations

from array import array
from typing import Any, NamedTuple

from benchlore.linking.library import Library
from benchlore.ranking.model import Model, counted_of, export, prior_of
from benchlore.works import Question


class _Ranked(NamedTuple):
    """The model's export, what belongs to each family, in few bytes (places and priors; counts), and the strengths chosen."""

    model: dict[str, Any]
    families: dict[str, tuple[array[int], array[float], list[Any]]]
    strengths: list[float]


def _ranked(library: Library, _: str) -> _Ranked:
    """All at once, so that whatever any part of it was read from is noted for the whole."""
    model = Model(library)
    families = {}
    for id in library.families:
        places, chances = zip(*prior_of(model, id), strict=True)
        families[id] = (array("i", places), array("d", chances), counted_of(model, id))
    chosen = model.priors.strengths
    return _Ranked(export(model), families, [chosen.kin, chosen.family])


def _of_family(library: Library, id: str) -> list[Any]:
    """A family's prior, and what its findings count."""
    places, chances, counted = library.ask(RANKED).families[id]
    return [[list(pair) for pair in zip(places, chances, strict=True)], counted]


RANKED = Question("ranked", _ranked, kept=False)
MODEL = Question("model", lambda library, _: library.ask(RANKED).model)
OF_FAMILY = Question("prior", _of_family)
STRENGTHS = Question("strengths", lambda library, _: library.ask(RANKED).strengths)

QUESTIONS = (RANKED, MODEL, OF_FAMILY, STRENGTHS)
