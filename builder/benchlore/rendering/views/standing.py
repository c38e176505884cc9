"""Pages on which all entries of a kind stand together, each with its id for an anchor: glossary, fasteners."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup, escape

from benchlore.entries.fastener import Fastener, Tightness
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Card, Cards, Cell, Link, Row, Section, Table
from benchlore.rendering.views.page import Here, PageView, anchor_of, facts, grouped, run_on, source_html
from benchlore.rendering.views.parts import cells
from benchlore.rendering.views.prefill import chosen_links
from benchlore.rendering.views.whose import word_lines

FASTENER_SYSTEMS = ("inch", "metric", "wood", "bushing")


def glossary_page(here: Here) -> PageView:
    """Every term, in the order of the alphabet, under its letter."""
    terms = sorted(here.library.terms.values(), key=lambda t: (t.title.lower(), t.id))
    letters = sorted({_letter(t.title) for t in terms})
    made = tuple(
        Section(
            f"letter-{letter.lower() if letter.isalpha() else 'other'}",
            letter,
            (Cards(tuple(_term_card(here, t) for t in of), "rows"),),
        )
        for letter, of in grouped(terms, letters, lambda t: _letter(t.title))
    )
    return PageView(
        here.path,
        "Glossary",
        "term",
        sections=made,
        lede=Markup("<p>Words of the trade, and which of them mean the same.</p>"),
    )


def _letter(title: str) -> str:
    first = title[0].upper()
    return first if first.isascii() and first.isalpha() else "#"


def _term_card(here: Here, term: Any) -> Card:
    same = ", ".join([*term.also_called, *(s.word for s in term.synonyms if s.word not in term.also_called)])
    return Card(
        title=Link(term.title, ""),
        anchor=term.id,
        anchors=term.was,
        body=(here.pen.paragraphs(term.meaning),),
        facts=facts(
            [
                ("Also", here.pen.plain(same), ""),
                ("See", here.anchors("term", term.see), ""),
                ("Sources", run_on(source_html(here, s) for s in term.sources if s.title != "common practice"), ""),
                ("Whose word", word_lines(here, term.amended), ""),
            ]
        ),
    )


def fasteners_page(here: Here) -> PageView:
    """Every fastener: a table of sizes first, then each with its places, torques and traps."""
    of = grouped(sorted(here.library.fasteners.values(), key=_size), FASTENER_SYSTEMS, lambda f: str(f.system))
    table = Table(
        "Sizes and what turns them",
        cells("Thread", "Turn it with", "Across flats", "Diameter", "Pitch"),
        tuple(
            Row(
                Cell(Markup('<a href="#{}">{}</a>').format(f.id, f.title)),
                (
                    Cell(here.pen.line(f.driver)),
                    Cell(escape(shown(f.across_flats)), "number"),
                    Cell(escape(shown(f.diameter)), "number"),
                    Cell(escape(shown(f.pitch)), "number"),
                ),
            )
            for _, group in of
            for f in group
        ),
    )
    made = tuple(
        Section(anchor_of(system), system.capitalize(), (Cards(tuple(_fastener_card(here, f) for f in group), "rows"),))
        for system, group in of
    )
    overview = (Section("sizes", "Sizes at a glance", (table,)),) if table.rows else ()
    lede = Markup("<p>Threads and nuts met on amplifiers, what turns them, and how tight they belong.</p>")
    return PageView(here.path, "Fasteners", "fastener", sections=(*overview, *made), lede=lede)


def _size(fastener: Fastener) -> tuple[float, str]:
    diameter = fastener.diameter
    return (diameter.value if diameter is not None and hasattr(diameter, "value") else 1.0, fastener.title)


def _fastener_card(here: Here, fastener: Fastener) -> Card:
    pen = here.pen
    sums = chosen_links(here, "fastener", fastener.id)
    rows: list[tuple[str, str | Markup, str]] = [
        ("Usual places", run_on(pen.line(p) for p in fastener.places), ""),
        ("By feel", pen.line(fastener.by_feel), ""),
        *((f"Torque, {pen.plain(t.condition)}", _torque(here, t), "") for t in fastener.tightness),
        ("Proof stress", ", ".join(w for w in (shown(fastener.proof_stress), pen.plain(fastener.grade)) if w), ""),
        ("Easy to get wrong", run_on(pen.line(t) for t in fastener.traps), ""),
        ("Sums", Markup("; ").join(Markup('<a href="{}">{}</a>').format(s.url, s.words) for s in sums), ""),
        ("Sources", Markup("; ").join(source_html(here, s) for s in fastener.sources), ""),
        ("Whose word", word_lines(here, fastener.amended), ""),
    ]
    title = Link(fastener.title, "")
    return Card(
        title=title,
        anchor=fastener.id,
        anchors=fastener.was,
        kicker=", ".join(fastener.also_called),
        body=(pen.paragraphs(fastener.summary),),
        facts=facts(rows),
    )


def _torque(here: Here, tightness: Tightness) -> Markup:
    sources = Markup("; ").join(source_html(here, s) for s in tightness.sources)
    return Markup('<b class="figure">{}</b> <span class="under">{}</span>').format(shown(tightness.torque), sources)
