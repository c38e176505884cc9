"""Pages that list every entry of a kind, and the kinds whose entries stand together on one page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from markupsafe import Markup, escape

from benchlore.entries.calculator import CALCULATOR_GROUPS
from benchlore.entries.common import Entry
from benchlore.entries.fastener import Fastener, Tightness
from benchlore.entries.fault import COMMONNESS, FAULT_GROUPS
from benchlore.entries.finding import Finding
from benchlore.entries.stage import STAGE_GROUPS
from benchlore.entries.symptom import SENSES
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Block, Card, Cards, Cell, Link, Links, Row, Section, Table
from benchlore.rendering.views.fault import COMMON_SCALE
from benchlore.rendering.views.idle import mark_of
from benchlore.rendering.views.page import Here, PageView, anchor_of, count_words, facts, grouped, often, source_html
from benchlore.rendering.views.parts import cells

TUBE_ROLES = ("output", "small signal", "rectifier")
FASTENER_SYSTEMS = ("inch", "metric", "wood", "bushing")
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
                    ", ".join(tube.also_called),
                    tube.base,
                    shown(rating.plate_dissipation) if rating else "",
                    shown(rating.plate_volts) if rating else "",
                    f"{shown(heater.volts)}, {shown(heater.amps)}" if heater else "",
                    rating.system if rating else "",
                ),
            )
        )
    return Table(
        f"{role.capitalize()} tubes",
        cells("Type", "Also", "Base", "Plate limit", "Plate volts", "Heater", "System"),
        tuple(rows),
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
        facts=facts([("Also", here.pen.plain(same), ""), ("See", here.anchors("term", term.see), "")]),
    )


def fasteners_page(here: Here) -> PageView:
    """Every fastener: a table of sizes first, then each with its places, torques and traps."""
    of = grouped(sorted(here.library.fasteners.values(), key=_size), FASTENER_SYSTEMS, lambda f: str(f.system))
    table = Table(
        "Sizes and what turns them",
        cells("Thread", "Diameter", "Pitch", "Across flats", "Turn it with"),
        tuple(
            Row(
                Cell(Markup('<a href="#{}">{}</a>').format(f.id, f.title)),
                (
                    Cell(escape(shown(f.diameter)), "number"),
                    Cell(escape(shown(f.pitch)), "number"),
                    Cell(escape(shown(f.across_flats)), "number"),
                    Cell(here.pen.line(f.driver)),
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
    rows: list[tuple[str, str | Markup, str]] = [
        ("Usual places", Markup("; ").join(pen.line(p) for p in fastener.places), ""),
        ("By feel", pen.line(fastener.by_feel), ""),
        *((f"Torque, {pen.plain(t.condition)}", _torque(here, t), "") for t in fastener.tightness),
        ("Proof stress", ", ".join(w for w in (shown(fastener.proof_stress), pen.plain(fastener.grade)) if w), ""),
        ("Easy to get wrong", Markup("; ").join(pen.line(t) for t in fastener.traps), ""),
        ("Sources", Markup("; ").join(source_html(here, s) for s in fastener.sources), ""),
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


def findings_page(here: Here) -> PageView:
    """Every finding, newest first, by year."""
    findings = sorted(here.library.findings.values(), key=lambda f: (-f.date.toordinal(), f.id))
    years = sorted({str(f.date.year) for f in findings}, reverse=True)
    made = tuple(
        Section(
            f"year-{year}",
            year,
            (Cards(tuple(_finding_card(here, f) for f in of), "rows"),),
            count_words(len(of), "job", "jobs"),
        )
        for year, of in grouped(findings, years, lambda f: str(f.date.year))
    )
    lede = Markup("<p>What jobs in this shop turned out to be. No owner's data stands here, ever.</p>")
    return PageView(here.path, "Findings", "finding", sections=made, lede=lede)


def _finding_card(here: Here, finding: Finding) -> Card:
    pen = here.pen
    shop = here.library.shop
    cost = f"{finding.parts_cost:.2f} {shop.currency if shop else ''}".strip()
    family = here.anchor("family", finding.family)
    revision = Markup(", {}").format(pen.line(finding.revision)) if finding.revision else Markup()
    checks = Markup("; ").join(Markup("{} {}").format(_check_link(here, c.check), c.result) for c in finding.checks)
    return Card(
        title=Link(finding.title, ""),
        anchor=finding.id,
        anchors=finding.was,
        kicker=finding.date.isoformat(),
        body=tuple(m for m in (pen.paragraphs(finding.fix), pen.paragraphs(finding.learned)) if m),
        facts=facts(
            [
                ("Family", family + revision, ""),
                ("Asked for", pen.line(finding.request), ""),
                ("Symptoms", here.anchors("symptom", finding.symptoms), ""),
                ("Not there", here.anchors("symptom", finding.absent), ""),
                ("Found", here.anchors("fault", finding.faults) or "nothing wrong", ""),
                ("Checks", checks, ""),
                ("Bench time", f"{finding.minutes} min", ""),
                ("Parts", cost, ""),
                ("By", finding.technician, ""),
            ]
        ),
    )


def _check_link(here: Here, check: str) -> Markup:
    fault, _, key = check.partition("/")
    if here.library.get("fault", fault) is None:
        return escape(check)
    return Markup('<a href="{}">{}</a>').format(here.pen.url("fault", fault, f"checks-{key}"), key.replace("-", " "))


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
