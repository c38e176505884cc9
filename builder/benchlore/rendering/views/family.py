"""The page of a family: what it suffers from, how hard it idles, what works loose, which wires lie apart."""

from __future__ import annotations

import statistics
from collections import Counter

from markupsafe import Markup, escape

from benchlore.addresses import closing_of, page_of
from benchlore.entries.family import Family, Hardware
from benchlore.linking.library import FamilyFault
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import (
    Bar,
    Block,
    Bullets,
    Card,
    Cards,
    Cautions,
    CautionView,
    Cell,
    Fact,
    Facts,
    Heading,
    Item,
    Link,
    Links,
    Row,
    Section,
    Table,
)
from benchlore.rendering.views.idle import idle_blocks, mark_of
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    count_words,
    facts,
    kicker,
    often_html,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.parts import cells, change_cards, fault_cards, finding_links, lead_dress_cards
from benchlore.rendering.views.steps import open_steps
from benchlore.rendering.views.supply import mains_facts, output_facts, socket_cards, speaker_facts, supply_table

ORDERS = {"crosswise": "crosswise", "starwise": "starwise", "any": "in any order", "ends last": "ends last"}


def family_page(here: Here, family: Family) -> PageView:
    """Everything the bench wants to know about a family, in the order in which a job asks for it."""
    library, pen = here.library, here.pen
    faults = library.family_faults(family.id)
    own = tuple(f for f in faults if f.via is None)
    inherited = tuple(f for f in faults if f.via is not None)
    revisions = {v.key: v.name for v in family.variants}
    lede = pen.paragraphs(family.summary)
    return PageView(
        path=here.path,
        title=family.title,
        kind="family",
        kicker=(*kicker("family", here), Link(family.maker, here.to("families.html"))),
        lede=lede,
        other_names=family.also_called,
        strip=_strip(here, family),
        cautions=here.cautions(family.cautions),
        actions=_actions(here, family),
        sections=sections(
            section(
                Family,
                "usual_needs",
                "What it usually needs",
                here.list_of("usual_needs", family.usual_needs, "ticks"),
                lede="To quote at intake.",
            ),
            section(
                Family,
                "weak_points",
                "What goes wrong",
                fault_cards(here, own, revisions),
                *_inherited(here, inherited),
            ),
            section(Family, "idle", "How hard it idles", *idle_blocks(here, family)),
            section(
                Family, "opening", "Opening it", *_hazards(here, family), open_steps(here, "opening", family.opening)
            ),
            section(Family, "hardware", "What works loose", hardware_table(here, family.hardware)),
            section(Family, "lead_dress", "Wires that must lie apart", *_lead_dress(here, family)),
            section(Family, "supply", "Supply chart", supply_table(here, family)),
            section(
                Family,
                "tubes",
                "Tubes and pins",
                socket_cards(here, family.tubes),
                lede="Volts against chassis, no signal, warm.",
            ),
            section(Family, "mains", "Mains", mains_facts(here, family.mains)),
            section(Family, "output", "Output transformer and loads", output_facts(here, family)),
            section(Family, "speaker", "Speaker", speaker_facts(here, family)),
            section(Family, "how_to_tell", "How to tell it", here.list_of("how_to_tell", family.how_to_tell)),
            section(Family, "variants", "Variants and revisions", _variants(here, family)),
            section(
                Family,
                "stages",
                "What it is made of",
                here.link_list("stages", "stage", family.stages),
                lede="In signal order, then supply and build.",
            ),
            section(Family, "changes", "Changes worth offering", change_cards(here, family.changes)),
            section(Family, "test_notes", "Notes for testing", here.list_of("test_notes", family.test_notes)),
            section(Family, "noise", "Noise", _noise(family)),
            section(Family, "closing", "Closing it", open_steps(here, "closing", family.closing)),
            _findings(here, family),
            sources_section(here, family),
        ),
        byline=byline(here, family),
    )


def _strip(here: Here, family: Family) -> tuple[Fact, ...]:
    idle = family.idle
    return facts(
        [
            ("Maker", family.maker, "maker"),
            ("Built", family.years, "years"),
            ("Form", family.build, "build"),
            ("Construction", family.construction, "construction"),
            ("Power", shown(family.output.power), ""),
            ("Output tubes", Markup("{} × {}").format(idle.tubes, here.anchor("tube", idle.tube)), ""),
            ("Bias", idle.arrangement, ""),
            (
                "Idle share",
                Markup('<span class="mark mark-{}">{}</span>').format(mark_of(idle), shown(idle.stock_share)),
                "",
            ),
        ]
    )


def _actions(here: Here, family: Family) -> tuple[Link, ...]:
    safe = [here.link("procedure", "making-safe")] if here.library.get("procedure", "making-safe") else []
    closing = Link("Closing-up list to print", here.to(closing_of(family.id)))
    return (*safe, closing, *shop_links(here, family))


def _inherited(here: Here, faults: tuple[FamilyFault, ...]) -> tuple[Block, ...]:
    """Faults that come with the family's stages, a short list for each stage."""
    cards = []
    for stage in dict.fromkeys(f.via for f in faults if f.via):
        lines = Markup().join(
            Markup('<li id="weak-points-{}">{} {}</li>').format(
                f.fault.id, often_html(f.common), here.anchor("fault", f.fault.id)
            )
            for f in faults
            if f.via == stage
        )
        cards.append(
            Card(title=here.link("stage", stage), body=(Markup('<ul class="often-list">{}</ul>').format(lines),))
        )
    return (
        (Heading("What comes with its stages", "weak-points-inherited"), Cards(tuple(cards), "groups")) if cards else ()
    )


