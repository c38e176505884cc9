"""The page of a fault: how it shows, how to prove it, how to mend it, and where it is met."""

from __future__ import annotations

from functools import partial

from markupsafe import Markup, escape

from benchlore.entries.fault import COMMONNESS, SHOWS, Check, Fault
from benchlore.linking.library import FaultFamily
from benchlore.quantity import Quantity
from benchlore.rendering.figures import dressed
from benchlore.rendering.views.blocks import (
    Block,
    Bullets,
    Card,
    Cards,
    Cell,
    Checks,
    Fact,
    Item,
    Link,
    Links,
    Prose,
    Row,
    Section,
    Table,
)
from benchlore.rendering.views.blocks import Check as CheckView
from benchlore.rendering.views.drawings import fault_often
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    count_words,
    facts,
    folding,
    kicker,
    often,
    often_html,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.parts import cells, finding_links
from benchlore.searching.likeness import ALIKE_TO

SETUP_WORDS = {"outside": "nothing opened", "chassis out": "chassis out", "live": "live on the bench"}
POWER_WORDS = {"off": "power off", "on": "power ON", "either": "power on or off"}
COMMON_SCALE = tuple(reversed(COMMONNESS))
SHOWS_SCALE = tuple(reversed(SHOWS))
MOST_ALIKE = 3


_part = partial(section, Fault)


def fault_page(here: Here, fault: Fault) -> PageView:
    """Everything about a cause of trouble, in the order in which it is proved and mended."""
    parts = (*_proof_and_cure(here, fault), *_around_it(here, fault))
    return PageView(
        path=here.path,
        title=fault.title,
        kind="fault",
        kicker=kicker("fault", here, fault.group),
        lede=Markup("<p>{}</p>").format(here.pen.line(fault.summary)),
        other_names=fault.also_called,
        asked=fault.asked,
        strip=_strip(fault),
        cautions=here.cautions(fault.cautions),
        actions=shop_links(here, fault),
        sections=parts,
        byline=byline(here, fault),
        scripts=folding(parts),
    )


def _strip(fault: Fault) -> tuple[Fact, ...]:
    return facts(
        [
            ("How common", often_html(fault.commonness, COMMON_SCALE), "commonness"),
            ("Group", fault.group, "group"),
            ("Time to mend", f"{fault.fix_minutes} min, amp open", "fix-minutes"),
            ("Where", "any amp" if fault.anywhere else "", "anywhere"),
            ("When to look", "while the amp is open; merely usual wear" if fault.while_open else "", "while-open"),
        ]
    )


def _proof_and_cure(here: Here, fault: Fault) -> tuple[Section, ...]:
    """How it shows, how it is proved, why it happens, how it is mended."""
    pen = here.pen
    checks = Checks(tuple(check_view(here, fault, c) for c in fault.checks))
    touches = _touches(here, fault)
    return sections(
        _part("seen", "What is seen and heard", Prose(pen.paragraphs(fault.seen))),
        _part("shows", "Symptoms it gives", _shows(here, fault)),
        _part("checks", "How to prove it", checks, lede="Cheapest first."),
        _part("why", "Why it happens", Prose(pen.paragraphs(fault.why))),
        _part("fix", "How to mend it", here.list_of("fix", fault.fix, "numbered")),
        _part("parts", "Parts", _parts(here, fault)),
        _part("verify", "How to know it is mended", here.list_of("verify", fault.verify, "ticks")),
        _part("touches", "What the mending touches", touches, lede="To be looked at again before closing up."),
    )


def _around_it(here: Here, fault: Fault) -> tuple[Section, ...]:
    """What is taken for it, what it calls for, and where it is met."""
    return sections(
        _part("like", "Easily taken for it", here.link_list("like", "fault", fault.like)),
        _alike(here, fault),
        _part("procedures", "Procedures", here.link_list("procedures", "procedure", fault.procedures)),
        _part("calculators", "Sums", here.link_list("calculators", "calculator", fault.calculators)),
        _families(here, fault),
        _stages(here, fault),
        _findings(here, fault),
        sources_section(here, fault),
    )


def _alike(here: Here, fault: Fault) -> Section | None:
    """What its words are most like, beyond what is named already, so that one fault is not written twice."""
    others = [id for id in here.library.ask(ALIKE_TO, fault.id) if id not in fault.like][:MOST_ALIKE]
    lede = "Nearest by their words: look here before you write another."
    return Section("similar", "Similar entries", (here.link_list("similar", "fault", others),), lede) if others else None


