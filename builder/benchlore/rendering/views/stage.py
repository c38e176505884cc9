"""The page of a stage: how it works, what goes wrong, which wires lie apart, which families have it."""

from __future__ import annotations

from markupsafe import Markup

from benchlore.entries.stage import Stage
from benchlore.rendering.views.blocks import Card, Cards, Item, Prose, Section
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    kicker,
    many,
    often,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.parts import change_cards, figures_table, lead_dress_cards


def stage_page(here: Here, stage: Stage) -> PageView:
    """Everything about a circuit block that many families share."""
    pen = here.pen
    lede = pen.paragraphs(stage.summary)
    return PageView(
        path=here.path,
        title=stage.title,
        kind="stage",
        kicker=kicker("stage", here, stage.group),
        lede=lede,
        other_names=stage.also_called,
        asked=stage.asked,
        cautions=here.cautions(stage.cautions),
        actions=shop_links(here, stage),
        sections=sections(
            section(
                Stage, "how_to_tell", "How to see that an amp has it", here.list_of("how_to_tell", stage.how_to_tell)
            ),
            section(Stage, "usual_troubles", "What usually goes wrong", Prose(pen.paragraphs(stage.usual_troubles))),
            section(Stage, "faults", "Faults it is known for", _faults(here, stage)),
            section(Stage, "figures", "Usual figures", figures_table(here, stage.figures)),
            section(Stage, "lead_dress", "Wires that must lie apart", lead_dress_cards(here, stage.lead_dress)),
            section(Stage, "changes", "Changes worth offering", change_cards(here, stage.changes)),
            section(Stage, "procedures", "Procedures", here.link_list("procedures", "procedure", stage.procedures)),
            section(Stage, "calculators", "Sums", here.link_list("calculators", "calculator", stage.calculators)),
            _symptoms(here, stage),
            _families(here, stage),
            sources_section(here, stage),
        ),
        byline=byline(here, stage),
    )


def _faults(here: Here, stage: Stage) -> Cards:
    made = []
    for known in sorted(stage.faults, key=lambda k: -len(often(k.common).filled)):
        fault = here.library.faults.get(known.fault)
        words = known.note or (fault.summary if fault else "")
        made.append(
            Card(
                title=here.link("fault", known.fault),
                anchor=f"faults-{known.fault}",
                often=often(known.common),
                body=(here.pen.line(words),),
            )
        )
    return Cards(tuple(made), "rows")


def _families(here: Here, stage: Stage) -> Section | None:
    families = [f for f in here.library.families.values() if stage.id in f.stages]
    items = tuple(
        Item(
            Markup('<a href="{}">{}</a>, {}').format(here.pen.url("family", f.id), f.title, f.maker), f"families-{f.id}"
        )
        for f in families
    )
    return Section("families", "Families that have it", (many(items),)) if items else None


def _symptoms(here: Here, stage: Stage) -> Section | None:
    """Symptoms that tend to start in this stage."""
    found = [s for s in here.library.symptoms.values() if stage.id in s.starts_in]
    items = tuple(Item(here.anchor("symptom", s.id), f"symptoms-{s.id}") for s in found)
    return Section("symptoms", "Symptoms that tend to start here", (many(items),)) if items else None
