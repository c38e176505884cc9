"""One family as the job sheet needs it: charts in SI units, the rest as words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from benchlore.entries.common import Change, LeadDress
from benchlore.entries.family import Family, Hardware, Idle, Node, OpenStep, Socket, Speaker, Variant
from benchlore.linking.library import Library
from benchlore.quantity import Quantity, Unknown
from benchlore.ranking.revisions import on_other_revisions
from benchlore.rendering.figures import shown
from benchlore.rendering.prose import Pen
from benchlore.rendering.views.idle import limit_words
from benchlore.rendering.views.prefill import typed_value

Data = dict[str, Any]


def family_data(library: Library, pen: Pen, family: Family) -> Data:
    """Everything about a family that the sheet shows, judges or ticks off."""
    return {
        "id": family.id,
        "title": family.title,
        "needs": [pen.plain(n) for n in family.usual_needs],
        "revisions": [_revision(pen, v) for v in family.variants],
        "elsewhere": {v.key: off for v in family.variants if (off := on_other_revisions(family, v.key))},
        "faults": [
            [f.fault.id, f.common, pen.plain(f.here), f.via or "", f.since or "", f.until or ""]
            for f in library.family_faults(family.id)
        ],
        "tubes": [_socket(library, pen, s) for s in family.tubes],
        "mains": _mains(pen, family),
        "supply": [_node(pen, n) for n in family.supply],
        "idle": _idle(library, pen, family),
        "output": {
            "power": family.output.power.value,
            "load": typed_value(family.output.taps[0].load),
            "taps": [[t.label, shown(t.load)] for t in family.output.taps],
        },
        "speaker": _speaker(pen, family.speaker),
        "opening": [_step(pen, s) for s in family.opening],
        "closing": [_step(pen, s) for s in family.closing],
        "hardware": [_hardware(library, pen, h) for h in sorted(family.hardware, key=lambda h: not h.earth)],
        "dress": _dress(library, pen, family),
        "changes": [_change(pen, c, c in family.changes) for c in _changes(library, family)],
        "notes": [pen.plain(n) for n in family.test_notes],
        "noise": None if family.noise is None else [family.noise.value, shown(family.noise)],
        "cautions": [[c.hazard, pen.plain(c.words)] for c in family.cautions],
    }


def _revision(pen: Pen, variant: Variant) -> Data:
    return {
        "key": variant.key,
        "name": variant.name,
        "serial": variant.from_serial or "",
        "marks": [pen.plain(m) for m in variant.marks],
        "differs": pen.plain(variant.differs),
    }


def _socket(library: Library, pen: Pen, socket: Socket) -> Data:
    return {
        "at": socket.position,
        "title": _title(library, socket.type),
        "job": pen.plain(socket.job),
        "matched": socket.matched or "",
        "note": pen.plain(socket.note),
    }


def _speaker(pen: Pen, speaker: Speaker | None) -> Data | None:
    if speaker is None:
        return None
    return {
        "count": speaker.count,
        "ohms": shown(speaker.ohms),
        "wiring": speaker.wiring,
        "fixed": pen.plain(speaker.fixed),
    }


def _title(library: Library, tube: str) -> str:
    entry = library.tubes.get(tube)
    return entry.title if entry else tube


def _mains(pen: Pen, family: Family) -> Data:
    mains = family.mains
    return {
        "chart": mains.chart_at.value,
        "chartWords": shown(mains.chart_at),
        "volts": [shown(v) for v in mains.volts],
        "heater": typed_value(mains.heater_volts),
        "fuse": pen.plain(mains.fuse),
        "fuses": [pen.plain(f) for f in mains.other_fuses],
        "earth": pen.plain(mains.earth),
        "switch": pen.plain(mains.switch),
    }


def _node(pen: Pen, node: Node) -> Data:
    return {
        "node": node.node,
        "title": pen.plain(node.title),
        "probe": pen.plain(node.probe),
        "volts": node.volts.value,
        "spread": node.spread.value,
        "from": node.fed_from or "",
        "through": shown(node.through),
    }


def _idle(library: Library, pen: Pen, family: Family) -> Data:
    idle = family.idle
    positions = [s.position for s in family.tubes if s.type == idle.tube][: idle.tubes]
    return {
        "tube": idle.tube,
        "title": _title(library, idle.tube),
        "arrangement": idle.arrangement,
        "positions": positions or [f"tube {n}" for n in range(1, idle.tubes + 1)],
        "tubes": idle.tubes,
        "aim": [idle.aim.low, idle.aim.high],
        "aimWords": shown(idle.aim),
        "limit": limit_words(library.tubes.get(idle.tube)),
        "how": pen.plain(idle.how_to_measure),
        "note": pen.plain(idle.note),
        "current": None if isinstance(idle.cathode_current, Unknown | None) else idle.cathode_current.value,
        "typed": _typed(idle),
    }


def _typed(idle: Idle) -> dict[str, str]:
    """The family's own figures as one would type them into the idle sums."""
    cathode = next((leg.value for leg in idle.network if leg.role == "cathode"), None)
    pairs: Iterable[tuple[str, Quantity | Unknown | None]] = (
        ("plate_volts", idle.plate_volts),
        ("screen_current", idle.screen_current),
        ("sense_resistor", idle.sense_resistor),
        ("cathode_volts", idle.cathode_volts),
        ("cathode_resistor", cathode),
    )
    return {name: typed for name, value in pairs if (typed := typed_value(value)) is not None}


def _step(pen: Pen, step: OpenStep) -> list[str]:
    return [
        pen.plain(step.do),
        step.hazard or "",
        pen.plain(step.warning),
        pen.plain(step.tears),
        pen.plain(step.expect),
    ]


def _hardware(library: Library, pen: Pen, item: Hardware) -> Data:
    fastener = library.fasteners.get(item.fastener or "")
    return {
        "key": item.key,
        "what": pen.plain(item.what),
        "where": pen.plain(item.where),
        "count": item.count,
        "size": fastener.title if fastener else "",
        "drive": pen.plain(item.drive),
        "tight": pen.plain(item.how_tight),
        "order": item.order or "",
        "often": item.found_loose,
        "recheck": pen.plain(item.recheck),
        "earth": bool(item.earth),
    }


def _dress(library: Library, pen: Pen, family: Family) -> list[Data]:
    own = {p.key for p in family.lead_dress}
    return [_pair(pen, p, p.key in own) for p in library.family_lead_dress(family.id)]


def _pair(pen: Pen, pair: LeadDress, own: bool) -> Data:
    return {
        "key": pair.key,
        "keep": pen.plain(pair.keep),
        "from": pen.plain(pair.away_from),
        "apart": shown(pair.apart),
        "heard": pen.plain(pair.heard),
        "secure": pen.plain(pair.secure),
        "own": own,
    }


def _changes(library: Library, family: Family) -> list[Change]:
    """Changes worth offering on the family, then those of its stages; each key once."""
    changes = {c.key: c for c in family.changes}
    for id in family.stages:
        for change in library.stages[id].changes if id in library.stages else ():
            changes.setdefault(change.key, change)
    return list(changes.values())


def _change(pen: Pen, change: Change, own: bool) -> Data:
    return {
        "key": change.key,
        "own": own,
        "change": pen.plain(change.change),
        "effect": pen.plain(change.effect),
        "limits": pen.plain(change.limits),
        "undone": change.reversible,
        "minutes": change.minutes or 0,
        "sums": list(change.calculators),
    }
