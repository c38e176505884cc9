"""How well suspects and the order of checks serve, on jobs drawn from a known truth.

    python tests/bench/suspects_simulation.py [--jobs 2000] [--seed 1]

A truth is drawn once: how often each fault is met in each family, and how often it gives each symptom, both near to and not the
same as what the entries declare.  From it come past findings (the shelf) and new jobs (the test).  For each new job the complaint
is one to three symptoms and up to two looked for and absent.  Reported: how often the true fault stands first and among the first three, log loss,
calibration, and the minutes until the fault is found when checks are done in our order, against the best that someone who knew the
truth's probabilities could do, against 'most common first' and against 'cheapest first'.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "builder")]

from tests.ranking.shelves import check, family, fault, finding, library, stage, symptom  # noqa: E402

from benchlore.ranking import core  # noqa: E402
from benchlore.ranking.model import Model  # noqa: E402
from benchlore.ranking.suspects import Seen, order_of_checks, probabilities  # noqa: E402

WORDS = {"almost always": 0.9, "often": 0.6, "sometimes": 0.3, "seldom": 0.1}
COMMON = {"very common": 16, "common": 8, "occasional": 4, "rare": 2, "very rare": 1}


class Truth:
    """What is so: for each family the share of each fault, for each fault the chance of each symptom."""

    def __init__(self, rng: random.Random, faults: int = 40, families: int = 12, symptoms: int = 24) -> None:
        self.symptoms = [f"s{i}" for i in range(symptoms)]
        self.faults = [f"k{i:02}" for i in range(faults)]
        self.declared = {f: {s: rng.choice(list(WORDS)) for s in rng.sample(self.symptoms, rng.randint(2, 5))} for f in self.faults}
        self.common = {f: rng.choice(list(COMMON)) for f in self.faults}
        self.minutes = {f: [rng.randint(1, 6), rng.randint(5, 25)] for f in self.faults}
        self.setup = {f: rng.choice([("outside", "chassis out"), ("chassis out", "live"), ("outside", "live")]) for f in self.faults}
        self.families = [f"f{i:02}" for i in range(families)]
        self.stages = {f"g{i}": rng.sample(self.faults, 8) for i in range(8)}
        self.has = {f: rng.sample(list(self.stages), 4) for f in self.families}
        self.gives = {
            f: {s: min(0.98, max(0.02, WORDS[w] * math.exp(rng.gauss(0, 0.25)))) for s, w in of.items()} for f, of in self.declared.items()
        }
        self.share = {f: self.drawn_share(rng, f) for f in self.families}

    def drawn_share(self, rng: random.Random, name: str) -> dict[str, float]:
        """The true shares in a family: the trade's commonness, distorted as a family of its own would be."""
        candidates = sorted({k for g in self.has[name] for k in self.stages[g]})
        raw = {k: COMMON[self.common[k]] * math.exp(rng.gauss(0, 1.0)) for k in candidates}
        return {k: v / sum(raw.values()) for k, v in raw.items()}

    def job(self, rng: random.Random) -> tuple[str, str, list[str], list[str]]:
        """One job: family, true fault, symptoms present, symptoms looked for and absent."""
        name = rng.choice(self.families)
        true = rng.choices(list(self.share[name]), list(self.share[name].values()))[0]
        present: list[str] = []
        while not present:
            present = [s for s in self.symptoms if rng.random() < self.gives[true].get(s, 0.01)]
        rest = [s for s in self.symptoms if s not in present]
        return name, true, rng.sample(present, min(len(present), rng.randint(1, 3))), rng.sample(rest, rng.randint(0, 2))

    def shelf(self, rng: random.Random, past: int) -> Model:
        """The entries, and ``past`` findings."""
        entries = [symptom(s) for s in self.symptoms]
        for k in self.faults:
            (quick, slow), (first, second) = self.minutes[k], self.setup[k]
            checks = [check("quick", quick, first, sensitivity=0.7), check("sure", slow, second, sensitivity=0.97)]
            entries.append(fault(k, self.common[k], self.declared[k], checks))  # type: ignore[arg-type]
        entries += [stage(g, dict.fromkeys(of, "common")) for g, of in self.stages.items()]  # type: ignore[misc]
        entries += [family(f, tuple(self.has[f])) for f in self.families]  # type: ignore[misc]
        for number in range(past):
            name, true, present, absent = self.job(rng)
            entries.append(finding(number, name, (true,), present, absent))  # type: ignore[arg-type]
        return Model(library(*entries))


