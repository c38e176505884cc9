"""Drawings as blocks of a page: the finished SVG, its caption, the list that belongs to it, its figures as a table.

The one place where markup of ``drawing`` comes into a page: it is written by ``xml.etree``, so every word in it is escaped.
"""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup

from benchlore.drawing.base import base_drawing
from benchlore.drawing.chain import supply_chain
from benchlore.drawing.family_idle import family_idle
from benchlore.drawing.fasteners import Numbered, Places, fastener_views, numbered, view_name
from benchlore.drawing.leads import Leads, Pair, lead_views, lettered
from benchlore.drawing.often import Share, how_often
from benchlore.drawing.printing import drawn_case, drawn_ring
from benchlore.drawing.sheet import Drawn
from benchlore.drawing.stages import stage_blocks
from benchlore.entries.calculator import Calculator
from benchlore.entries.family import Family
from benchlore.entries.fault import Fault
from benchlore.entries.procedure import Procedure
from benchlore.entries.tube import Tube
from benchlore.linking.library import Library
from benchlore.reckoning.compiled import Compiled
from benchlore.rendering.views.blocks import Block, Drawing, DrawingSet, KeyItem
from benchlore.rendering.views.page import Here

RING = "tightening-order"
SHOWN_RINGS = ("4", "8")


def fastener_drawings(here: Here, family: Family) -> tuple[Block, ...]:
    """The views on which something is fastened, each with its list."""
    return tuple(
        Drawing(
            svg=Markup(places.drawn.svg),
            title=view_name(places.view),
            caption=_fastener_words(places),
            key=tuple(_numbered_item(here, n, places) for n in places.items),
            marks=_landmarks(places.landmarks),
        )
        for places in fastener_views(family, here.pen.plain)
    )


def place_marks(family: Family) -> Mapping[str, Markup]:
    """Key of each piece of hardware to its number as it stands in the drawings; none where the family has no drawing."""
    if not any(item.spots for item in family.hardware):
        return {}
    return {key: _place(n) for key, n in numbered(family).items()}


def pair_letters(family: Family) -> Mapping[str, str]:
    """Key of each pair to its letter as it stands in the drawings; none where the family has no drawing."""
    if not any(pair.ends for pair in family.lead_dress):
        return {}
    return {key: f"{pair.letter} in the drawing" for key, pair in lettered(family).items()}


def _place(n: Numbered) -> Markup:
    looks = ["place", *(["place-often"] if n.often else []), *(["place-earth"] if n.earth else [])]
    return Markup('<span class="{}">{}</span>').format(" ".join(looks), n.number)


def _fastener_words(places: Places) -> str:
    words = ["Numbers are those of the list."]
    if any(n.often for n in places.items):
        words.append("Filled: often found loose.")
    if any(n.earth for n in places.items):
        words.append("Square: carries the protective earth.")
    return " ".join(words)


def _numbered_item(here: Here, n: Numbered, places: Places) -> KeyItem:
    count = sum(spot.view == places.view.view for spot in n.item.spots)
    times = Markup(" × {}").format(count) if count > 1 else Markup()
    name = Markup('<a href="#hardware-{}">{}</a>{}').format(n.item.key, here.pen.plain(n.item.what), times)
    return KeyItem(_place(n), name + Markup('<span class="under">{}</span>').format(n.item.found_loose))


def _landmarks(landmarks: tuple[tuple[str, str], ...]) -> Markup:
    """What the small letters stand for, in one line."""
    return Markup(", ").join(Markup("<i>{}</i>\u00a0{}").format(letter, words) for letter, words in landmarks)


def lead_drawings(here: Here, family: Family) -> tuple[Block, ...]:
    """The views on which wires must lie apart, each with its list."""
    return tuple(
        Drawing(
            svg=Markup(leads.drawn.svg),
            title=view_name(leads.view),
            caption=_lead_words(leads),
            key=tuple(_pair_item(here, p) for p in leads.pairs),
            marks=_landmarks(leads.landmarks),
        )
        for leads in lead_views(family, here.pen.plain)
    )


def _lead_words(leads: Leads) -> str:
    words = "To scale. Dot: the wire to keep in its place; square: what it must stay away from; the bar is as long as they must lie apart."
    if any(p.too_close for p in leads.pairs):
        words += " A bar that passes the square: drawn too close."
    return words


