"""The page of a procedure: what to have ready, what comes first, the steps with their dangers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from markupsafe import escape

from benchlore.entries.procedure import Procedure
from benchlore.reckoning.compiled import Compiled
from benchlore.rendering.views.blocks import Fact, Item, Section
from benchlore.rendering.views.drawings import ring_drawings
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    count_words,
    folding,
    kicker,
    many,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.steps import work_steps


def procedure_page(here: Here, procedure: Procedure, compiled: Mapping[str, Compiled]) -> PageView:
    """A piece of bench work, step by step; ``compiled`` are the calculators, for the drawings of those it calls for."""
    pen, parts = here.pen, _parts(here, procedure, compiled)
    return PageView(
        path=here.path,
        title=procedure.title,
        kind="procedure",
        kicker=kicker("procedure", here),
        lede=pen.paragraphs(procedure.summary),
        other_names=procedure.also_called,
        asked=procedure.asked,
        strip=(Fact("Takes", escape(f"{procedure.minutes} min"), escape("when nothing fights back"), "minutes"),),
        cautions=here.cautions(procedure.cautions),
        actions=shop_links(here, procedure),
        sections=parts,
        byline=byline(here, procedure),
        scripts=folding(parts),
    )


def _parts(here: Here, procedure: Procedure, compiled: Mapping[str, Compiled]) -> tuple[Section, ...]:
    rings, of = ring_drawings(procedure, compiled), partial(section, Procedure)
    return sections(
        of("before", "Do first", here.link_list("before", "procedure", procedure.before)),
        of("tools", "Have at hand", here.list_of("tools", procedure.tools, "ticks")),
        of("steps", "Steps", work_steps(here, procedure.steps)),
        Section("order", "Order", (rings,)) if rings else None,
        of("done_when", "Done when", here.list_of("done_when", procedure.done_when, "ticks")),
        of("mistakes", "Mistakes commonly made", here.list_of("mistakes", procedure.mistakes)),
        of("calculators", "Sums", here.link_list("calculators", "calculator", procedure.calculators)),
        _used_by(here, procedure),
        sources_section(here, procedure),
    )


def _used_by(here: Here, procedure: Procedure) -> Section | None:
    """Entries that call for the procedure."""
    pointers = here.library.pointers("procedure", procedure.id)
    names = sorted(
        {(p.kind, p.id) for p in pointers if p.kind in ("stage", "fault", "procedure") and p.id != procedure.id}
    )
    items = tuple(Item(here.anchor(kind, id), f"used-by-{kind}-{id}") for kind, id in names)
    return Section("used-by", "Called for by", (many(items),), fold=_fold(items)) if items else None


def _fold(items: tuple[Item, ...]) -> str:
    """A long list is folded on a phone."""
    return count_words(len(items), "entry", "entries") if len(items) > 6 else ""
