"""The page of a tube: its limits under each rating system, its base, published points, looks, and what may replace it."""

from __future__ import annotations

from markupsafe import Markup, escape

from benchlore.entries.fields import table_of
from benchlore.entries.tube import Point, Rating, Tube
from benchlore.quantity import Quantity, Unknown
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import (
    Block,
    Bullets,
    Card,
    Cards,
    Cell,
    Facts,
    Heading,
    Item,
    Link,
    Row,
    Section,
    Table,
)
from benchlore.rendering.views.drawings import base_block
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    facts,
    kicker,
    many,
    section,
    sections,
    source_html,
    sources_section,
)
from benchlore.rendering.views.parts import cells
from benchlore.rendering.views.prefill import chosen_links

PIN_JOBS = {
    "a": "anode (plate)",
    "g": "grid",
    "g1": "control grid",
    "g2": "screen grid",
    "g3": "suppressor grid",
    "k": "cathode",
    "h": "heater",
    "f": "filament",
    "hct": "heater centre tap",
    "s": "shield",
    "bp": "beam plates",
    "nc": "not connected",
    "ic": "internal connection: keep clear",
}
SUBSTITUTE_MARKS = {"yes": "good", "with changes": "mind", "no": "stop"}


def tube_page(here: Here, tube: Tube) -> PageView:
    """Everything the bench judges a tube by."""
    pen = here.pen
    rating = tube.rating
    return PageView(
        path=here.path,
        title=tube.title,
        kind="tube",
        kicker=kicker("tube", here, tube.role),
        lede=pen.paragraphs(tube.summary),
        other_names=tube.also_called,
        asked=tube.asked,
        strip=facts(
            [
                ("Kind", pen.line(tube.construction), "construction"),
                ("Job", tube.role, "role"),
                ("Base", tube.base, "base"),
                ("Plate limit", _limit(rating), "judged-by" if tube.judged_by else ""),
            ]
        ),
        cautions=here.cautions(tube.cautions),
        actions=shop_links(here, tube),
        sections=sections(
            section(Tube, "ratings", "Limits", *_ratings(here, tube)),
            section(Tube, "traps", "Easy to get wrong", here.list_of("traps", tube.traps)),
            section(Tube, "pins", "Base and pins", *_pins(here, tube)),
            section(Tube, "heater", "Heater", _heater(here, tube)),
            section(Tube, "points", "Published working points", *_points(here, tube)),
            section(Tube, "looks", "What glass, getter and glow say", _looks(here, tube)),
            section(Tube, "substitutes", "What may go in its socket", _substitutes(here, tube)),
            section(Tube, "laws", "Current laws, for sums only", *_laws(here, tube)),
            _families(here, tube),
            _sums(here, tube),
            sources_section(here, tube),
        ),
        byline=byline(here, tube),
    )


def _limit(rating: Rating | None) -> Markup:
    if rating is None or rating.plate_dissipation is None:
        return Markup()
    return Markup('{} <span class="chip">{}</span>').format(shown(rating.plate_dissipation), rating.system)


def _quantities(record: Rating | Point) -> list[tuple[str, str]]:
    """Label and figure of every quantity that a record gives, in the order of its table."""
    rows = []
    for name, field in table_of(type(record)).items():
        value = getattr(record, name)
        if isinstance(value, Quantity | Unknown):
            rows.append((field.label, shown(value)))
        elif isinstance(value, float):
            rows.append((field.label, f"{value:g}"))
    return rows


def _matrix(here: Here, caption: str, columns: list[tuple[str, Markup, list[tuple[str, str]]]]) -> Table:
    """Records side by side: a column each, a row for every figure that one of them gives."""
    labels = list(dict.fromkeys(label for _, _, rows in columns for label, _ in rows))
    rows = tuple(
        Row(Cell(escape(label)), tuple(Cell(escape(dict(column).get(label, "")), "number") for _, _, column in columns))
        for label in labels
    )
    head = (
        Cell(Markup("Figure")),
        *(Cell(Markup('<span id="{}">{}</span>').format(anchor, title)) for anchor, title, _ in columns),
    )
    return Table(caption, head, rows, titled=True)


def _ratings(here: Here, tube: Tube) -> tuple[Block, ...]:
    columns, notes = [], []
    for rating in tube.ratings:
        judged = (
            Markup('<span class="under"><b>\u2713 the bench judges by this</b></span>')
            if tube.rating is rating and len(tube.ratings) > 1
            else Markup()
        )
        condition = (
            Markup('<span class="under">{}</span>').format(here.pen.line(rating.condition))
            if rating.condition
            else Markup()
        )
        columns.append((f"ratings-{rating.key}", escape(rating.system) + judged + condition, _quantities(rating)))
        notes += _notes(here, rating.system, rating)
    return (
        _matrix(here, "Published limits; never convert one system into another by a factor", columns),
        Bullets(tuple(notes), "notes"),
    )


