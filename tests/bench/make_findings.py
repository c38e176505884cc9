"""Writes the demonstration shop's findings, drawn with a fixed seed from a stated truth.

    python tests/bench/make_findings.py            # writes kb/workshop/findings, 240 of them
    python tests/bench/make_findings.py --check    # writes nothing; exit 1 when the shelf differs

The truth stands in findings_truth.yaml beside this file: what share each family has of all jobs, how likely each fault is in it, how
likely each fault gives each symptom, what a mend takes, and its words.  It is not read from the entries, so that a ranking which knows the
entries and the findings can be judged against it.  From the entries come only what must agree with them: checks and their
sensitivity, revisions, and the idle that a set of tubes is left at.  The same truth and entries give the same bytes.
"""

from __future__ import annotations

import argparse
import datetime
import math
import random
import sys
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "builder"))

from benchlore.entries.family import Family  # noqa: E402
from benchlore.linking.library import Library  # noqa: E402
from benchlore.linking.link import link  # noqa: E402
from benchlore.quantity import Quantity  # noqa: E402
from benchlore.reading.shelf import read_shelves  # noqa: E402
from benchlore.sharing.tidy import tidy  # noqa: E402

SEED = 20261125
COUNT = 240
FIRST, LAST = datetime.date(2023, 1, 9), datetime.date(2026, 10, 30)
REQUESTS, SECOND_FAULT, LEARNED, CLOSING, RIVAL = 0.07, 0.13, 0.46, 0.45, 0.45
TRUTH = Path(__file__).with_name("findings_truth.yaml")
OUT = ROOT / "kb" / "workshop" / "findings"


@dataclass
class Draw:
    """The generator, the truth and what was used already, so that wordings are spread before they repeat."""

    rng: random.Random
    truth: Mapping[str, Any]
    library: Library
    used: Counter[str] = field(default_factory=Counter)

    def weighted(self, weights: Mapping[str, float]) -> str:
        """One key, by weight."""
        return self.rng.choices(list(weights), list(weights.values()))[0]

    def shows(self, family: str, fault: str) -> Mapping[str, float]:
        """The chance of each symptom of a fault in a family."""
        own = self.truth["families"][family].get("shows", {})
        shows: Mapping[str, float] = own.get(fault) or self.truth["faults"][fault]["shows"]
        return shows

    def wording(self, texts: Iterable[str]) -> str:
        """One of the least used texts."""
        pool = list(texts)
        least = min(self.used[t] for t in pool)
        text = self.rng.choice([t for t in pool if self.used[t] == least])
        self.used[text] += 1
        return text

    def spread(self, middle: float, width: float = 0.22) -> float:
        """A value about ``middle``, right-skewed as bench times and prices are."""
        return middle * math.exp(self.rng.gauss(0, width))


def families_in_turn(draw: Draw, count: int) -> list[str]:
    """``count`` families in their stated shares (largest remainder), in random order."""
    shares = {name: f["share"] for name, f in draw.truth["families"].items()}
    exact = {name: count * share / sum(shares.values()) for name, share in shares.items()}
    number = {name: int(value) for name, value in exact.items()}
    for name in sorted(exact, key=lambda n: (number[n] - exact[n], n))[: count - sum(number.values())]:
        number[name] += 1
    turn = [name for name, times in number.items() for _ in range(times)]
    draw.rng.shuffle(turn)
    return turn


def working_days(draw: Draw, count: int) -> list[datetime.date]:
    """``count`` working days between first and last, in order."""
    days = [FIRST + datetime.timedelta(n) for n in range((LAST - FIRST).days + 1)]
    closed = {(12, 24), (12, 25), (12, 26), (12, 31), (1, 1)}
    return sorted(draw.rng.choices([d for d in days if d.weekday() < 5 and (d.month, d.day) not in closed], k=count))


def symptoms_of(draw: Draw, family: str, faults: list[str]) -> list[str]:
    """Symptoms that the faults gave this time: each by its stated chance, three at most, never none."""
    found: list[str] = []
    for fault in faults:
        shows = draw.shows(family, fault)
        given = [s for s, chance in shows.items() if draw.rng.random() < chance]
        given = given or [draw.weighted(shows)]
        found += [s for s in given[:3] if s not in found]
    return found


def absent_of(draw: Draw, family: str, faults: list[str], present: list[str]) -> list[str]:
    """Up to two symptoms that were looked for, because another usual fault of the family would show them, and were not there."""
    usual = draw.truth["families"][family]["faults"]
    candidates = sorted(
        {s for other in usual for s, chance in draw.shows(family, other).items() if chance >= 0.4} - {*present}
    )
    weights = [0.3 if any(s in draw.shows(family, f) for f in faults) else 1.0 for s in candidates]
    number = draw.rng.choices([0, 1, 2], [0.45, 0.35, 0.2])[0]
    picked: list[str] = []
    while candidates and len(picked) < number:
        symptom = draw.rng.choices(candidates, weights)[0]
        if symptom not in picked:
            picked.append(symptom)
    return picked


