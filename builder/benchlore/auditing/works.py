"""The audit of each entry as a piece of work: done when the entry, or what its audit read, has changed."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from benchlore.entries.kept import refs_of
from benchlore.linking.library import Library
from benchlore.linking.link import clashes, dangling
from benchlore.meter import CHECK, PROVE
from benchlore.problem import Problem, ProblemJson, problem_from
from benchlore.reading.gathering import Gathered
from benchlore.works import Works

if TYPE_CHECKING:
    from benchlore.reckoning.book import Book

MANY = 300  # audits that are worth a second process
TOGETHER = "audit *"  # what is looked at in all entries together


def audits(library: Library, sums: Book, works: Works, gathered: Gathered, jobs: int) -> list[Problem]:
    """All problems of the library's entries: those found anew where something changed, those kept where nothing did."""

    def audited(work: str) -> list[ProblemJson]:
        kind, _, id = work.removeprefix("audit ").partition("/")
        if work == TOGETHER:
            return [p.as_json() for p in clashes(library, gathered.broken)]
        from benchlore.auditing.rules import audit_entry  # most runs audit nothing

        entry = library.entries[kind][id]
        found = [*dangling(entry, refs_of(entry), library, gathered.broken), *audit_entry(entry, library, sums)]
        return [p.as_json() for p in found + (sums.problems(id) if kind == "calculator" else [])]

    come_or_gone = {name for name in gathered.changed if "/" in name and " " not in name}
    due = set(works.due("audit ")) | {f"audit {name}" for name in come_or_gone}
    for name in come_or_gone:
        kind, _, id = name.partition("/")
        if id not in library.entries[kind]:
            due.discard(f"audit {name}")
            works.forget(f"audit {name}")
            works.ledger.remove("problem", f"audit {name}")
    if works.kept(TOGETHER) is None:
        due.add(TOGETHER)
    in_turn = sorted(
        due, key=lambda name: (not name.startswith("audit calculator/"), name)
    )  # their answers serve the others
    first = sum(name.startswith("audit calculator/") for name in in_turn)
    for phase, names, hands in (
        (PROVE, in_turn[:first], 1),
        (CHECK, in_turn[first:], jobs if len(in_turn) > MANY else 1),
    ):
        works.meter.begin(phase, len(names))
        for name, found in works.do(names, audited, lambda _: "", hands):
            if found:
                works.ledger.put("problem", name, "audit", json.dumps(found, ensure_ascii=False))
            else:
                works.ledger.remove("problem", name)
    rows = sorted((name, row.text) for name, row in works.ledger.rows("problem") if row.key == "audit")
    return [problem_from(problem) for _, text in rows for problem in json.loads(text)]
