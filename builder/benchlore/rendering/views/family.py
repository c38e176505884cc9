"""The page of a family: what it suffers from, how hard it idles, what works loose, which wires lie apart."""

from __future__ import annotations

from functools import partial

from markupsafe import Markup

from benchlore.addresses import closing_of
from benchlore.entries.family import Family
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import (
    Block,
    Cautions,
    CautionView,
    Fact,
    Facts,
    Link,
    Section,
)
from benchlore.rendering.views.drawings import (
    fastener_drawings,
    idle_drawing,
    stage_drawing,
    supply_drawing,
)
from benchlore.rendering.views.family_parts import (
    findings_section,
    hardware_table,
    inherited_faults,
    lead_dress_blocks,
    variant_cards,
)
from benchlore.rendering.views.idle import idle_blocks, mark_of
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    count_words,
    facts,
    folding,
    kicker,
    section,
    sections,
    sources_section,
)
from benchlore.rendering.views.parts import change_cards, fault_cards
from benchlore.rendering.views.steps import open_steps
from benchlore.rendering.views.supply import mains_facts, output_facts, socket_cards, speaker_facts, supply_table

_part = partial(section, Family)


def family_page(here: Here, family: Family) -> PageView:
    """Everything the bench wants to know about a family, in the order in which a job asks for it."""
    lede = here.pen.paragraphs(family.summary)
    parts = (*_for_the_job(here, family), *_to_look_up(here, family))
    return PageView(
        path=here.path,
        title=family.title,
        kind="family",
        kicker=(*kicker("family", here), Link(family.maker, here.to("families.html"))),
        lede=lede,
        other_names=family.also_called,
        asked=family.asked,
        strip=_strip(here, family),
        cautions=here.cautions(family.cautions),
        actions=_actions(here, family),
        sections=parts,
        byline=byline(here, family),
        scripts=folding(parts),
    )


def _for_the_job(here: Here, family: Family) -> tuple[Section, ...]:
    """What intake and bench ask first: needs, faults, idle, opening, hardware, lead dress."""
    faults = here.library.family_faults(family.id)
    own = fault_cards(here, (f for f in faults if f.via is None), {v.key: v.name for v in family.variants})
    needs = here.list_of("usual_needs", family.usual_needs, "ticks")
    opening = open_steps(here, "opening", family.opening)
    return sections(
        _part("usual_needs", "What it usually needs", needs, lede="To quote at intake."),
        _part("weak_points", "What goes wrong", own, *inherited_faults(here, tuple(f for f in faults if f.via))),
        _part("idle", "How hard it idles", *idle_blocks(here, family, idle_drawing(here, family))),
        _part("opening", "Opening it", *_hazards(here), opening),
        _part("hardware", "What works loose", *fastener_drawings(here, family), hardware_table(here, family), fold=_pieces(family)),
        _part("lead_dress", "Wires that must lie apart", *lead_dress_blocks(here, family), fold=_pairs(here, family)),
    )


def _to_look_up(here: Here, family: Family) -> tuple[Section, ...]:
    """What is looked up while working: charts, pins, loads, revisions, changes, closing, what was found."""
    sockets = socket_cards(here, family.tubes)
    stages = here.link_list("stages", "stage", family.stages)
    blocks = stage_drawing(here, family)
    made_of = count_words(len(family.stages), "stage", "stages") + (", and where each symptom tends to start" if blocks else "")
    return sections(
        _part("supply", "Supply chart", supply_drawing(here, family), supply_table(here, family), fold=_nodes(family)),
        _part("tubes", "Tubes and pins", sockets, lede="Volts against chassis, no signal, warm.", fold=_sockets(here, family)),
        _part("mains", "Mains", mains_facts(here, family.mains)),
        _part("output", "Output transformer and loads", output_facts(here, family)),
        _part("speaker", "Speaker", speaker_facts(here, family)),
        _part("how_to_tell", "How to tell it", here.list_of("how_to_tell", family.how_to_tell)),
        _part("variants", "Variants and revisions", variant_cards(here, family), fold=_names(family)),
        _part("stages", "What it is made of", stages, blocks, lede="In signal order, then supply and build.", fold=made_of),
        _part("changes", "Changes worth offering", change_cards(here, family.changes), fold=_offers(family)),
        _part("test_notes", "Notes for testing", here.list_of("test_notes", family.test_notes)),
        _part("noise", "Noise", _noise(family)),
        _part("closing", "Closing it", open_steps(here, "closing", family.closing)),
        findings_section(here, family),
        sources_section(here, family),
    )


def _pieces(family: Family) -> str:
    """What the part on hardware holds, for its fold: places, screws, and what is loosest."""
    places, screws = len(family.hardware), sum(item.count for item in family.hardware)
    words = f"{count_words(places, 'place', 'places')}, {count_words(screws, 'screw or nut', 'screws and nuts')}"
    loosest = [item.what for item in family.hardware if item.found_loose == "nearly every one"]
    return f"{words}; nearly always loose: {', '.join(loosest)}" if loosest else words


def _pairs(here: Here, family: Family) -> str:
    own, all = len(family.lead_dress), len(here.library.family_lead_dress(family.id))
    return f"{own} of its own" + (f", {all - own} of its stages" if all > own else "")


def _nodes(family: Family) -> str:
    volts = [node.volts for node in family.supply]
    ends = f", {shown(volts[0])} to {shown(volts[-1])}" if len(volts) > 1 else f", {shown(volts[0])}"
    return count_words(len(volts), "node", "nodes") + ends


def _sockets(here: Here, family: Family) -> str:
    types = dict.fromkeys(here.link("tube", socket.type).words for socket in family.tubes)
    return f"{count_words(len(family.tubes), 'tube', 'tubes')}: {', '.join(types)}"


def _names(family: Family) -> str:
    return ", ".join(variant.name for variant in family.variants)


def _offers(family: Family) -> str:
    return count_words(len(family.changes), "change", "changes") + ", with effect, limits and minutes"


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
    job = Link("Start a job on it", here.to(f"job.html?family={family.id}"))
    return (job, *safe, closing, *shop_links(here, family))


def _hazards(here: Here) -> tuple[Block, ...]:
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


def _noise(family: Family) -> Facts | None:
    if family.noise is None:
        return None
    return Facts(facts([("At the speaker, all controls down", shown(family.noise), "")]))
