"""A family's closing-up list: one or two sheets of paper with boxes to tick and blanks for what was measured."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup, escape

from benchlore.entries.family import Family, Hardware, OpenStep
from benchlore.quantity import shown as figure
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.family_parts import ORDERS
from benchlore.rendering.views.idle import limit_words
from benchlore.rendering.views.page import Here, PageView


@dataclass(frozen=True, slots=True)
class Tick:
    """A line to tick off; ``vital`` marks what may not stay open at hand-over, ``blank`` what is to be written down."""

    id: str
    words: Markup
    vital: bool = False
    blank: str = ""


@dataclass(frozen=True, slots=True)
class TickGroup:
    """Lines that belong together."""

    anchor: str
    heading: str
    ticks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class Blank:
    """A reading to be taken: what, where the probe goes, what is expected, and the unit of the blank."""

    id: str
    what: Markup
    expect: str
    unit: str


@dataclass(frozen=True, slots=True)
class BlankGroup:
    """Readings of one kind."""

    anchor: str
    heading: str
    note: Markup
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class ClosingList:
    """What the closing-up page adds to an ordinary one."""

    caution: Markup
    head: tuple[Blank, ...]
    groups: tuple[TickGroup, ...]
    readings: tuple[BlankGroup, ...]


def closing_page(here: Here, family: Family) -> PageView:
    """The closing-up list of a family."""
    library = here.library
    links = [
        here.link("procedure", id)
        for id in ("closing-up", "idle-measuring", "earth-and-insulation")
        if library.get("procedure", id)
    ]
    return PageView(
        path=here.path,
        title=f"Closing up: {family.title}",
        kind="closing",
        kicker=(here.link("family", family.id), Link("Closing-up list", "#list")),
        actions=tuple(links),
        template="closing.html",
        extra=ClosingList(
            caution=Markup(
                "Readings are taken live: {} on the plates. One hand, insulated probes; power off and proved dead before anything is touched."
            ).format(shown(family.idle.plate_volts)),
            head=_head(),
            groups=tuple(g for g in _groups(here, family) if g.ticks),
            readings=(_supply(here, family), _idle(here, family), _safety(here, family)),
        ),
    )


def _bare(here: Here, text: str) -> Markup:
    """Words without links: a line to tick off must not lead away."""
    return escape(here.pen.plain(text))


def _head() -> tuple[Blank, ...]:
    names = (("ticket", "Ticket"), ("serial", "Serial"), ("by", "Done by"), ("day", "Day"))
    return tuple(Blank(f"head-{id}", Markup(name), "", "") for id, name in names)


def _groups(here: Here, family: Family) -> tuple[TickGroup, ...]:
    own = {p.key for p in family.lead_dress}
    dress = here.library.family_lead_dress(family.id)
    hardware = sorted(family.hardware, key=lambda h: not h.earth)
    return (
        TickGroup(
            "hardware", "Tight", tuple(Tick(f"hardware-{h.key}", _tight(here, h), bool(h.earth)) for h in hardware)
        ),
        TickGroup(
            "lead-dress",
            "Wires apart",
            tuple(
                Tick(f"lead-dress-{p.key}", _apart(here, p.keep, p.away_from, shown(p.apart)))
                for p in dress
                if p.key in own
            ),
        ),
        TickGroup(
            "lead-dress-stages",
            "Wires apart, as everywhere",
            tuple(
                Tick(f"lead-dress-{p.key}", _apart(here, p.keep, p.away_from, shown(p.apart)))
                for p in dress
                if p.key not in own
            ),
        ),
        TickGroup("mains", "Mains", _mains(here, family)),
        TickGroup(
            "closing",
            "Closing",
            tuple(
                Tick(f"closing-{n}", _bare(here, s.do) + _danger(here, s) + _minded(here, s.tears))
                for n, s in enumerate(family.closing, 1)
            ),
        ),
    )


def _tight(here: Here, item: Hardware) -> Markup:
    said = item.order is None or item.order in item.how_tight
    order = "" if said else f", {ORDERS[str(item.order)]}"
    return Markup("<b>{}</b>, {} × {}: {}{}").format(
        _bare(here, item.what), item.count, _bare(here, item.where), _bare(here, item.how_tight), order
    )


def _apart(here: Here, keep: str, away_from: str, apart: str) -> Markup:
    far = f" ({apart})" if apart else ""
    return Markup("<b>{}</b> away from {}{}").format(_bare(here, keep), _bare(here, away_from), far)


def _danger(here: Here, step: OpenStep) -> Markup:
    """What can hurt at this line, in the words of the family."""
    words = ": ".join(w for w in (step.hazard or "", _bare(here, step.warning or "")) if w)
    return Markup(' <span class="tick-danger"><span aria-hidden="true">\u26a0</span> {}</span>').format(words) if words else Markup()


def _minded(here: Here, tears: str | None) -> Markup:
    return Markup(" <i>Mind: {}</i>").format(_bare(here, tears)) if tears else Markup()


def _mains(here: Here, family: Family) -> tuple[Tick, ...]:
    mains = family.mains
    return (
        Tick("mains-fuse", Markup("<b>Mains fuse</b> is {}").format(_bare(here, mains.fuse)), True),
        *(
            Tick(f"mains-fuse-{n}", Markup("<b>Fuse</b> is {}").format(_bare(here, f)), True)
            for n, f in enumerate(mains.other_fuses, 1)
        ),
        Tick(
            "mains-earth", Markup("<b>Protective earth</b> tight and proved: {}").format(_bare(here, mains.earth)), True
        ),
    )


def _supply(here: Here, family: Family) -> BlankGroup:
    blanks = []
    for node in family.supply:
        low, high = sorted((node.volts.low * (1 - node.spread.value), node.volts.high * (1 + node.spread.value)))
        what = Markup("<b>{}</b> {}").format(node.node, _bare(here, node.title))
        blanks.append(
            Blank(f"supply-{node.node.lower()}", what, f"{figure(low, 'V', 3)} to {figure(high, 'V', 3)}", "V")
        )
    note = escape(f"at {shown(family.mains.chart_at)} mains, no signal, warm")
    return BlankGroup(
        "supply",
        "Supply",
        note,
        (Blank("supply-mains", Markup("<b>Mains</b> now"), shown(family.mains.chart_at), "V"), *blanks),
    )


def _idle(here: Here, family: Family) -> BlankGroup:
    idle = family.idle
    note = Markup("aim {} of {}; after ten minutes").format(
        shown(idle.aim), limit_words(here.library.tubes.get(idle.tube))
    )
    output = [s.position for s in family.tubes if s.type == idle.tube][: idle.tubes]
    blanks: list[Blank] = []
    for position in output or [str(n) for n in range(1, idle.tubes + 1)]:
        name = Markup("<b>{}</b> {}")
        blanks.append(
            Blank(f"idle-{position.lower()}-volts", name.format(position, "plate"), shown(idle.plate_volts), "V")
        )
        blanks.append(
            Blank(
                f"idle-{position.lower()}-current",
                name.format(position, "cathode current"),
                shown(idle.cathode_current),
                "mA",
            )
        )
        blanks.append(
            Blank(f"idle-{position.lower()}-share", name.format(position, "idle share"), shown(idle.aim), "%")
        )
    return BlankGroup("idle", "Idle", note, tuple(blanks))


def _safety(here: Here, family: Family) -> BlankGroup:
    rows: Iterable[tuple[str, str, str, str]] = (
        ("earth-ohms", "Earth pin to chassis", "", "Ω"),
        ("insulation", "Mains to chassis, insulation", "", "MΩ"),
        ("noise", "Noise, controls down", shown(family.noise), "mV"),
        ("power", "Power at clipping", shown(family.output.power), "W"),
    )
    blanks = tuple(
        Blank(f"safety-{id}", Markup("<b>{}</b>").format(what), expect, unit) for id, what, expect, unit in rows
    )
    return BlankGroup("readings", "Safety and sound", Markup("earth and insulation by your local code"), blanks)
