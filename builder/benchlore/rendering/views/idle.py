"""How hard a family's output tubes idle, as a scale, a table and words."""

from __future__ import annotations

import math

from markupsafe import Markup, escape

from benchlore.entries.family import Family, Idle
from benchlore.entries.tube import Tube
from benchlore.quantity import Quantity
from benchlore.rendering.figures import NOT_KNOWN, shown
from benchlore.rendering.views.blocks import (
    Bar,
    Block,
    Bullets,
    Cautions,
    CautionView,
    Cell,
    Drawing,
    Fact,
    Facts,
    Folded,
    Heading,
    IdleScale,
    Item,
    Link,
    Links,
    Prose,
    Row,
    Table,
)
from benchlore.rendering.views.page import Here, count_words, facts
from benchlore.rendering.views.parts import cells
from benchlore.rendering.views.prefill import filled_links

VERDICTS = {
    "stop": "above the limit as it is met",
    "mind": "hotter than the aim",
    "good": "within the aim",
    "note": "cooler than the aim",
}
AT_THE_LIMIT = "at the limit, as cathode-biased stages often are: hot glass, and tubes that wear sooner"


def idle_blocks(here: Here, family: Family, drawing: Drawing | None) -> tuple[Block, ...]:
    """Everything about the idle of a family."""
    idle, pen = family.idle, here.pen
    sums, more = filled_links(here, family)
    blocks: list[Block] = [idle_scale(here, idle), Facts(_readings(here, idle), "Measured at idle, one tube")]
    if drawing is not None:
        blocks.append(drawing)
    if idle.network:
        blocks.append(_network(here, idle))
    blocks += [
        Heading("How to measure it here", "idle-how-to-measure"),
        Cautions((_live(here, idle),)),
        Prose(pen.paragraphs(idle.how_to_measure)),
    ]
    if idle.note:
        blocks.append(Prose(Markup("<p>{}</p>").format(pen.line(idle.note))))
    if sums or more:
        blocks.append(_sums(sums, more))
    return tuple(blocks)


def _sums(sums: tuple[Link, ...], more: tuple[Link, ...]) -> Folded:
    """Calculators that open with this family's figures in them, and those that need none of them."""
    blocks: list[Block] = [Links(sums)] if sums else []
    if more:
        lines = tuple(Item(Markup('<a href="{}">{}</a>').format(link.url, link.words)) for link in more)
        blocks.append(Bullets(lines, "many", "And others" if sums else ""))
    note = f"{count_words(len(sums), 'sum', 'sums')}, {len(more)} others" if more else count_words(len(sums), "sum", "sums")
    return Folded("Sums with this amp's figures filled in", note, tuple(blocks), "sums")


def _live(here: Here, idle: Idle) -> CautionView:
    """That idle is read live, and how high the plates stand."""
    way = here.library.get("procedure", "idle-measuring")
    more = Markup(" {}").format(here.anchor("procedure", way.id)) if way else Markup()
    words = Markup("Read live, with {} on the plates. Clips go on with the amp proved dead, then hands out.{}")
    return CautionView("high voltage", words.format(shown(idle.plate_volts), more))


def mark_of(idle: Idle) -> str:
    """Good, mind, stop or note: where the stock idle share lies against limit and aim.

    A cathode-biased stage is run near its limit by design and finds its own way back, so there the limit says stop only when
    every amp met is above it; a fixed bias has nothing to hold it, and one amp above the limit is enough.
    """
    share = idle.stock_share
    if not isinstance(share, Quantity):
        return "note"
    if (share.low if idle.arrangement == "cathode" else share.high) > 1:
        return "stop"
    usual = (share.low + share.high) / 2
    if usual > idle.aim.high or share.high > 1:
        return "mind"
    return "note" if usual < idle.aim.low else "good"


def verdict_of(idle: Idle) -> str:
    """The mark in words."""
    share, mark = idle.stock_share, mark_of(idle)
    if not isinstance(share, Quantity):
        return "stock idle not known: measure it"
    if mark == "mind" and share.high > 1:
        return AT_THE_LIMIT
    inside = idle.aim.low <= share.low and share.high <= idle.aim.high
    return VERDICTS[mark] if mark != "good" or inside else "around the aim"


def limit_words(tube: Tube | None) -> str:
    """The plate's limit with its rating system: ``12 W, design centre``."""
    rating = tube.rating if tube else None
    if rating is None or rating.plate_dissipation is None:
        return "the tube's limit"
    return f"{shown(rating.plate_dissipation)}, {rating.system}"


def idle_scale(here: Here, idle: Idle) -> IdleScale:
    """The idle share on a scale that ends above both the limit and the share."""
    share = idle.stock_share if isinstance(idle.stock_share, Quantity) else None
    top = max(1.3, math.ceil((share.high if share else 1) * 10 + 1) / 10)
    mark = mark_of(idle)
    stock_words = shown(idle.stock_share)
    limit = limit_words(here.library.tubes.get(idle.tube))
    verdict = verdict_of(idle)
    return IdleScale(
        summary=f"Idle share as met {stock_words}, {verdict}; aim {shown(idle.aim)}; the limit, 100\u00a0%, is {limit}.",
        stock=_stretch(share, top, stock_words) if share else Bar("0%", "0%", NOT_KNOWN),
        stock_label=stock_words,
        mark=mark,
        verdict=verdict,
        aim=_stretch(idle.aim, top, shown(idle.aim)),
        aim_label=shown(idle.aim),
        limit=_percent(1 / top),
        over=_percent(1 - 1 / top),
        limit_label=limit,
        ticks=tuple((_percent(tick / 100 / top), f"{tick}") for tick in range(0, int(top * 100) + 1, 20)),
    )


def _stretch(share: Quantity, top: float, words: str) -> Bar:
    width = max(share.high - share.low, 0.012 * top)
    return Bar(_percent(share.low / top), _percent(width / top), words, _percent((share.low + width / 2) / top))


def _percent(ratio: float) -> str:
    return f"{ratio * 100:.2f}%"


def _readings(here: Here, idle: Idle) -> tuple[Fact, ...]:
    return facts(
        [
            ("Arrangement", idle.arrangement, ""),
            ("Tubes", Markup("{} × {}").format(idle.tubes, here.anchor("tube", idle.tube)), ""),
            ("Plate", shown(idle.plate_volts), ""),
            ("Screen", shown(idle.screen_volts), ""),
            ("Grid", shown(idle.grid_volts), ""),
            ("Cathode", shown(idle.cathode_volts), ""),
            ("Cathode current", shown(idle.cathode_current), ""),
            ("Screen current", shown(idle.screen_current), ""),
            ("Sense resistor", shown(idle.sense_resistor), ""),
            ("Bias supply", shown(idle.bias_supply), ""),
            ("Supply's source resistance", shown(idle.supply_resistance), ""),
            ("Aim", Markup("{}: {}").format(shown(idle.aim), here.pen.line(idle.aim_why)), ""),
        ]
    )


def _network(here: Here, idle: Idle) -> Table:
    rows = tuple(
        Row(
            Cell(escape(leg.part)),
            (Cell(escape(shown(leg.value)), "number"), Cell(escape(leg.role)), Cell(here.pen.line(leg.effect))),
            f"idle-network-{leg.part.lower()}",
        )
        for leg in idle.network
    )
    return Table(
        "Resistors that set the bias", cells("Part", "Value", "Place", "Making it smaller"), rows, "stack", titled=True
    )
