"""What pages ask of the model: worked out from all findings at once, and so once."""

from __future__ import annotations

from typing import Any

from benchlore.linking.library import Library
from benchlore.ranking.model import Model, export
from benchlore.works import Question


def _ranked(library: Library, _: str) -> dict[str, Any]:
    """The export of the model in parts: what holds for all families, what belongs to each, and the strengths chosen."""
    model = Model(library)
    whole = export(model)
    priors, counts = whole.pop("prior"), whole["counts"].pop("families")
    whole["prior"] = priors.pop("")
    families = {id: [prior, counts.get(id, [0, []])] for id, prior in priors.items()}
    strengths = model.priors.strengths
    return {"model": whole, "families": families, "strengths": [strengths.kin, strengths.family]}


RANKED = Question("ranked", _ranked, kept=False)
MODEL = Question("model", lambda library, _: library.ask(RANKED)["model"])
OF_FAMILY = Question("prior", lambda library, id: library.ask(RANKED)["families"][id])
STRENGTHS = Question("strengths", lambda library, _: library.ask(RANKED)["strengths"])

QUESTIONS = (RANKED, MODEL, OF_FAMILY, STRENGTHS)
