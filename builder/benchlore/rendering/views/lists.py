"""Pages that list every entry of a kind, each a way to its own page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from markupsafe import Markup, escape

from benchlore.entries.calculator import CALCULATOR_GROUPS
from benchlore.entries.common import Entry
from benchlore.entries.fault import COMMONNESS, FAULT_GROUPS
from benchlore.entries.stage import STAGE_GROUPS
from benchlore.entries.symptom import SENSES
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Block, Card, Cards, Cell, Links, Row, Section, Table
from benchlore.rendering.views.fault import COMMON_SCALE
from benchlore.rendering.views.idle import mark_of
from benchlore.rendering.views.page import Here, PageView, anchor_of, count_words, facts, grouped, often
from benchlore.rendering.views.parts import cells

TUBE_ROLES = ("output", "small signal", "rectifier")
SENSE_WORDS = {"heard": "Heard", "seen": "Seen", "smelled": "Smelled", "felt": "Felt", "measured": "Measured"}


def families_page(here: Here) -> PageView:
    """Every family, by maker."""
    makers = sorted({f.maker for f in here.library.families.values()})
    made = tuple(
        Section(f"maker-{anchor_of(maker)}", maker, (Cards(tuple(family_card(here, f) for f in of)),))
        for maker, of in grouped(here.library.families.values(), makers, lambda f: str(f.maker))
    )
    return PageView(
        here.path,
        "Families",
        "family",
        sections=made,
        lede=Markup("<p>Amps that share circuit and build, so that they share faults.</p>"),
    )


def family_card(here: Here, family: Any) -> Card:
    """A family as a card: what it is, and how hot it idles."""
    idle = family.idle
    return Card(
        title=here.link("family", family.id),
        anchor=f"family-{family.id}",
        kicker=family.maker,
        facts=facts(
            [
                ("Built", family.years, ""),
                ("Form", family.build, ""),
                ("Power", shown(family.output.power), ""),
                ("Output tubes", Markup("{} × {}").format(idle.tubes, here.link("tube", idle.tube).words), ""),
                (
                    "Idle share",
                    Markup('<span class="mark mark-{}">{}</span>').format(mark_of(idle), shown(idle.stock_share)),
                    "",
                ),
            ]
        ),
    )


def faults_page(here: Here) -> PageView:
    """Every fault, by group, commonest first."""

    def order(fault: Any) -> tuple[int, str]:
        return (COMMONNESS.index(fault.commonness), fault.title)

    return _grouped_page(
        here,
        "Faults",
        "fault",
        "Causes of trouble, with the checks that prove them and the way to mend them.",
        FAULT_GROUPS,
        sorted(here.library.faults.values(), key=order),
        lambda f: str(f.group),
        lambda f: Card(
            title=here.link("fault", f.id),
            often=often(f.commonness, COMMON_SCALE),
            body=(escape(here.pen.plain(f.summary)),),
        ),
    )


def symptoms_page(here: Here) -> PageView:
    """Every symptom, by how it is noticed."""
    return _grouped_page(
        here,
        "Symptoms",
        "symptom",
        "What is seen, heard, smelled or measured, in the bench's words and the owner's.",
        SENSES,
        sorted(here.library.symptoms.values(), key=lambda s: s.title),
        lambda s: str(s.sense),
        lambda s: symptom_card(here, s),
    )


def symptom_card(here: Here, symptom: Any) -> Card:
    """A symptom with how owners say it."""
    words = Markup(" · ").join(Markup("“{}”").format(here.pen.plain(w)) for w in symptom.owner_words[:2])
    return Card(title=here.link("symptom", symptom.id), body=(words,))


def stages_page(here: Here) -> PageView:
    """Every stage, by where it belongs."""
    return _grouped_page(
        here,
        "Stages",
        "stage",
        "Circuit blocks and ways of building that many families share.",
        STAGE_GROUPS,
        sorted(here.library.stages.values(), key=lambda s: s.title),
        lambda s: str(s.group),
        lambda s: Card(
            title=here.link("stage", s.id),
            body=(escape(count_words(len(s.faults), "fault it is known for", "faults it is known for")),),
        ),
    )


def tubes_page(here: Here) -> PageView:
    """Every tube, by its job, with the figures looked up most."""
    rows_of = grouped(sorted(here.library.tubes.values(), key=lambda t: t.title), TUBE_ROLES, lambda t: str(t.role))
    made = tuple(Section(anchor_of(role), role.capitalize(), (_tube_table(here, role, of),)) for role, of in rows_of)
    lede = Markup(
        "<p>Limits are those of the rating system by which the bench judges; the tube's page has the others.</p>"
    )
    return PageView(here.path, "Tubes", "tube", sections=made, lede=lede)


def _tube_table(here: Here, role: str, tubes: Sequence[Any]) -> Table:
    rows = []
    for tube in tubes:
        rating = tube.rating
        heater = tube.heater[0] if tube.heater else None
        rows.append(
            Row(
                Cell(here.anchor("tube", tube.id)),
                cells(
                    shown(rating.plate_dissipation) if rating else "",
                    rating.system if rating else "",
                    shown(rating.plate_volts) if rating else "",
                    f"{shown(heater.volts)}, {shown(heater.amps)}" if heater else "",
                    tube.base,
                    ", ".join(tube.also_called),
                ),
            )
        )
    return Table(
        f"{role.capitalize()} tubes",
        cells("Type", "Plate limit", "System", "Plate volts", "Heater", "Base", "Also"),
        tuple(rows),
        "short",
    )


def procedures_page(here: Here) -> PageView:
    """Every procedure."""
    links = tuple(
        here.link("procedure", p.id, tag=f"{p.minutes} min")
        for p in sorted(here.library.procedures.values(), key=lambda p: p.title)
    )
    lede = Markup("<p>Bench work step by step, with what can hurt.</p>")
    return PageView(
        here.path, "Procedures", "procedure", sections=(Section("all", "All procedures", (Links(links),)),), lede=lede
    )


def calculators_page(here: Here) -> PageView:
    """Every calculator, by group."""
    made = tuple(
        Section(anchor_of(group), group.capitalize(), (Links(here.links("calculator", (c.id for c in of))),))
        for group, of in grouped(
            sorted(here.library.calculators.values(), key=lambda c: c.title), CALCULATOR_GROUPS, lambda c: str(c.group)
        )
    )
    lede = Markup(
        "<p>Sums of the bench, each proven against published worked examples whenever this book is built.</p>"
    )
    return PageView(here.path, "Calculators", "calculator", sections=made, lede=lede)


def _grouped_page(
    here: Here, title: str, kind: str, lede: str, groups: Sequence[str], entries: Sequence[Entry],
    key: Callable[[Any], str], card: Callable[[Any], Card],
) -> PageView:  # fmt: skip
    made = tuple(
        Section(anchor_of(group), SENSE_WORDS.get(group, group.capitalize()), _card_block(of, card))
        for group, of in grouped(entries, groups, key)
    )
    return PageView(here.path, title, kind, sections=made, lede=Markup("<p>{}</p>").format(lede))


def _card_block(entries: Sequence[Any], card: Callable[[Any], Card]) -> tuple[Block, ...]:
    return (Cards(tuple(card(e) for e in entries), "index"),)