def _pair_item(here: Here, p: Pair) -> KeyItem:
    plain = here.pen.plain
    name = Markup('<a href="#lead-dress-{}">{}</a>').format(p.pair.key, plain(p.pair.keep))
    under = Markup('<span class="under">away from {}{}</span>')
    mark = Markup('<span class="place place-pair">{}</span>').format(p.letter)
    return KeyItem(mark, name + under.format(plain(p.pair.away_from), f", {p.words}" if p.words else ""))


def supply_drawing(here: Here, family: Family) -> Drawing:
    """The supply as a chain, above its table."""
    drawn = supply_chain(family, here.pen.plain)
    return Drawing(Markup(drawn.svg), "Node by node", "Boxes on the line are resistors or chokes.")


def idle_drawing(here: Here, family: Family) -> Drawing | None:
    """The idle as plate volts against current."""
    drawn = family_idle(here.library, family)
    if drawn is None:
        return None
    words = (
        "The dotted line is the amp's own supply: the less current, the higher its plates."
        if family.idle.supply_resistance
        else ""
    )
    return Drawing(Markup(drawn.svg), "Volts against current", words, figures=_figures(drawn))


def stage_drawing(here: Here, family: Family) -> Drawing | None:
    """The stages as blocks, with the symptoms that this family's faults give most."""
    blocks = stage_blocks(here.library, family)
    if blocks is None:
        return None
    key = tuple(
        KeyItem(
            Markup('<span class="place">{}</span>').format(start.number),
            here.anchor("symptom", start.symptom.id)
            + Markup('<span class="under">{}</span>').format("; ".join(stage.title for stage in start.stages)),
        )
        for start in blocks.starts
    )
    words = "Numbers: what this family's faults show most, in the stages where it tends to start." if key else ""
    return Drawing(Markup(blocks.drawn.svg), "Where symptoms start", words, key)


def base_block(tube: Tube) -> Drawing | None:
    """The base seen from below, beside its table."""
    drawn = base_drawing(tube)
    return Drawing(Markup(drawn.svg), "Seen from below", "") if drawn else None


def family_often(here: Here, family: Family) -> Drawing | None:
    """How often each fault was found on the family's jobs."""
    findings = here.library.findings_of(family.id)
    faults = dict.fromkeys(fault for finding in findings for fault in finding.faults)
    shares = [
        Share(_title(here.library, "fault", fault), sum(fault in f.faults for f in findings), len(findings))
        for fault in faults
    ]
    return _often(f"Faults found on {family.title}", shares, tabled=False)


def fault_often(here: Here, fault: Fault) -> Drawing | None:
    """How often the fault was found among the jobs of each family that had it."""
    library = here.library
    shares = []
    for id in dict.fromkeys(finding.family for finding in library.findings_with(fault.id)):
        jobs = library.findings_of(id)
        shares.append(Share(_title(library, "family", id), sum(fault.id in f.faults for f in jobs), len(jobs)))
    return _often(f"{fault.title}: share of each family's jobs", shares)


def probably(found: int, jobs: int) -> str:
    """Between which shares the true one probably lies, in words: ``9 to 53 %``."""
    low, high = Share("", found, jobs).interval
    return f"{low * 100:.0f} to {high * 100:.0f}\u00a0%"


def _title(library: Library, kind: str, id: str) -> str:
    entry = library.get(kind, id)
    return entry.title if entry else id


def _often(title: str, shares: list[Share], *, tabled: bool = True) -> Drawing | None:
    drawn = how_often(title, shares)
    words = "The whisker says how far few jobs can be trusted: the true share lies within it 95 times in 100."
    return Drawing(Markup(drawn.svg), "How often", words, figures=_figures(drawn) if tabled else ()) if drawn else None


def sum_drawing(calculator: Calculator, compiled: Compiled) -> Drawing | None:
    """The drawing beside a calculator, for its default figures; a script draws it again while one types."""
    if calculator.drawing is None:
        return None
    drawn = drawn_case(calculator.drawing, compiled, {})
    if drawn is None:
        return None
    return Drawing(Markup(drawn.svg), "", "", figures=_figures(drawn), live=calculator.drawing)


def ring_drawings(procedure: Procedure, compiled: Mapping[str, Compiled]) -> DrawingSet | None:
    """The order for four and for eight, where a procedure calls for that sum."""
    if RING not in procedure.calculators or RING not in compiled:
        return None
    return DrawingSet(
        tuple(Drawing(Markup(drawn_ring(compiled[RING], n).svg), f"{n} fasteners", "") for n in SHOWN_RINGS)
    )


def _figures(drawn: Drawn) -> tuple[tuple[str, ...], ...]:
    return (drawn.head, *drawn.rows) if drawn.rows else ()
