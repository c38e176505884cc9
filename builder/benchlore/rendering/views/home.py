"""The first page: search, then families, symptoms in the owner's words, the latest findings, sums and procedures."""

from __future__ import annotations

from markupsafe import Markup

from benchlore.entries.calculator import CALCULATOR_GROUPS
from benchlore.entries.finding import Finding
from benchlore.entries.symptom import SENSES
from benchlore.rendering.views.blocks import Card, Cards, Link, Links, Section
from benchlore.rendering.views.lists import SENSE_WORDS, family_card, symptom_card
from benchlore.rendering.views.page import Here, PageView, anchor_of, count_words, grouped
from benchlore.rendering.views.parts import finding_links

SHOWN_FINDINGS = 8


def home_page(here: Here) -> PageView:
    """The page that a job starts from."""
    library = here.library
    made = [
        _section("families", "Families", Cards(tuple(family_card(here, f) for f in library.families.values()))),
        *_symptoms(here),
        _section(
            "findings", "Latest findings", Links(finding_links(here, _latest(here), name_family=True)), _more(here)
        ),
        *_calculators(here),
        _section("procedures", "Procedures", Links(_procedures(here), look="tiles")),
    ]
    return PageView(
        here.path,
        "Benchlore",
        "home",
        lede=Markup(
            "What this amp usually suffers from, how hard it idles, what works loose, which wires must lie apart."
        ),
        sections=tuple(s for s in made if s is not None),
        actions=_counts(here),
        template="home.html",
    )


def _section(anchor: str, heading: str, *blocks: Cards | Links | None) -> Section | None:
    kept = tuple(b for b in blocks if b is not None and b.items)
    return Section(anchor, heading, kept) if kept else None


def _symptoms(here: Here) -> list[Section]:
    groups = grouped(sorted(here.library.symptoms.values(), key=lambda s: s.title), SENSES, lambda s: str(s.sense))
    blocks = tuple(Cards(tuple(symptom_card(here, s) for s in of), "index", SENSE_WORDS[sense]) for sense, of in groups)
    return [Section("symptoms", "What the owner says", blocks)] if blocks else []


def _latest(here: Here) -> list[Finding]:
    return sorted(here.library.findings.values(), key=lambda f: (-f.date.toordinal(), f.id))[:SHOWN_FINDINGS]


def _more(here: Here) -> Links | None:
    count = len(here.library.findings)
    return (
        Links((Link(f"All {count} findings", here.to("findings.html")),), look="more")
        if count > SHOWN_FINDINGS
        else None
    )


def _calculators(here: Here) -> list[Section]:
    groups = grouped(
        sorted(here.library.calculators.values(), key=lambda c: c.title), CALCULATOR_GROUPS, lambda c: str(c.group)
    )
    cards = tuple(
        Card(
            title=Link(group.capitalize(), here.to(f"calculators.html#{anchor_of(group)}")),
            body=(here.anchors("calculator", (c.id for c in of)),),
        )
        for group, of in groups
    )
    return [Section("calculators", "Sums of the bench", (Cards(cards, "groups"),))] if cards else []


def _procedures(here: Here) -> tuple[Link, ...]:
    ordered = sorted(here.library.procedures.values(), key=lambda p: (p.id != "making-safe", p.title))
    return tuple(here.link("procedure", p.id, tag=f"{p.minutes} min") for p in ordered)


def _counts(here: Here) -> tuple[Link, ...]:
    """How much the book holds, each a way in."""
    library = here.library
    rows = [
        (len(library.families), "family", "families", "families.html"),
        (len(library.symptoms), "symptom", "symptoms", "symptoms.html"),
        (len(library.faults), "fault", "faults", "faults.html"),
        (len(library.stages), "stage", "stages", "stages.html"),
        (len(library.tubes), "tube", "tubes", "tubes.html"),
        (len(library.findings), "finding", "findings", "findings.html"),
    ]
    return tuple(Link(count_words(count, one, many), here.to(url)) for count, one, many, url in rows if count)