def _points(here: Here, tube: Tube) -> tuple[Block, ...]:
    columns, notes = [], []
    for point in tube.points:
        columns.append((f"points-{point.key}", here.pen.line(point.service), _quantities(point)))
        notes += _notes(here, here.pen.plain(point.service), point)
    if not columns:
        return ()
    return (
        _matrix(here, "Published working points, currents of one tube or section", columns),
        Bullets(tuple(notes), "notes"),
    )


def _notes(here: Here, title: str, record: Rating | Point) -> list[Item]:
    sources = Markup("; ").join(source_html(here, s) for s in record.sources)
    note = Markup(" {}").format(here.pen.line(record.note)) if record.note else Markup()
    return [Item(Markup("<b>{}</b>: {}{}").format(title, sources, note))]


def _pins(here: Here, tube: Tube) -> tuple[Block, ...]:
    pins = sorted(tube.pins.items(), key=lambda p: (len(p[0]), p[0]))
    rows = tuple(
        Row(Cell(escape(pin)), (Cell(escape(job)), Cell(escape(_job_words(job)))), f"pins-{pin}") for pin, job in pins
    )
    sources = tuple(Item(source_html(here, s)) for s in tube.pins_sources)
    table = Table(
        f"{tube.base} base, pins counted from below, clockwise from the key or gap",
        cells("Pin", "Short", "Job"),
        rows,
        "short",
        titled=True,
    )
    drawing = base_block(tube)
    blocks: tuple[Block, ...] = (drawing, table) if drawing else (table,)
    return (*blocks, Bullets(sources, "notes")) if sources else blocks


def _job_words(job: str) -> str:
    """``k+g3`` in words; a section's number stays as it is written."""
    return " and ".join(PIN_JOBS.get(part.strip(), part.strip()) for part in job.split("+"))


def _heater(here: Here, tube: Tube) -> Facts:
    return Facts(
        tuple(
            f
            for h in tube.heater
            for f in facts([(f"Pins {h.pins}" if h.pins else "Heater", f"{shown(h.volts)}, {shown(h.amps)}", "")])
        )
    )


def _looks(here: Here, tube: Tube) -> Cards:
    return Cards(
        tuple(
            Card(
                title=Link(here.pen.plain(look.sign), ""),
                anchor=f"looks-{look.key}",
                facts=facts(
                    [
                        ("Means", here.pen.line(look.means), ""),
                        ("Do", here.pen.line(look.do), ""),
                        ("Faults", here.anchors("fault", look.faults), ""),
                    ]
                ),
            )
            for look in tube.looks
        ),
        "rows",
    )


def _substitutes(here: Here, tube: Tube) -> Table:
    rows = []
    for n, sub in enumerate(tube.substitutes, 1):
        name = here.anchor("tube", sub.tube) if sub.tube else escape(sub.name or "")
        mark = Markup('<span class="mark mark-{}">{}</span>').format(SUBSTITUTE_MARKS[sub.verdict], sub.verdict)
        rows.append(Row(Cell(name), (Cell(mark), Cell(here.pen.line(sub.why))), f"substitutes-{n}"))
    return Table("Other types in this socket", cells("Type", "May it go in?", "Why"), tuple(rows), "stack")


def _laws(here: Here, tube: Tube) -> tuple[Block, ...]:
    made: list[Block] = []
    for law in tube.laws:
        figures = [
            ("mu", law.mu),
            ("exponent", law.ex),
            ("kg1", law.kg1),
            ("kg2", law.kg2),
            ("kp", law.kp),
            ("kvb", law.kvb),
        ]
        made.append(Heading(law.form))
        made.append(Facts(facts([(label, f"{value:g}", "") for label, value in figures if value is not None])))
        sources = Markup("; ").join(source_html(here, s) for s in law.sources)
        note = Markup(" {}").format(here.pen.line(law.note)) if law.note else Markup()
        made.append(Bullets((Item(sources + note),), "notes"))
    return tuple(made)


def _sums(here: Here, tube: Tube) -> Section | None:
    """The sums in which this tube can be chosen, with it chosen."""
    links = chosen_links(here, "tube", tube.id)
    items = tuple(Item(Markup('<a href="{}">{}</a>').format(link.url, link.words)) for link in links)
    return Section("sums", "Sums with this tube", (many(items),)) if items else None


def _families(here: Here, tube: Tube) -> Section | None:
    items = tuple(
        Item(
            Markup('<a href="{}">{}</a>, {}').format(here.pen.url("family", f.id, "tubes"), f.title, f.maker),
            f"families-{f.id}",
        )
        for f in here.library.families.values()
        if any(s.type == tube.id for s in f.tubes)
    )
    return Section("families", "Families that use it", (many(items),)) if items else None
