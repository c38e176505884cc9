"""The page that says how suspects are ranked, with the figures in force today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.ranking import scales
from benchlore.ranking.core import MOST_EXACT
from benchlore.ranking.model import Model
from benchlore.ranking.questions import STRENGTHS
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import Here, PageView, count_words


@dataclass(frozen=True, slots=True)
class Figures:
    """What the page shows of the model: its scales in words and numbers, and the strengths chosen from the findings."""

    commonness: tuple[tuple[str, str], ...]
    known_here: tuple[tuple[str, str], ...]
    shows: tuple[tuple[str, str], ...]
    unlisted: str
    worth: str
    other: str
    elsewhere: str
    sensitivity: str
    specificity: str
    kin: str
    family: str
    tried: str
    findings: str
    families: str
    faults: int
    setup: tuple[str, str]
    exact: int
    explains: str
    sure: str


def ranking_page(here: Here) -> PageView:
    """The model of suspects and of the order of checks, in plain words and in formulas."""
    return PageView(
        here.path,
        "How suspects are ranked",
        "ranking",
        kicker=(Link("Job sheet", here.to("job.html")),),
        template="ranking.html",
        extra=figures(here),
    )


def figures(here: Here) -> Figures:
    """The scales as they stand, and what the findings of this book chose."""
    library = here.library
    model = Model(library)
    (kin, of_family), setup = library.ask(STRENGTHS), model.setup_minutes
    return Figures(
        commonness=_weights(scales.COMMONNESS),
        known_here=_weights(scales.KNOWN_HERE),
        shows=tuple((word, percent(chance)) for word, chance in scales.SHOWS.items()),
        unlisted=percent(scales.UNLISTED),
        worth=f"{scales.SHOWS_WORTH:g}",
        other=percent(scales.OTHER),
        elsewhere=percent(scales.ELSEWHERE),
        sensitivity=percent(scales.SENSITIVITY),
        specificity=percent(scales.SPECIFICITY),
        kin=f"{kin:g}",
        family=f"{of_family:g}",
        tried=", ".join(f"{s:g}" for s in scales.STRENGTHS),
        findings=count_words(len(library.findings), "finding", "findings"),
        families=count_words(len(library.families), "family", "families"),
        faults=len(model.suspects),
        setup=(f"{setup[1]:g}", f"{setup[2]:g}"),
        exact=MOST_EXACT,
        explains=percent(scales.EXPLAINS),
        sure=percent(scales.RANGE),
    )


def percent(share: float) -> str:
    """``0.05`` as ``5 %``."""
    return f"{100 * share:g}\u00a0%"


def _weights(table: Mapping[str, float]) -> tuple[tuple[str, str], ...]:
    return tuple((word, f"{weight:g}") for word, weight in table.items())