def ideal(truth: Truth, name: str, present: list[str], absent: list[str], names: tuple[str, ...]) -> list[float]:
    """The posterior of someone who knows the truth."""
    weights = []
    for k in names:
        w = truth.share[name].get(k, 0.0)
        for s in present:
            w *= truth.gives[k].get(s, 0.01) if k else 0.0
        for s in absent:
            w *= 1 - truth.gives[k].get(s, 0.01) if k else 0.0
        weights.append(w)
    return [w / sum(weights) for w in weights]


def spent(order: list, true: str, rng: random.Random, setup: tuple[float, ...]) -> float:  # type: ignore[type-arg]
    """Minutes until a check finds the true fault; each check finds it with its own sensitivity."""
    total, at = 0.0, 0
    for c in order:
        total += c.minutes + core.setting_up(c.level, at, list(setup))
        at = max(at, c.level)
        if rng.random() < c.finds.get(true, 0.0):
            return total
    return total + 60.0  # not found by any check on the list: an hour of looking elsewhere


def main() -> None:
    """Draw, run, report."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--jobs", type=int, default=1000)
    options.add_argument("--past", type=int, default=240)
    options.add_argument("--seed", type=int, default=1)
    asked = options.parse_args()
    rng = random.Random(asked.seed)
    truth = Truth(rng)
    model = truth.shelf(rng, asked.past)
    first = third = 0
    loss = best_loss = prior_loss = 0.0
    minutes = dict.fromkeys(("ours", "knowing the truth", "most common first", "cheapest first"), 0.0)
    bins: dict[int, list[int]] = {}
    for _ in range(asked.jobs):
        name, true, present, absent = truth.job(rng)
        seen = Seen(tuple(present), tuple(absent))
        names, p = probabilities(model, name, seen)
        ranked = sorted(range(len(names)), key=lambda k: -p[k])
        place = [names[k] for k in ranked].index(true)
        first += place == 0
        third += place < 3
        know = ideal(truth, name, present, absent, names)
        at = names.index(true)
        loss -= math.log(p[at])
        best_loss -= math.log(max(know[at], 1e-12))
        prior_loss -= math.log(model.prior(name).probability[at])
        for k, share in enumerate(p):
            bins.setdefault(min(int(share * 5), 4), []).append(round(1e6 * share) * 2 + (names[k] == true))
        prior = list(model.prior(name).probability)
        everything = len(model.checks_for(names))
        orders = {
            "ours": order_of_checks(model, names, p, seen, everything)[0],
            "knowing the truth": order_of_checks(model, names, know, seen, everything)[0],
            "most common first": sorted(model.checks_for(names), key=lambda c: (-prior[names.index(c.fault)], c.minutes)),
            "cheapest first": sorted(model.checks_for(names), key=lambda c: (c.minutes, c.id)),
        }
        luck = rng.random()
        for title, order in orders.items():
            minutes[title] += spent(order, true, random.Random(luck), model.setup_minutes)
    n = asked.jobs
    print(f"{n} jobs after {asked.past} findings, seed {asked.seed}; strengths chosen: kin {model.priors.strengths.kin:g}, family {model.priors.strengths.family:g}")
    print(f"true fault first {first / n:.1%}, among the first three {third / n:.1%}")
    print(f"log loss {loss / n:.3f} (knowing the truth {best_loss / n:.3f}, prior alone {prior_loss / n:.3f})")
    for _, items in sorted(bins.items()):
        said = sum(i // 2 for i in items) / 1e6 / len(items)
        print(f"  said {said:6.1%}, was so {sum(i % 2 for i in items) / len(items):6.1%}  ({len(items)} statements)")
    for title, total in minutes.items():
        print(f"minutes to the fault, {title}: {total / n:.1f} ({total / minutes['ours']:.2f} of ours)")


if __name__ == "__main__":
    main()