def checks_of(draw: Draw, family: str, faults: list[str], present: list[str]) -> list[tuple[str, str]]:
    """The checks that were done: now and then one of a rival that passed, then those of the fault, the last of which failed."""
    done: list[tuple[str, str]] = []
    if draw.rng.random() < RIVAL:
        done += rival_check(draw, family, faults, present)
    for name in faults:
        fault = draw.library.faults.get(name)
        if fault is None or not fault.checks:
            continue
        for check in fault.checks[: draw.rng.choice([1, 2, 2])]:
            failed = draw.rng.random() < ratio(check.sensitivity, 0.9)
            done.append((f"{name}/{check.key}", "fail" if failed else "pass"))
            if failed:
                break
        else:
            surest = max(fault.checks, key=lambda c: ratio(c.sensitivity, 0.9))
            if f"{name}/{surest.key}" not in dict(done):
                done.append((f"{name}/{surest.key}", "fail"))
    return done


def rival_check(draw: Draw, family: str, faults: list[str], present: list[str]) -> list[tuple[str, str]]:
    """A check that cleared another fault with the same symptoms, one that is deaf to what was really wrong."""
    usual = draw.truth["families"][family]["faults"]
    rivals = [
        (other, check)
        for other in usual
        if other not in faults and draw.shows(family, other).keys() & set(present) and other in draw.library.faults
        for check in draw.library.faults[other].checks[:2]
        if not any(s.fault in faults for s in check.speaks_to)
    ]
    if not rivals:
        return []
    other, check = draw.rng.choice(rivals)
    return [(f"{other}/{check.key}", "pass")]


def ratio(quantity: Quantity | Any, otherwise: float) -> float:
    """A chance as a number; ``otherwise`` where the check does not say."""
    return quantity.value if isinstance(quantity, Quantity) else otherwise


def idle_words(draw: Draw, family: Family) -> str:
    """What the output tubes were left at, as one sentence whose numbers agree with one another and with the tube's limit."""
    idle, tube = family.idle, draw.library.tubes[family.idle.tube]
    limit = next(r.plate_dissipation for r in tube.ratings if r.key == tube.judged_by)
    settable = idle.arrangement in ("fixed adjustable", "per-tube adjustable")
    aim = idle.aim if settable else idle.stock_share
    assert isinstance(aim, Quantity) and limit is not None
    share = aim.low + (aim.high - aim.low) * draw.rng.uniform(0.3, 0.7)
    plate = idle.plate_volts.value * draw.rng.uniform(0.99, 1.01)
    across = plate - ratio(idle.cathode_volts, 0)
    cathode = (share * limit.value / across + ratio(idle.screen_current, 0)) * 1000
    apart = draw.rng.choice([0.4, 0.8, 1.2]) if idle.tubes > 1 else 0
    low, high = round(cathode - apart), round(cathode + apart)
    between = "to" if idle.tubes > 2 else "and"
    current = f"{low} {between} {high} mA" if high > low else f"{low} mA" + (" each" if idle.tubes > 1 else "")
    middle = (low + high) / 2 if high > low else low
    reached = (middle / 1000 - ratio(idle.screen_current, 0)) * across / limit.value
    return f"Idle afterwards {current} at {plate:.0f} V, {reached * 100:.0f} %."


def revision_of(draw: Draw, family: Family, faults: list[str]) -> str | None:
    """A revision that may have these faults, by the family's own ``since`` and ``until``."""
    keys = [v.key for v in family.variants]
    low, high = 0, len(keys) - 1
    for weak in family.weak_points:
        if weak.fault in faults:
            low = max(low, keys.index(weak.since) if weak.since else 0)
            high = min(high, keys.index(weak.until) if weak.until else high)
    return draw.rng.choice(keys[low : high + 1] or keys) if keys else None


def mended(draw: Draw, name: str, faults: list[str], technician: str) -> str:
    """The words of the fix: a paragraph for each fault, and now and then the technician's own way to close."""
    where = draw.truth["families"][name].get("where", {})
    paragraphs = []
    for fault in faults:
        text = draw.wording(draw.truth["faults"][fault]["fix"])
        place = draw.rng.choice(where.get(fault, ["the part"]))
        text = text.replace(". {where}", f". {place[0].upper()}{place[1:]}").replace("{where}", place)
        if "{idle}" in text:
            text = text.replace("{idle}", idle_words(draw, draw.library.families[name]))
        paragraphs.append(text[0].upper() + text[1:])
    if draw.rng.random() < CLOSING:
        paragraphs[-1] += " " + draw.wording(draw.truth["closings"][technician])
    return "\n\n".join(paragraphs)