def check_view(here: Here, fault: Fault, check: Check) -> CheckView:
    """A check with what must be so before it, and what its two outcomes look like."""
    pen = here.pen
    keys = {c.key: c for c in fault.checks}
    return CheckView(
        anchor=f"checks-{check.key}",
        do=pen.line(check.do),
        chips=(f"{check.minutes} min", SETUP_WORDS[check.setup], POWER_WORDS[check.power]),
        live=check.power == "on" or check.setup == "live",
        passes=pen.line(check.passes),
        fails=pen.line(check.fails),
        how=pen.paragraphs(check.how),
        caution=pen.line(check.caution),
        tools=", ".join(pen.plain(t) for t in check.tools),
        trust=_trust(check),
        after=tuple(Link(pen.plain(keys[k].do), f"#checks-{k}") for k in check.after if k in keys),
        also=here.links("fault", (s.fault for s in check.speaks_to)),
    )


def _trust(check: Check) -> str:
    """How far the check can be trusted, in words; nothing where the entry does not say."""
    parts = []
    if isinstance(check.sensitivity, Quantity):
        parts.append(f"finds the fault {dressed(check.sensitivity.text)} of the time")
    if isinstance(check.specificity, Quantity):
        parts.append(f"clears a sound amp {dressed(check.specificity.text)} of the time")
    return "; ".join(parts)


def _shows(here: Here, fault: Fault) -> Table:
    ordered = sorted(fault.shows, key=lambda s: SHOWS.index(s.how_often))
    rows = tuple(
        Row(
            Cell(here.anchor("symptom", s.symptom)), (Cell(often_html(s.how_often, SHOWS_SCALE)),), f"shows-{s.symptom}"
        )
        for s in ordered
    )
    return Table("Symptoms of this fault", cells("Symptom", "Shows"), rows)


def _parts(here: Here, fault: Fault) -> Table:
    rows = tuple(
        Row(
            Cell(here.pen.line(p.part)),
            (Cell(escape(str(p.count)), "number"), Cell(here.pen.line(p.note))),
            f"parts-{n}",
        )
        for n, p in enumerate(fault.parts, 1)
    )
    return Table("Parts that the fix needs", cells("Part", "How many", "Mind"), rows, "stack")


def _touches(here: Here, fault: Fault) -> Bullets:
    return Bullets(tuple(Item(escape(word), f"touches-{n}") for n, word in enumerate(fault.touches, 1)), "chips")


def _families(here: Here, fault: Fault) -> Section | None:
    cards = tuple(
        Card(
            title=here.link("family", item.family.id, section="weak-points"),
            anchor=f"families-{item.family.id}",
            often=often(item.common),
            body=(_in_family(here, item, fault),),
        )
        for item in here.library.fault_families(fault.id)
    )
    if not cards:
        return None
    names = ", ".join(card.title.words for card in cards[:3])
    note = f"{count_words(len(cards), 'family', 'families')}: {names}" + (" and others" if len(cards) > 3 else "")
    return Section("families", "Families that have it", (Cards(cards, "rows"),), fold=note if len(cards) > 3 else "")


def _in_family(here: Here, item: FaultFamily, fault: Fault) -> Markup:
    if item.via:
        return Markup("comes with {}").format(here.anchor("stage", item.via))
    special = next((point.here for point in item.family.weak_points if point.fault == fault.id), None)
    return here.pen.line(special) or Markup("a weak point of its own")


def _stages(here: Here, fault: Fault) -> Section | None:
    known = [
        (stage.id, f.common) for stage in here.library.stages.values() for f in stage.faults if f.fault == fault.id
    ]
    rows = tuple(
        Row(Cell(here.anchor("stage", id)), (Cell(often_html(common)),), f"stages-{id}") for id, common in known
    )
    return (
        Section(
            "stages", "Stages known for it", (Table("Stages known for this fault", cells("Stage", "How often"), rows),)
        )
        if rows
        else None
    )


def _findings(here: Here, fault: Fault) -> Section | None:
    findings = here.library.findings_with(fault.id)
    if not findings:
        return None
    links = Links(finding_links(here, findings[:8], name_family=True), "Latest")
    drawing = fault_often(here, fault)
    blocks: tuple[Block, ...] = (drawing, links) if drawing else (links,)
    times = count_words(len(findings), "time so far", "times so far")
    return Section("findings", "Found in this shop", blocks, fold=times)
