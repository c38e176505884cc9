"""How well search answers the judged queries, beside Whoosh as it comes and plain BM25; the floor that must hold.

Run with ``-s`` to see the table.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import pytest
import yaml

from benchlore.linking.library import Library
from benchlore.searching.documents import documents_of
from benchlore.searching.indexing import index_of
from benchlore.searching.store import in_memory
from search.engines import Ours, PlainBM25, PlainWhoosh
from search.measures import Judged, Report, cut_short, judged, misspelt, report

pytestmark = pytest.mark.no_cover  # thousands of times the same lines

GUISES = {"as typed": str, "one slip": misspelt, "four letters": cut_short}
FLOOR = {"as typed": (0.91, 0.93, 0.99), "one slip": (0.89, 0.92, 0.985), "four letters": (0.865, 0.88, 0.965)}
"""For each guise the least nDCG@10, success@1 and success@3."""
FRESH = {f"fresh {number}": Path(__file__).with_name(f"fresh{number}.yaml") for number in range(1, 11)}
"""Queries by people who had seen nothing; on the last two nothing was tuned."""
FRESH_FLOOR = {
    (name, guise): floor for name in FRESH for guise, floor in (("as typed", (0.895, 0.81, 0.94)), ("one slip", (0.88, 0.78, 0.93)))
}
"""The same for each fresh set."""


def fresh_queries(path: Path, known: Sequence[str]) -> list[Judged]:
    """The judged queries of a file; each entry named there must be known."""
    queries = [Judged(one["words"], one["grades"], held_out=True) for one in yaml.safe_load(path.read_text(encoding="utf-8"))]
    assert {key for one in queries for key in one.grades} <= set(known), f"{path.name} names an entry that there is not: give it its new id"
    return queries


@pytest.fixture(scope="module")
def table(whole_library: Library) -> dict[tuple[str, str], Report]:
    """A report for each engine and guise."""
    documents = documents_of(whole_library)
    known = [f"{one.kind}/{one.id}" for one in documents.documents]
    queries = judged(known)
    assert len(queries) >= 120
    engines = {
        "ours": cache(Ours(in_memory(index_of(documents)))),  # each query is counted in its own set and in all
        "Whoosh as it comes": cache(PlainWhoosh(documents.documents)),
        "plain BM25": cache(PlainBM25(documents.documents)),
    }
    found = {(name, guise): report(engine, queries, change) for name, engine in engines.items() for guise, change in GUISES.items()}
    held_out = [one for one in queries if one.held_out]
    found |= {("ours, held out", guise): report(engines["ours"], held_out, change) for guise, change in GUISES.items()}
    found |= {("ours, past jobs counted", "as typed"): report(engines["ours"], judged(known, past_jobs=True))}
    fresh = {name: fresh_queries(path, known) for name, path in FRESH.items()}
    every = [*queries, *(one for of in fresh.values() for one in of)]
    found |= {(f"{name}, all sets", guise): report(engine, every, change) for name, engine in engines.items() for guise, change in GUISES.items()}
    found |= {
        (f"{engine}, {which}", guise): report(engines[engine], fresh[which], GUISES[guise])
        for engine in ("ours", "Whoosh as it comes")
        for which, guise in FRESH_FLOOR
    }
    lines = [f"{len(queries)} queries, {len(every)} with the fresh ones, {len(known)} entries", "", "| engine | guise | nDCG@10 | MRR | success@1 | success@3 |", "|---|---|---|---|---|---|"]
    lines += [f"| {name} | {guise} | {one.row()} |" for (name, guise), one in found.items()]
    sys.stdout.write("\n" + "\n".join(lines) + "\n")
    return found


@pytest.mark.parametrize("guise", GUISES)
def test_the_floor_holds(table: dict[tuple[str, str], Report], guise: str) -> None:
    """Quality does not sink below what was reached."""
    ours = table["ours", guise]
    assert (ours.ndcg10, ours.success1, ours.success3) >= FLOOR[guise]
    assert ours.ndcg10 >= FLOOR[guise][0] and ours.success1 >= FLOOR[guise][1] and ours.success3 >= FLOOR[guise][2]


@pytest.mark.parametrize(("which", "guise"), FRESH_FLOOR)
def test_the_floor_holds_on_fresh_queries(table: dict[tuple[str, str], Report], which: str, guise: str) -> None:
    """Nor on the words of people who had seen nothing, where it also stays above Whoosh as it comes."""
    ours, theirs = table[f"ours, {which}", guise], table[f"Whoosh as it comes, {which}", guise]
    assert all(reached >= floor for reached, floor in zip((ours.ndcg10, ours.success1, ours.success3), FRESH_FLOOR[which, guise], strict=True))
    assert ours.ndcg10 > theirs.ndcg10


@pytest.mark.parametrize("guise", GUISES)
@pytest.mark.parametrize("other", ["Whoosh as it comes", "plain BM25"])
def test_better_than_what_comes_for_free(table: dict[tuple[str, str], Report], guise: str, other: str) -> None:
    """Every measure beats both baselines in every guise."""
    ours, theirs = table["ours", guise], table[other, guise]
    assert ours.ndcg10 > theirs.ndcg10 and ours.mrr > theirs.mrr and ours.success1 > theirs.success1