def _hazards(here: Here, family: Family) -> tuple[Block, ...]:
    """The hazards of opening, said once before the steps."""
    safe = here.library.get("procedure", "making-safe")
    words = (
        Markup("Prove the amp dead before a hand goes in: {}.").format(
            here.anchor("procedure", "making-safe", "making safe")
        )
        if safe
        else Markup(
            "Unplug, let the charge out slowly, and prove every capacitor dead with a meter before a hand goes in."
        )
    )
    return (Cautions((CautionView("stored charge", words),)),)


def hardware_table(here: Here, hardware: tuple[Hardware, ...]) -> Table:
    """What works loose, with what turns it and how tight."""
    pen = here.pen
    rows = []
    for item in hardware:
        fastener = here.anchor("fastener", item.fastener) if item.fastener else Markup()
        drive = Markup(", ").join(m for m in (fastener, pen.line(item.drive)) if m)
        name = pen.line(item.what)
        if item.earth:
            name += Markup(' <span class="chip chip-stop">carries the protective earth</span>')
        tight = pen.line(item.how_tight) + (
            Markup(' <span class="chip">{}</span>').format(ORDERS[item.order]) if item.order else Markup()
        )
        heard = Markup("<br>{}").format(pen.line(item.heard)) if item.heard else Markup()
        rows.append(
            Row(
                Cell(name + Markup('<span class="under">{} × {}</span>').format(item.count, pen.line(item.where))),
                (Cell(often_html(item.found_loose) + heard), Cell(drive), Cell(tight), Cell(pen.line(item.recheck))),
                f"hardware-{item.key}",
            )
        )
    return Table(
        "What works loose, and how tight it belongs",
        cells("What and where", "Found loose", "Turn it with", "How tight", "Look again"),
        tuple(rows),
        "stack",
    )


def _lead_dress(here: Here, family: Family) -> tuple[Block, ...]:
    """The family's own points in full, those of its stages as a table."""
    own = {point.key for point in family.lead_dress}
    stage_of: dict[str, str] = {}
    for id in family.stages:
        stage = here.library.stages.get(id)
        for point in stage.lead_dress if stage else ():
            stage_of.setdefault(point.key, id)
    rows = tuple(
        Row(
            Cell(here.pen.line(point.keep)),
            (
                Cell(here.pen.line(point.away_from)),
                Cell(escape(shown(point.apart)), "number"),
                Cell(here.pen.line(point.heard)),
                Cell(here.anchor("stage", stage_of[point.key])),
            ),
            f"lead-dress-{point.key}",
        )
        for point in here.library.family_lead_dress(family.id)
        if point.key not in own
    )
    head = cells("Keep", "Away from", "At least", "Heard otherwise", "Comes with")
    cards = lead_dress_cards(here, family.lead_dress)
    return (
        (
            cards,
            Heading("What comes with its stages", "lead-dress-inherited"),
            Table("Lead dress of its stages", head, rows, "stack"),
        )
        if rows
        else (cards,)
    )


def _variants(here: Here, family: Family) -> Cards:
    return Cards(
        tuple(
            Card(
                title=Link(here.pen.plain(v.name), ""),
                anchor=f"variants-{v.key}",
                body=(here.pen.line(v.differs),),
                facts=facts(
                    [
                        ("Know it by", Markup("; ").join(here.pen.line(m) for m in v.marks), ""),
                        ("From serial", here.pen.line(v.from_serial), ""),
                    ]
                ),
            )
            for v in family.variants
        ),
        "rows",
    )


def _noise(family: Family) -> Facts | None:
    if family.noise is None:
        return None
    return Facts(facts([("At the speaker, all controls down", shown(family.noise), "")]))


def _findings(here: Here, family: Family) -> Section | None:
    """What this shop found on the family so far: how often which fault, how long it took, the latest jobs."""
    findings = here.library.findings_of(family.id)
    if not findings:
        return None
    counts = Counter(fault for f in findings for fault in f.faults)
    most = max(counts.values(), default=1)
    rows = tuple(
        Row(
            Cell(here.anchor("fault", fault)),
            (Cell(escape(f"{count} of {len(findings)}"), "number"),),
            "",
            Bar("0%", f"{count / most * 100:.2f}%", f"{count} of {len(findings)}"),
        )
        for fault, count in sorted(counts.items(), key=lambda c: (-c[1], c[0]))
    )
    minutes = sorted(f.minutes for f in findings)
    jobs = count_words(len(findings), "job", "jobs")
    lede = f"{jobs}; {statistics.median(minutes):g} minutes is the middle one, {minutes[0]} to {minutes[-1]} the range."
    table = Table("Faults found on this family", cells("Fault", "Found in"), rows)
    latest = Links(finding_links(here, findings[:6], name_family=False), "Latest")
    more = (
        Bullets((Item(Markup('<a href="{}">All findings</a>').format(here.to(page_of("finding", "")))),))
        if len(findings) > 6
        else None
    )
    blocks = tuple(b for b in (table if rows else None, latest, more) if b is not None)
    return Section("findings", "What this shop found", blocks, lede)
