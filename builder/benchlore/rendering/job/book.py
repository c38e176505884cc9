"""The whole book as the job sheet needs it: names, symptoms, faults with their checks, what past jobs took."""

from __future__ import annotations

import re
from typing import Any

from benchlore.auditing.no_owner_data import MAIL, PHONE
from benchlore.entries.fault import Check, Fault
from benchlore.entries.procedure import Step
from benchlore.entries.symptom import Symptom
from benchlore.linking.library import Library
from benchlore.rendering.job import words
from benchlore.rendering.prose import Pen

Data = dict[str, Any]
IDLE_SUMS = ("idle-dissipation", "idle-shared-cathode", "idle-transformer-drop")
SUMS = (*IDLE_SUMS, "mains-scaling", "output-power")
"""Calculators whose functions the sheet calls, where the book has them."""


def site_id(library: Library) -> str:
    """Under which name this book's jobs are kept in the browser: the shop's title as a slug."""
    title = library.shop.title if library.shop else ""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60] or "benchlore"


def book_data(library: Library, pen: Pen) -> Data:
    """Names, symptoms, past jobs and the procedures the sheet leads through."""
    shop = library.shop
    return {
        "site": site_id(library),
        "shop": {
            "title": shop.title if shop else "",
            "currency": shop.currency if shop else "",
            "mains": shop.mains.text if shop and shop.mains else "",
            "technicians": [t.initials for t in shop.technicians] if shop else [],
        },
        "families": [[f.id, f.title, list(f.also_called), f.maker, f.years] for f in library.families.values()],
        "stages": [[s.id, s.title, s.group] for s in library.stages.values()],
        "symptoms": [_symptom(pen, s) for s in library.symptoms.values()],
        "jobs": [
            [f.family, list(f.symptoms), list(f.faults), f.minutes, f.parts_cost, bool(f.request)]
            for f in library.findings.values()
        ],
        "taken": sorted(library.findings),
        "private": [MAIL.pattern, PHONE.pattern],
        "safe": safe_steps(library, pen),
        "hasSafe": "making-safe" in library.procedures,
        "look": [list(line) for line in words.LOOKING],
        "touched": [[key, said] for key, said in words.TOUCHED.items()],
        "closing": {what: closing_lines(library, pen, what) for what in words.TOUCHED},
        "always": [list(line) for line in words.ALWAYS],
        "procedures": {p.id: p.title for p in library.procedures.values()},
        "idleSums": [id for id in IDLE_SUMS if id in library.calculators],
    }


def _symptom(pen: Pen, symptom: Symptom) -> Data:
    """A sign: how owners say it, what to ask and look at, when to stop at once."""
    return {
        "id": symptom.id,
        "title": symptom.title,
        "sense": symptom.sense,
        "words": [*symptom.owner_words, *symptom.also_called],
        "ask": [pen.plain(a) for a in symptom.ask],
        "look": [pen.plain(a) for a in symptom.first_look],
        "stop": [[c.hazard, pen.plain(c.words)] for c in symptom.cautions],
    }


def safe_steps(library: Library, pen: Pen) -> list[Data]:
    """Steps of making safe, from the book's procedure or, where it has none, our own three."""
    procedure = library.procedures.get("making-safe")
    if procedure is None:
        return [
            {"do": do, "hazard": hazard, "warning": "", "expect": "", "why": "", "must": True}
            for do, hazard in words.SAFE_WITHOUT_BOOK
        ]
    return [_safe_step(pen, step) for step in procedure.steps]


def _safe_step(pen: Pen, step: Step) -> Data:
    return {
        "do": pen.plain(step.do),
        "hazard": step.hazard or "",
        "warning": pen.plain(step.warning),
        "expect": pen.plain(step.expect),
        "why": pen.plain(step.why),
        "must": bool(step.must),
    }


def closing_lines(library: Library, pen: Pen, touched: str) -> list[list[str]]:
    """What must hold before closing once something was touched: [key, words, procedure it comes from or nothing]."""
    lines = [[f"{touched.replace(' ', '-')}-{n}", said, ""] for n, said in enumerate(words.CLOSING.get(touched, ()), 1)]
    for id in words.ASKS.get(touched, ()):
        procedure = library.procedures.get(id)
        if procedure is not None:
            lines += [[f"{id}-{n}", pen.plain(said), id] for n, said in enumerate(procedure.done_when, 1)]
    return lines


def faults_data(library: Library, pen: Pen) -> Data:
    """Faults by id and their checks by ``fault/key``, in words."""
    return {
        "faults": {f.id: _fault(pen, f) for f in library.faults.values()},
        "checks": {f"{f.id}/{c.key}": _check(pen, c) for f in library.faults.values() for c in f.checks},
    }


def _fault(pen: Pen, fault: Fault) -> Data:
    return {
        "title": fault.title,
        "summary": pen.plain(fault.summary),
        "open": bool(fault.while_open),
        "touches": list(fault.touches),
        "minutes": fault.fix_minutes,
        "fix": [pen.plain(step) for step in fault.fix],
        "parts": [[pen.plain(p.part), p.count, pen.plain(p.note)] for p in fault.parts],
        "verify": [pen.plain(line) for line in fault.verify],
        "cautions": [[c.hazard, pen.plain(c.words)] for c in fault.cautions],
    }


def _check(pen: Pen, check: Check) -> list[Any]:
    """do, how, tools, power, set-up, pass, fail, caution."""
    return [
        pen.plain(check.do),
        pen.plain(check.how),
        list(check.tools),
        check.power,
        check.setup,
        pen.plain(check.passes),
        pen.plain(check.fails),
        pen.plain(check.caution),
    ]
