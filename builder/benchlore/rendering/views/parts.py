"""Pieces that several kinds of page share: lead dress, changes, usual figures, cards of faults."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from markupsafe import Markup, escape

from benchlore.entries.common import Change, Figure, LeadDress
from benchlore.entries.finding import Finding
from benchlore.linking.library import FamilyFault
from benchlore.quantity import Quantity
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Card, Cards, Cell, Link, Row, Table
from benchlore.rendering.views.page import Here, facts, often


def cells(*html: Markup | str) -> tuple[Cell, ...]:
    """Cells of a table from their contents."""
    return tuple(Cell(escape(h)) for h in html)


def lead_dress_cards(here: Here, points: Iterable[LeadDress], letters: Mapping[str, str] | None = None) -> Cards:
    """Which wires must lie apart, how far, and what is heard otherwise; ``letters`` are those of a drawing, by key."""
    pen = here.pen
    made = []
    for point in points:
        made.append(
            Card(
                title=Link(pen.plain(point.keep), ""),
                anchor=f"lead-dress-{point.key}",
                kicker=(letters or {}).get(point.key, ""),
                body=(_away(here, point),),
                facts=facts(
                    [
                        ("Heard otherwise", pen.line(point.heard), ""),
                        ("Hold it", pen.line(point.secure), ""),
                        ("Symptoms", here.anchors("symptom", point.symptoms), ""),
                    ]
                ),
            )
        )
    return Cards(tuple(made), "rows")


def _away(here: Here, point: LeadDress) -> Markup:
    words = Markup('<span class="away">away from</span> {}').format(here.pen.line(point.away_from))
    if isinstance(point.apart, Quantity):
        words += Markup(', <b class="figure">{}</b> at least').format(shown(point.apart))
    return words


def change_cards(here: Here, changes: Iterable[Change]) -> Cards:
    """Changes worth offering, with what limits them."""
    pen = here.pen
    return Cards(
        tuple(
            Card(
                title=Link(pen.plain(change.change), ""),
                anchor=f"changes-{change.key}",
                facts=facts(
                    [
                        ("The owner notices", pen.line(change.effect), ""),
                        ("Limits", pen.line(change.limits), ""),
                        ("Sums first", here.anchors("calculator", change.calculators), ""),
                    ]
                ),
                tags=(
                    "can be undone without trace" if change.reversible else "cannot be undone without trace",
                    *((f"{change.minutes} min",) if change.minutes else ()),
                ),
            )
            for change in changes
        ),
        "rows",
    )


def fault_cards(here: Here, faults: Iterable[FamilyFault], revisions: dict[str, str]) -> Cards:
    """What a family suffers from, commonest first; ``revisions`` are the titles of its revisions by key."""
    pen = here.pen
    made = []
    for item in faults:
        tags = [
            *([f"since {revisions.get(item.since, item.since)}"] if item.since else []),
            *([f"until {revisions.get(item.until, item.until)}"] if item.until else []),
            *(["look while it is open"] if item.fault.while_open else []),
        ]
        made.append(
            Card(
                title=here.link("fault", item.fault.id),
                anchor=f"weak-points-{item.fault.id}",
                often=often(item.common),
                body=(pen.line(item.here or item.fault.summary),),
                tags=tuple(tags),
            )
        )
    return Cards(tuple(made), "rows")


def figures_table(here: Here, figures: Iterable[Figure]) -> Table:
    """Usual figures to judge a reading by."""
    rows = tuple(
        Row(
            Cell(here.pen.line(f.what)),
            (Cell(escape(shown(f.value)), "number"), Cell(here.pen.line(f.note))),
            f"figures-{n}",
        )
        for n, f in enumerate(figures, 1)
    )
    return Table("What is measured, and what is usual", cells("Measured", "Usual", "Mind"), rows, "stack")


def finding_links(here: Here, findings: Iterable[Finding], *, name_family: bool) -> tuple[Link, ...]:
    """Findings as links, each with its family or faults in a few words."""
    made = []
    for finding in findings:
        about = here.anchors("fault", finding.faults) or here.pen.line(finding.request) or Markup("nothing wrong found")
        family = here.library.get("family", finding.family)
        note = Markup("{}: {}").format(family.title, about) if family and name_family else about
        made.append(Link(finding.title, here.pen.url("finding", finding.id), note, finding.date.isoformat()))
    return tuple(made)
