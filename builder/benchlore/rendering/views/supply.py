"""The supply chart, the sockets with their pins, and the mains side of a family."""

from __future__ import annotations

from markupsafe import Markup, escape

from benchlore.entries.family import Family, Mains, Node, Socket
from benchlore.quantity import Quantity, Unknown
from benchlore.quantity import shown as figure
from benchlore.rendering.figures import shown
from benchlore.rendering.views.blocks import Bar, Card, Cards, Cell, Facts, Row, Table
from benchlore.rendering.views.page import Here, anchor_of, facts, run_on
from benchlore.rendering.views.parts import cells


def supply_table(here: Here, family: Family) -> Table:
    """Each node with its probe point, expected volts, the limits of its spread, and a bar to the highest node."""
    top = max((abs(node.volts.value) for node in family.supply), default=1) or 1
    rows = tuple(_node_row(here, node, top) for node in family.supply)
    head = cells("Node", "Expect", "Good from", "Probe at", "Fed", "Capacitor")
    return Table(f"Supply at {shown(family.mains.chart_at)} mains, no signal, warm", head, rows, "stack", titled=True)


def _node_row(here: Here, node: Node, top: float) -> Row:
    volts, pen = node.volts, here.pen
    low, high = sorted((volts.low * (1 - node.spread.value), volts.high * (1 + node.spread.value)))
    good = f"{figure(low, 'V', 3)} to {figure(high, 'V', 3)}"
    return Row(
        Cell(Markup('<span class="node">{}</span> {}').format(node.node, pen.line(node.title))),
        (
            Cell(escape(shown(volts)), "number"),
            Cell(escape(good), "number"),
            Cell(pen.line(node.probe)),
            Cell(_fed(node)),
            Cell(escape(_capacitor(node))),
        ),
        f"supply-{anchor_of(node.node)}",
        Bar("0%", f"{abs(volts.value) / top * 100:.2f}%", shown(volts)),
    )


def _fed(node: Node) -> Markup:
    rating = f", {shown(node.through_rating)}" if node.through_rating else ""
    through = f"through {shown(node.through)}{rating}" if node.through else ""
    return escape(
        " ".join(w for w in (f"from {node.fed_from}" if node.fed_from else "", through) if w) or "from the rectifier"
    )


def _capacitor(node: Node) -> str:
    return ", ".join(w for w in (shown(node.capacitor), shown(node.capacitor_rating)) if w)


def socket_cards(here: Here, sockets: tuple[Socket, ...]) -> Cards:
    """Tubes by socket with what each pin should read."""
    made = []
    for socket in sockets:
        tube = here.library.tubes.get(socket.type)
        jobs = tube.pins if tube else {}
        pins = tuple((f"{pin} {jobs.get(pin, '')}".strip(), escape(shown(volts)), "") for pin, volts in _by_pin(socket))
        matched = {"pair": "matched pair", "quartet": "matched quartet", "balanced sections": "balanced sections"}
        made.append(
            Card(
                title=here.link("tube", socket.type),
                anchor=f"tubes-{anchor_of(socket.position)}",
                kicker=socket.position,
                body=tuple(m for m in (here.pen.line(socket.job), here.pen.line(socket.note)) if m),
                facts=facts(pins),
                tags=(matched[socket.matched],) if socket.matched in matched else (),
            )
        )
    return Cards(tuple(made), "sockets")


def _by_pin(socket: Socket) -> list[tuple[str, Quantity | Unknown]]:
    return sorted(socket.pins.items(), key=lambda pin: (len(pin[0]), pin[0]))


def mains_facts(here: Here, mains: Mains) -> Facts:
    """The mains side."""
    pen = here.pen
    return Facts(
        facts(
            [
                ("Mains", ", ".join(shown(v) for v in mains.volts), "mains-volts"),
                ("Charts taken at", shown(mains.chart_at), "mains-chart-at"),
                ("Frequency", shown(mains.frequency), "mains-frequency"),
                ("Fuse", pen.line(mains.fuse), "mains-fuse"),
                ("Other fuses", run_on(pen.line(f) for f in mains.other_fuses), "mains-other-fuses"),
                ("Protective earth", pen.line(mains.earth), "mains-earth"),
                ("Switches", pen.line(mains.switch), "mains-switch"),
                (
                    "Heater winding",
                    ", ".join(w for w in (shown(mains.heater_volts), shown(mains.heater_winding)) if w),
                    "mains-heater-volts",
                ),
                ("Rectifier heater winding", shown(mains.rectifier_winding), "mains-rectifier-winding"),
                (
                    "HT winding",
                    ", ".join(w for w in (shown(mains.high_tension), mains.high_tension_form or "") if w),
                    "mains-high-tension",
                ),
            ]
        )
    )


def output_facts(here: Here, family: Family) -> Facts:
    """Output transformer and power."""
    output, pen = family.output, here.pen
    taps = Markup(", ").join(
        escape(f"{tap.label}: {shown(tap.load)}" if tap.label != tap.load.text else shown(tap.load))
        for tap in output.taps
    )
    return Facts(
        facts(
            [
                ("Power at clipping", shown(output.power), "output-power"),
                ("Primary load", shown(output.primary), "output-primary"),
                ("Winding resistance", pen.line(output.primary_resistance), "output-primary-resistance"),
                ("Taps", taps, "output-taps"),
                ("Feedback", pen.line(output.feedback), "output-feedback"),
            ]
        )
    )


def speaker_facts(here: Here, family: Family) -> Facts | None:
    """The speakers built in, or None for a head."""
    speaker = family.speaker
    if speaker is None:
        return None
    return Facts(
        facts(
            [
                (
                    "Speakers",
                    f"{speaker.count} × {shown(speaker.size)}, {shown(speaker.ohms)} each, {speaker.wiring}",
                    "speaker-count",
                ),
                ("Rated", f"{shown(speaker.power)} each", "speaker-power"),
                ("Sensitivity", shown(speaker.sensitivity), "speaker-sensitivity"),
                ("Fixed by", here.pen.line(speaker.fixed), "speaker-fixed"),
                ("Fastener", here.anchor("fastener", speaker.fastener) if speaker.fastener else "", "speaker-fastener"),
            ]
        )
    )
