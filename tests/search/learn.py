"""Learns the weights of the second look from the judged queries: ``python -m search.learn`` from ``tests``, with ``builder`` on the path.

A linear regression of the judges' grades on the figures of the answers (ridge, Hoerl and Kennard 1970), each query's own
mean taken off both, so that only differences within a query count.  What it prints goes into ``second_look.WEIGHTS``; beside
it stands how well each set of queries is answered by weights that were learned from all the others.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchlore.searching.asking import plan_of
from benchlore.searching.document import KINDS
from benchlore.searching.documents import documents_of
from benchlore.searching.finding import factor_of
from benchlore.searching.indexing import index_of
from benchlore.searching.second_look import LEFT, Figures, figures_of, seats_of
from benchlore.searching.store import Store, in_memory
from benchlore.searching.weighing import first_order
from building import sound_library
from search.measures import UNTOUCHED, Judged, every_set, ndcg

GRADED = tuple(kind for kind in KINDS if kind != LEFT)
COMMON = ("score", "line", "top", "kin")
NAMES = (*COMMON, *GRADED, *(f"{kind}'s title" for kind in GRADED))
STEADY = 3.0  # the ridge's penalty: how strongly weights are held near 0
LEAST = 0.5  # of the kinds: added to all, since a grade must be more than 0 and its zero does not matter


@dataclass(frozen=True)
class Seen:
    """A query's answers as the second look sees them: documents in the first order, their columns (shape (answers, NAMES)) and grades."""

    query: Judged
    keys: tuple[str, ...]
    columns: np.ndarray
    grades: np.ndarray


def columns_of(figures: Figures, kind: str) -> list[float]:
    """An answer as a row of the regression, in the order of ``NAMES``."""
    words = [figures.score, figures.score * figures.line, figures.score * figures.top, figures.kin]
    return [*words, *(float(kind == one) for one in GRADED), *(figures.title * (kind == one) for one in GRADED)]


def seen(store: Store, query: Judged) -> Seen | None:
    """What the second look sees of a query's answers, or None when there are none."""
    plan = plan_of(query.words, store.lexicon)
    kinds = [card.kind for card in store.cards]
    ranked, weights = first_order(plan, store, kinds, factor_of(store, None))
    standing = [ranked[seat] for seat in seats_of(ranked, kinds)]
    if not standing:
        return None
    figures = figures_of(standing, plan, weights, store)
    keys = tuple(store.cards[one.document].key for one in standing)
    columns = np.array([columns_of(of, kinds[one.document]) for of, one in zip(figures, standing, strict=True)])
    return Seen(query, keys, columns, np.array([query.grades.get(key, 0.0) for key in keys]))


def learned(queries: Iterable[Seen], steady: float = STEADY) -> np.ndarray:
    """The weights of ``NAMES`` that fit the grades best."""
    size = len(NAMES)
    squares, products = steady * np.eye(size), np.zeros(size)
    for one in queries:
        columns = one.columns - one.columns.mean(axis=0)
        squares += columns.T @ columns
        products += columns.T @ (one.grades - one.grades.mean())
    return np.linalg.solve(squares, products)


def answered(queries: Sequence[Seen], weights: np.ndarray) -> tuple[float, float]:
    """nDCG@10 and success@1 with these weights; the best answer stays the best."""
    gained, right = 0.0, 0
    for one in queries:
        grades = one.columns @ weights
        order = [0, *(1 + np.argsort(-grades[1:], kind="stable"))]
        gained += ndcg([one.keys[at] for at in order], one.query.grades)
        right += one.query.grades.get(one.keys[0], 0) == max(one.query.grades.values())
    return gained / len(queries), right / len(queries)


def table_of(weights: np.ndarray) -> str:
    """The weights as they stand in ``second_look``."""
    of: Mapping[str, float] = dict(zip(NAMES, weights, strict=True))
    lines = [", ".join(f"{name}={of[name]:.2f}" for name in COMMON) + ","]
    lines += [f'"{kind}": ({LEAST + of[kind]:.2f}, {of[f"{kind}{chr(39)}s title"]:.2f}),' for kind in GRADED]
    return "\n".join(lines)


def sets_seen(store: Store) -> dict[str, list[Seen]]:
    """What the second look sees of the answers to every judged query, by set."""
    known = {card.key for card in store.cards}
    return {name: [one for query in queries if (one := seen(store, query))] for name, queries in every_set(known).items()}


def learned_but(sets: Mapping[str, Sequence[Seen]], name: str = "") -> np.ndarray:
    """The weights learned from all sets but that one and the untouched ones."""
    return learned(one for other, of in sets.items() if other != name and other not in UNTOUCHED for one in of)


def main() -> None:
    """Print the weights, and what they give on sets they were not learned from."""
    shelves = Path(__file__).resolve().parents[2] / "kb"
    store = in_memory(index_of(documents_of(sound_library([shelves / "reference", shelves / "workshop"]))))
    sets = sets_seen(store)
    lines = [table_of(learned_but(sets))]
    for name, queries in sets.items():
        gained, right = answered(queries, learned_but(sets, name))
        lines.append(f"{name}: {len(queries)} queries, nDCG@10 {gained:.4f}, success@1 {right:.3f}")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
