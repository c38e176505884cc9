"""Parts of a family's page: what comes with its stages, hardware, lead dress, revisions, what this shop found."""

from __future__ import annotations

import statistics
from collections import Counter

from markupsafe import Markup, escape

from benchlore.addresses import page_of
from benchlore.entries.family import Family
from benchlore.linking.library import FamilyFault
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import (
    Block,
    Bullets,
    Card,
    Cards,
    Cell,
    Folded,
    Heading,
    Item,
    Link,
    Links,
    Row,
    Section,
    Table,
)
from benchlore.rendering.views.drawings import family_often, lead_drawings, pair_letters, place_marks, probably
from benchlore.rendering.views.page import Here, count_words, facts, often_html, run_on
from benchlore.rendering.views.parts import cells, finding_links, lead_dress_cards

ORDERS = {"crosswise": "crosswise", "starwise": "starwise", "any": "in any order", "ends last": "ends last"}


def inherited_faults(here: Here, faults: tuple[FamilyFault, ...]) -> tuple[Block, ...]:
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
    if not cards:
        return ()
    of = count_words(sum(f.via is not None for f in faults), "fault", "faults")
    note = f"{of} of {count_words(len(cards), 'stage', 'stages')}, commonest first"
    return (Folded("What comes with its stages", note, (Cards(tuple(cards), "groups"),), "weak-points-inherited"),)


def hardware_table(here: Here, family: Family) -> Table:
    """What works loose, with what turns it and how tight; numbered as in the drawings."""
    pen, marks = here.pen, place_marks(family)
    rows = []
    for item in family.hardware:
        fastener = here.anchor("fastener", item.fastener) if item.fastener else Markup()
        drive = Markup(", ").join(m for m in (fastener, pen.line(item.drive)) if m)
        name = marks.get(item.key, Markup()) + pen.line(item.what)
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


def lead_dress_blocks(here: Here, family: Family) -> tuple[Block, ...]:
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
    cards = lead_dress_cards(here, family.lead_dress, pair_letters(family))
    drawings = lead_drawings(here, family)
    return (
        (
            *drawings,
            cards,
            Heading("What comes with its stages", "lead-dress-inherited"),
            Table("Lead dress of its stages", head, rows, "stack"),
        )
        if rows
        else (*drawings, cards)
    )


def variant_cards(here: Here, family: Family) -> Cards:
    return Cards(
        tuple(
            Card(
                title=Link(here.pen.plain(v.name), ""),
                anchor=f"variants-{v.key}",
                body=(here.pen.line(v.differs),),
                facts=facts(
                    [
                        ("Know it by", run_on(here.pen.line(m) for m in v.marks), ""),
                        ("From serial", here.pen.line(v.from_serial), ""),
                    ]
                ),
            )
            for v in family.variants
        ),
        "rows",
    )


def findings_section(here: Here, family: Family) -> Section | None:
    """What this shop found on the family so far: how often which fault, how long it took, the latest jobs."""
    findings = here.library.findings_of(family.id)
    if not findings:
        return None
    counts = Counter(fault for f in findings for fault in f.faults)
    rows = tuple(
        Row(
            Cell(here.anchor("fault", fault)),
            (Cell(escape(f"{count} of {len(findings)}"), "number"), Cell(escape(probably(count, len(findings))), "number")),
        )
        for fault, count in sorted(counts.items(), key=lambda c: (-c[1], c[0]))
    )
    minutes = sorted(f.minutes for f in findings)
    jobs = count_words(len(findings), "job", "jobs")
    lede = f"{jobs}; {statistics.median(minutes):g} minutes is the middle one, {minutes[0]} to {minutes[-1]} the range."
    table = Table("Faults found on this family", cells("Fault", "Found in", "True share probably"), rows)
    latest = Links(finding_links(here, findings[:6], name_family=False), "Latest")
    more = (
        Bullets((Item(Markup('<a href="{}">All findings</a>').format(here.to(page_of("finding", "")))),))
        if len(findings) > 6
        else None
    )
    made = (family_often(here, family), table if rows else None, latest, more)
    blocks = tuple(b for b in made if b is not None)
    return Section("findings", "What this shop found", blocks, lede, fold=f"{jobs}, {count_words(len(counts), 'fault', 'faults')}" if counts else jobs)
