"""The page of a symptom: what to ask, what to look at first, and which faults give it."""

from __future__ import annotations

from markupsafe import Markup, escape

from benchlore.entries.fault import COMMONNESS, SHOWS, Fault
from benchlore.entries.symptom import Symptom
from benchlore.rendering.views.blocks import Cell, Link, Row, Section, Table
from benchlore.rendering.views.fault import COMMON_SCALE, SHOWS_SCALE
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    facts,
    kicker,
    often_html,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.parts import cells


def symptom_page(here: Here, symptom: Symptom) -> PageView:
    """A sign of trouble, from the owner's words to the faults behind it."""
    pen = here.pen
    return PageView(
        path=here.path,
        title=symptom.title,
        kind="symptom",
        kicker=kicker("symptom", here, symptom.sense),
        lede=pen.paragraphs(symptom.summary),
        other_names=symptom.also_called,
        asked=symptom.asked,
        strip=facts([("Noticed as", symptom.sense, "sense")]),
        cautions=here.cautions(symptom.cautions),
        actions=(
            Link("Start a job with this sign", here.to(f"job.html?symptom={symptom.id}")),
            *shop_links(here, symptom),
        ),
        sections=sections(
            section(Symptom, "owner_words", "In the owner's words", here.list_of("owner_words", symptom.owner_words, "quotes")),
            section(Symptom, "ask", "What to ask", here.list_of("ask", symptom.ask)),
            section(
                Symptom,
                "first_look",
                "What to look at first",
                here.list_of("first_look", symptom.first_look, "ticks"),
                lede="Before anything is opened.",
            ),
            _faults(here, symptom),
            section(Symptom, "like", "Easily taken for it", here.link_list("like", "symptom", symptom.like)),
            section(
                Symptom, "starts_in", "Where it tends to start", here.link_list("starts_in", "stage", symptom.starts_in)
            ),
            sources_section(here, symptom),
        ),
        byline=byline(here, symptom),
    )


def _faults(here: Here, symptom: Symptom) -> Section | None:
    """Faults that give the symptom: the commonest of those that nearly always show it come first."""
    given = [(f, s.how_often) for f in here.library.faults.values() for s in f.shows if s.symptom == symptom.id]
    given.sort(key=lambda g: (COMMONNESS.index(g[0].commonness) + SHOWS.index(g[1]), g[0].title))
    rows = tuple(_row(here, fault, how_often) for fault, how_often in given)
    table = Table("Faults that give this symptom", cells("Fault", "Shows it", "In the trade"), rows, "stack")
    return Section("faults", "Faults that give it", (table,)) if rows else None


def _row(here: Here, fault: Fault, how_often: str) -> Row:
    head = here.anchor("fault", fault.id) + Markup('<span class="under">{}</span>').format(
        escape(here.pen.plain(fault.summary))
    )
    common = often_html(fault.commonness, COMMON_SCALE)
    return Row(Cell(head), (Cell(often_html(how_often, SHOWS_SCALE)), Cell(common)), f"faults-{fault.id}")
