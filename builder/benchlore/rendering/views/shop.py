"""The shop that keeps the shelf, and the page on safety and on the limits of this book."""

from __future__ import annotations

from urllib.parse import quote

from markupsafe import Markup

from benchlore.entries.shop import Shop
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import (
    Bullets,
    Cautions,
    CautionView,
    Cell,
    Facts,
    Item,
    Link,
    Links,
    Prose,
    Row,
    Section,
    Table,
)
from benchlore.rendering.views.page import Here, PageView, byline, facts, section, sections, sources_section
from benchlore.rendering.views.parts import cells

CAUTIONS = (
    ("mains", "The mains can kill, with the switch off too. Pull the plug; never trust a switch, a fuse or a label."),
    (
        "stored charge",
        "Filter capacitors keep several hundred volts after the plug is out, for minutes and sometimes for days. Let the charge out slowly and prove every one dead with a meter that you proved before and after.",
    ),
    (
        "high voltage",
        "Plates, screens and the output transformer stand at 250 to 700 V while the amp is on. One hand, insulated probes, no rings, never alone and never tired.",
    ),
    (
        "earth",
        "The protective earth is what keeps a fault from reaching the player. It is proved before every hand-over and is never lifted to cure a hum.",
    ),
    ("hot glass", "Output and rectifier tubes burn a hand at once and stay hot for ten minutes."),
)
LIMITS = (
    "It is a reference for trained people. Whoever is not trained for high voltage stops at the plug and hands the amp to someone who is.",
    "Local electrical codes and licensed practice come first. Where they ask for more than is written here, do more; where they forbid what is written here, do not do it.",
    "A figure holds for what its source says it holds for. A figure marked “from memory” is to be looked up before it is relied on; “common practice” means that no source is known.",
    "How common a fault is comes from what shops reported and from the judgement of those who wrote the entries. The amp on the bench may have any fault.",
    "A sum is as good as the readings put into it. Its uncertainty is shown where it can be reckoned; its inputs are taken as independent.",
    "Makers, models and jobs of the demo shop are invented.",
)


def shop_page(here: Here, shop: Shop) -> PageView:
    """Who keeps this shelf, and how the bench works."""
    pen = here.pen
    return PageView(
        path=here.path,
        title=shop.title,
        kind="shop",
        lede=pen.paragraphs(shop.summary),
        other_names=shop.also_called,
        asked=shop.asked,
        actions=_estimate(here, shop),
        sections=sections(
            Section(
                "shop",
                "At this bench",
                (
                    Facts(
                        facts(
                            [
                                (
                                    "Mains",
                                    ", ".join(w for w in (shown(shop.mains), shown(shop.frequency)) if w),
                                    "mains",
                                ),
                                ("Paper", shop.paper or "", "paper"),
                                ("Currency", shop.currency, "currency"),
                                ("Rate an hour", f"{shop.rate:g} {shop.currency}" if shop.rate else "", "rate"),
                                ("Tax on estimates", shown(shop.tax), "tax"),
                                ("Licence of the shelf", pen.line(shop.licence), "licence"),
                            ]
                        )
                    ),
                ),
            ),
            section(Shop, "technicians", "Who signs findings", _technicians(here, shop)),
            section(Shop, "links", "Calculators kept elsewhere", _links(here, shop)),
            sources_section(here, shop),
        ),
        byline=byline(here, shop),
    )


def _estimate(here: Here, shop: Shop) -> tuple[Link, ...]:
    """The estimate with this shop's own rate and tax filled in."""
    if "estimate" not in here.library.calculators:
        return ()
    pairs = [f"rate={quote(f'{shop.rate:g} /h', safe='')}"] if shop.rate else []
    pairs += [f"tax={quote(shop.tax.text, safe='')}"] if shop.tax else []
    return (
        (Link("Estimate with this rate and tax", f"{here.pen.url('calculator', 'estimate')}#{'&'.join(pairs)}"),)
        if pairs
        else ()
    )


def _technicians(here: Here, shop: Shop) -> Table:
    signed = {
        t.initials: sum(f.technician == t.initials for f in here.library.findings.values()) for t in shop.technicians
    }
    named = any(t.name for t in shop.technicians)
    rows = tuple(
        Row(
            Cell(Markup("{}").format(t.initials)),
            (
                *((Cell(here.pen.line(t.name)),) if named else ()),
                Cell(Markup("{}").format(signed[t.initials]), "number"),
            ),
            f"technicians-{t.initials.lower()}",
        )
        for t in shop.technicians
    )
    head = cells("Initials", "Name", "Findings") if named else cells("Initials", "Findings")
    return Table("Technicians", head, rows)


def _links(here: Here, shop: Shop) -> Bullets:
    return Bullets(
        tuple(
            Item(
                Markup("{}: on the page of each {} <code>{}</code>").format(
                    here.pen.line(link.title), link.kind, link.template
                ),
                f"links-{n}",
            )
            for n, link in enumerate(shop.links, 1)
        )
    )


def safety_page(here: Here) -> PageView:
    """What can hurt, what this book is not, and where to begin."""
    start = [
        id for id in ("making-safe", "first-power-up", "earth-and-insulation") if here.library.get("procedure", id)
    ]
    hazards = tuple(
        Item(here.anchor("procedure", p.id), f"procedures-{p.id}")
        for p in here.library.procedures.values()
        if p.cautions and p.id not in start
    )
    return PageView(
        path=here.path,
        title="Safety, and the limits of this book",
        kind="safety",
        lede=Markup("<p>This work can kill. Read this page once, whole, and the cautions of a page every time.</p>"),
        sections=sections(
            Section(
                "cautions", "What can hurt", (Cautions(tuple(CautionView(h, here.pen.line(w)) for h, w in CAUTIONS)),)
            ),
            Section("start", "Where every job begins", (Links(here.links("procedure", start), look="tiles"),))
            if start
            else None,
            Section(
                "limits",
                "What this book is not",
                (Bullets(tuple(Item(here.pen.line(w), f"limits-{n}") for n, w in enumerate(LIMITS, 1))),),
            ),
            Section("marks", "How cautions are shown", (Prose(_MARKS),)),
            Section("procedures", "Procedures with cautions of their own", (Bullets(hazards),)) if hazards else None,
        ),
    )


_MARKS = Markup(
    "<p>A caution stands in a box with a striped edge and the word for the harm in front. It is there on screen and on paper, "
    "with and without scripts, and in your own colours. Verdicts carry a shape as well as a colour: "
    '<span class="mark mark-good">good</span> <span class="mark mark-mind">mind</span> '
    '<span class="mark mark-stop">stop</span> <span class="mark mark-note">note</span></p>'
)
