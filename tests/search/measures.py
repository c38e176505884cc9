"""Measures of search quality, and the judged queries in three guises.

The measures are held to published worked examples in ``test_measures.py`` and to pytrec_eval in the same run.
"""

from __future__ import annotations

import math
import random
import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import yaml

QUERIES = Path(__file__).with_name("queries.yaml")
UNTOUCHED = frozenset({"fresh9", "fresh10"})
"""Sets that nothing was tuned on and no weights were learned from."""
Engine = Callable[[str], Sequence[str]]


@dataclass(frozen=True)
class Judged:
    """A query and the grade of each entry (``kind/id``) that answers it: 1 to 3, or the mean of two judges' grades."""

    words: str
    grades: Mapping[str, float]
    held_out: bool


def judged(known: Sequence[str] | None = None, past_jobs: bool = False) -> list[Judged]:
    """All judged queries; with ``known`` only those whose best answers are among the entries there are.

    Findings, which are past jobs, count as no answer unless ``past_jobs``.
    """
    queries = []
    for number, one in enumerate(yaml.safe_load(QUERIES.read_text(encoding="utf-8"))):
        grades = {key: grade for key, grade in one["grades"].items() if (known is None or key in known) and (past_jobs or not key.startswith("finding/"))}
        if max(grades.values(), default=0) == max(one["grades"].values()):
            queries.append(Judged(one["words"], grades, number % 2 == 1))
    return queries


def every_set(known: Collection[str]) -> dict[str, list[Judged]]:
    """All judged queries by set: the first ones, and those of people who had seen nothing; a grade of what is not known is left out."""
    sets = {"main": judged(list(known))}
    for path in sorted(QUERIES.parent.glob("fresh*.yaml")):
        rows = yaml.safe_load(path.read_text(encoding="utf-8"))
        sets[path.stem] = [Judged(one["words"], {key: grade for key, grade in one["grades"].items() if key in known}, True) for one in rows]
    return sets


def dcg(gains: Sequence[float]) -> float:
    """Discounted cumulative gain, linear gains, discount log2(rank + 1) (Jarvelin and Kekalainen 2002)."""
    return sum(gain / math.log2(rank + 2) for rank, gain in enumerate(gains))


def ndcg(ranked: Sequence[str], grades: Mapping[str, float], most: int = 10) -> float:
    """DCG over that of the best possible list, with what was not found in it."""
    best = dcg(sorted(grades.values(), reverse=True)[:most])
    return dcg([grades.get(one, 0) for one in ranked[:most]]) / best if best else 0.0


def reciprocal_rank(ranked: Sequence[str], right: set[str]) -> float:
    """One over the rank of the first right answer, 0 when there is none."""
    return next((1 / rank for rank, one in enumerate(ranked, start=1) if one in right), 0.0)


def success(ranked: Sequence[str], right: set[str], most: int) -> float:
    """1 when a right answer is among the first ``most``."""
    return float(any(one in right for one in ranked[:most]))


@dataclass(frozen=True)
class Report:
    """Means over the queries; right answers are those of the query's best grade."""

    ndcg10: float
    mrr: float
    success1: float
    success3: float
    queries: int

    def row(self) -> str:
        """As a row of a Markdown table."""
        return f"{self.ndcg10:.3f} | {self.mrr:.3f} | {self.success1:.3f} | {self.success3:.3f}"


def report(engine: Engine, queries: Sequence[Judged], guise: Callable[[str], str] = str) -> Report:
    """Ask ``engine`` every query in a guise and take the means."""
    rows = []
    for query in queries:
        ranked = list(engine(guise(query.words)))
        right = {key for key, grade in query.grades.items() if grade == max(query.grades.values())}
        rows.append((ndcg(ranked, query.grades), reciprocal_rank(ranked, right), success(ranked, right, 1), success(ranked, right, 3)))
    means = [sum(column) / len(rows) for column in zip(*rows, strict=True)]
    return Report(means[0], means[1], means[2], means[3], len(rows))


def cut_short(words: str) -> str:
    """Every word cut to its first four letters; words with a digit stay."""
    return " ".join(word if re.search("[0-9]", word) else word[:4] for word in words.split())


def misspelt(words: str, seed: int = 1) -> str:
    """One slip of the fingers in one word of four letters or more without a digit: left out, doubled, swapped or beside it."""
    chance = random.Random(f"{seed}:{words}")
    parts = words.split()
    slips = [at for at, word in enumerate(parts) if len(word) > 3 and word.isalpha() and word not in ("with", "when", "than", "that", "there", "what", "from", "will")]
    if not slips:
        return words
    at = chance.choice(slips)
    word, place = parts[at], chance.randrange(1, len(parts[at]) - 1)
    kind = chance.choice(("left out", "doubled", "swapped", "beside"))
    if kind == "left out":
        word = word[:place] + word[place + 1 :]
    elif kind == "doubled":
        word = word[:place] + word[place] + word[place:]
    elif kind == "swapped" and word[place] != word[place + 1]:
        word = word[:place] + word[place + 1] + word[place] + word[place + 2 :]
    else:
        word = word[:place] + chance.choice(BESIDE.get(word[place].lower(), "e")) + word[place + 1 :]
    return " ".join([*parts[:at], word, *parts[at + 1 :]])


BESIDE = {
    "a": "sqz", "b": "vgn", "c": "xvd", "d": "sfe", "e": "wrd", "f": "dgr", "g": "fht", "h": "gjy", "i": "uok", "j": "hku", "k": "jli",
    "l": "kop", "m": "nj", "n": "bmh", "o": "ipl", "p": "ol", "q": "wa", "r": "etf", "s": "adw", "t": "ryg", "u": "yij", "v": "cbf",
    "w": "qes", "x": "zcs", "y": "tuh", "z": "xas",
}  # fmt: skip