def job(draw: Draw, name: str, technician: str) -> dict[str, Any]:
    """One job of the family: its request, or its faults and all that went with them."""
    truth = draw.truth["families"][name]
    family = draw.library.families[name]
    if draw.rng.random() < REQUESTS and draw.used[f"requests of {name}"] < len(truth["requests"]):
        draw.used[f"requests of {name}"] += 1
        asked = truth["requests"][draw.used[f"requests of {name}"] - 1]
        return {
            "title": f"{short_name(family)}: {asked['ask'][0].lower()}{asked['ask'][1:]}",
            "faults": [],
            "symptoms": [],
            "revision": revision_of(draw, family, []),
            "request": asked["ask"],
            "fix": asked["fix"],
            "minutes": asked["minutes"],
            "parts_cost": asked["parts"],
        }
    faults = [draw.weighted(truth["faults"])]
    if draw.rng.random() < SECOND_FAULT:
        faults += [f for f in [draw.weighted(truth["faults"])] if f not in faults]
    symptoms = symptoms_of(draw, name, faults)
    costs = [draw.truth["faults"][f] for f in faults]
    learned = [t for f in faults for t in costs[faults.index(f)].get("learned", []) if draw.used[t] < 2]
    words = [draw.truth["short"].get(f, f.replace("-", " ")) for f in faults]
    entry = {
        "title": f"{short_name(family)}: {' and '.join(words)}",
        "faults": faults,
        "symptoms": symptoms,
        "absent": absent_of(draw, name, faults, symptoms),
        "revision": revision_of(draw, family, faults),
        "fix": mended(draw, name, faults, technician),
        "checks": checks_of(draw, name, faults, symptoms),
        "minutes": 5
        * max(2, round(draw.spread(sum(c["minutes"] for c in costs) * (0.8 if len(faults) > 1 else 1)) / 5)),
        "parts_cost": round(draw.spread(sum(c["parts"] for c in costs)), 1),
    }
    if learned and draw.rng.random() < LEARNED:
        entry["learned"] = draw.wording(learned)
    return entry


def short_name(family: Family) -> str:
    """The family's title without its maker."""
    return family.title.removeprefix(family.maker).strip()


class Plain(yaml.SafeDumper):
    """Writes without aliases, and texts of several lines as blocks."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


Plain.add_representer(
    str,
    lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None),
)


def text_of(entry: Mapping[str, Any]) -> str:
    """The entry as YAML in house form."""
    rough = {key: value for key, value in entry.items() if value not in (None, []) or key in ("faults", "symptoms")}
    rough["checks"] = [{"check": check, "result": result} for check, result in entry.get("checks", [])]
    if not rough["checks"]:
        del rough["checks"]
    plain = yaml.dump(rough, Dumper=Plain, allow_unicode=True, sort_keys=False, width=4000)
    return tidy(plain, "finding")


def findings(library: Library, truth: Mapping[str, Any], count: int = COUNT) -> dict[str, str]:
    """Id and text of every finding."""
    draw = Draw(random.Random(SEED), truth, library)
    technicians = [t.initials for t in library.shop.technicians] if library.shop else ["RK"]
    made: dict[str, str] = {}
    days = working_days(draw, count)
    empty = dict(zip(sorted(draw.rng.sample(range(count), len(truth["nothing"]))), truth["nothing"], strict=True))
    for place, (day, name) in enumerate(zip(days, families_in_turn(draw, count), strict=True)):
        technician = draw.rng.choice(technicians)
        if place in empty:
            family = library.families[name]
            entry: dict[str, Any] = {
                "title": f"{short_name(family)}: nothing wrong with it",
                "faults": [],
                "parts_cost": 0,
                **empty[place],
            }
        else:
            entry = job(draw, name, technician)
        entry |= {
            "family": name,
            "technician": technician,
            "date": day,
            "added": day,
            "by": [technician],
            "sources": ["invented for the demonstration"],
        }
        letter = next(c for c in "abcdefgh" if f"{day}-{name}-{c}" not in made)
        made[f"{day}-{name}-{letter}"] = text_of(entry)
    return made


def main() -> int:
    """Write the findings, or say whether those on the shelf are these."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--check", action="store_true", help="write nothing; exit 1 when the shelf differs")
    given = parser.parse_args()
    reading = read_shelves([ROOT / "kb" / "reference", ROOT / "kb" / "workshop"])
    made = findings(link(reading.entries, reading.broken).library, yaml.safe_load(TRUTH.read_text(encoding="utf-8")))
    there = {path.stem: path.read_text(encoding="utf-8") for path in sorted(OUT.glob("*.yaml"))} if OUT.is_dir() else {}
    if given.check:
        return int(there != made)
    OUT.mkdir(parents=True, exist_ok=True)
    for gone in there.keys() - made.keys():
        (OUT / f"{gone}.yaml").unlink()
    for name, text in made.items():
        (OUT / f"{name}.yaml").write_text(text, encoding="utf-8", newline="\n")
    sys.stdout.write(f"{len(made)} findings written to {OUT}\n")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
