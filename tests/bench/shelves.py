"""A seeded generator of plausible shelves, to measure on and to edit at random.

Every entry is put together from the shipped ones: the electrical part of a family is one real family's, so that the
physics holds, and its words are drawn from all entries that have the same field.  Ids, part numbers and titles differ.

    python tests/bench/shelves.py FOLDER FAMILIES [SEED]
"""

from __future__ import annotations

import random
import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import yaml

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = ROOT / "kb" / "reference"
WORDS_OF_A_FAMILY = 750
FIGURES = {"supply", "tubes", "idle", "mains", "output", "speaker", "views", "stages", "variants"}
"""Parts of a family that agree with each other and so are taken whole from one family."""

MIXED = {
    "here",
    "heard",
    "how_tight",
    "recheck",
    "secure",
    "effect",
    "limits",
    "expect",
    "tears",
    "keep",
    "away_from",
    "note",
}
"""Fields of words that may be taken from any family's item of the same list."""

_PART = re.compile(r"\b([RC])([0-9]{1,2})\b")
_SYLLABLES = re.findall(
    "[a-z]+", "bar bel cor dan el fal gar hol ing jor kel lan mor nor ost pel quen ros sel tor ul ven wes yar zel"
)
Data = dict[str, Any]


class _Dumper(yaml.CBaseDumper if hasattr(yaml, "CBaseDumper") else yaml.BaseDumper):  # type: ignore[misc]
    """Writes every scalar as a person would: plain where it may stand so, and nothing by an alias."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


_Dumper.add_representer(
    str, lambda d, text: d.represent_scalar("tag:yaml.org,2002:str", text, style="|" if "\n" in text else None)
)
_Dumper.add_representer(
    list, lambda d, items: d.represent_sequence("tag:yaml.org,2002:seq", items, flow_style=_flows(items))
)
_Dumper.add_representer(dict, lambda d, pairs: d.represent_mapping("tag:yaml.org,2002:map", pairs.items()))


def _flows(items: list[Any]) -> bool:
    return all(isinstance(item, str) and len(item) < 20 for item in items)


def _undrawn(entry: Data) -> None:
    """Take the views away, and what stands on them: most shops draw nothing."""
    entry.pop("views", None)
    for name, spots in (("hardware", "spots"), ("lead_dress", "ends")):
        entry[name] = [{field: value for field, value in item.items() if field != spots} for item in entry[name]]


def loaded(path: Path) -> Data:
    """An entry as plain data; every scalar stays the text that was typed."""
    return dict(yaml.load(path.read_text("utf-8"), Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader)))


def dumped(entry: Mapping[str, Any]) -> str:
    """An entry as YAML."""
    return str(yaml.dump(dict(entry), Dumper=_Dumper, allow_unicode=True, width=140))


def words_in(value: Any) -> int:
    """How many words the values of an entry hold."""
    if isinstance(value, dict):
        return sum(map(words_in, value.values()))
    return sum(map(words_in, value)) if isinstance(value, list) else len(value.split())


class Maker:
    """Makes entries of one shelf; the same seed makes the same entries."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        shipped = {kind: sorted((ROOT / "kb").glob(f"*/{kind}/*.yaml")) for kind in ("families", "faults", "symptoms")}
        self.shipped = {kind: {path.stem: loaded(path) for path in paths} for kind, paths in shipped.items()}
        self.pools = self._pools()
        self.titles: set[str] = set()

    def _pools(self) -> dict[tuple[str, str], list[str]]:
        pools: dict[tuple[str, str], list[str]] = {}
        for family in self.shipped["families"].values():
            for name, items in family.items():
                for item in items if isinstance(items, list) else ():
                    for field, value in item.items() if isinstance(item, dict) else ():
                        if field in MIXED and isinstance(value, str):
                            pools.setdefault((name, field), []).append(value)
        return pools

    def title(self) -> str:
        """An invented name that nobody bears twice."""
        while True:
            chance = self.chance
            name = "".join(chance.choices(_SYLLABLES, k=chance.randint(2, 3))).capitalize()
            model = "".join(chance.choices(_SYLLABLES, k=2)).capitalize()
            title = f"{name} {model} {chance.choice((5, 8, 15, 18, 22, 30, 40, 50, 60, 80, 100))}"
            if title not in self.titles:
                self.titles.add(title)
                return title

    def family(self) -> Data:
        """A family of about ``WORDS_OF_A_FAMILY`` words."""
        entry = dict(self.chance.choice(list(self.shipped["families"].values())))
        for name in ("was", "also_called", "asked", "changed"):
            entry.pop(name, None)
        entry["title"] = self.title()
        entry["maker"] = entry["title"].split()[0]
        numbers = {n: str(self.chance.randint(1, 99)) for n in map(str, range(100))}
        for name, value in entry.items():
            if name not in FIGURES and isinstance(value, list):
                kept = self.chance.sample(range(len(value)), min(len(value), self.chance.randint(3, 6)))
                entry[name] = [self.mixed(name, value[at], numbers) for at in sorted(kept)]
        if self.chance.random() < 0.7:
            _undrawn(entry)
        self.shorten(entry)
        return entry

    def shorten(self, entry: Data) -> None:
        """Take items away, last first, until the family is about as long as wanted."""
        for _ in range(4):
            for name in (
                "hardware",
                "test_notes",
                "changes",
                "lead_dress",
                "closing",
                "opening",
                "usual_needs",
                "cautions",
                "weak_points",
            ):
                if words_in(entry) > WORDS_OF_A_FAMILY and len(entry.get(name, ())) > 2:
                    entry[name] = entry[name][:-1]
        entry["summary"] = entry["summary"].split("\n\n")[0]
        entry["idle"] = {**entry["idle"], "how_to_measure": entry["idle"]["how_to_measure"].split(". ")[0] + "."}

    def mixed(self, name: str, item: Any, numbers: Mapping[str, str]) -> Any:
        """An item of a list with some of its words from other families, and with part numbers of its own."""
        if isinstance(item, str):
            return _PART.sub(lambda m: m[1] + numbers[m[2]], item)
        made = {}
        for field, value in item.items():
            if (name, field) in self.pools and self.chance.random() < 0.5:
                value = self.chance.choice(self.pools[name, field])
            made[field] = (
                _PART.sub(lambda m: m[1] + numbers[m[2]], value) if isinstance(value, str) and field in MIXED else value
            )
        return made

    def fault(self, title: str) -> tuple[str, Data]:
        """A fault like a shipped one, with words of others, and the id of the one it is like."""
        like, entry = self.chance.choice(list(self.shipped["faults"].items()))
        other = self.chance.choice(list(self.shipped["faults"].values()))
        made = {**entry, "title": title, "why": other["why"], "verify": other["verify"], "like": [like]}
        for name in ("also_called", "asked"):
            made.pop(name, None)
        return like, made

    def symptom(self, title: str) -> Data:
        """A symptom like a shipped one, with the words of another."""
        one, other = self.chance.sample(list(self.shipped["symptoms"].values()), 2)
        made = {**one, "title": title, "ask": other["ask"]}
        for name in ("also_called", "asked"):
            made.pop(name, None)
        return made

    def finding(self, number: int, family: tuple[str, Data]) -> Data:
        """One job's outcome on a family: mostly one of its weak points."""
        id, entry = family
        weak = self.chance.choice(entry["weak_points"])["fault"]
        fault = self.shipped["faults"][weak]
        return {
            "title": f"{entry['title']}, job {number}",
            "family": id,
            "symptoms": [shown["symptom"] for shown in fault["shows"][:2]],
            "faults": [weak],
            "fix": self.chance.choice(fault["fix"]),
            "minutes": str(self.chance.randint(15, 180)),
            "parts_cost": str(self.chance.randint(0, 90)),
            "technician": self.chance.choice(("RK", "MO", "TB")),
            "date": f"20{self.chance.randint(10, 25)}-{self.chance.randint(1, 12):02}-{self.chance.randint(1, 28):02}",
            "learned": self.chance.choice(fault["verify"]),
        }


SHOP = {
    "title": "Bench of the generated shelf",
    "summary": "Made to measure on.",
    "technicians": [{"initials": i} for i in ("RK", "MO", "TB")],
}


def entries(families: int, seed: int = 8) -> Iterator[tuple[str, Data]]:
    """All entries of a shelf by file name: ``families``, as many findings, a tenth as many faults, a fiftieth as many symptoms."""
    maker = Maker(seed)
    yield "shop.yaml", {**SHOP, "currency": "EUR", "sources": ["invented for the demonstration"]}
    for number in range(families // 10):
        yield f"faults/made-{number}.yaml", maker.fault(f"Made fault {number}")[1]
    for number in range(families // 50):
        yield f"symptoms/made-{number}.yaml", maker.symptom(f"Made symptom {number}")
    made: list[tuple[str, Data]] = []
    for _ in range(families):
        family = maker.family()
        made.append((f"{family['title'].lower().replace(' ', '-')}", family))
        yield f"families/{made[-1][0]}.yaml", family
    for number in range(families):
        yield f"findings/job-{number}.yaml", maker.finding(number, maker.chance.choice(made))


def write_shelf(folder: Path, families: int, seed: int = 8) -> list[Path]:
    """Write a shelf into ``folder``; gives the stack to build: the reference shelf beneath it, and it."""
    for name, entry in entries(families, seed):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(dumped(entry), "utf-8")
    return [REFERENCE, folder]


if __name__ == "__main__":
    sys.stdout.writelines(
        f"{shelf}\n" for shelf in write_shelf(Path(sys.argv[1]), int(sys.argv[2]), *map(int, sys.argv[3:]))
    )
