"""Random changes to a shelf, as people make them: words, values, items, entries that come, go and change their names."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bench.shelves import Data, dumped, loaded

KEPT = {"fault", "symptom", "stage", "tube", "fastener", "family", "procedure", "calculator", "check", "date", "key", "type"}
"""Fields whose text is a name or a figure: another word there would be refused."""


class Editor:
    """Changes the entries of one shelf, each time another way; the same seed changes the same things."""

    def __init__(self, shelf: Path, seed: int, upper: Path | None = None) -> None:
        self.shelf, self.upper, self.chance, self.count = shelf, upper, random.Random(seed), 0
        self.spoilt: dict[Path, bytes] = {}
        self.done: Counter[str] = Counter()
        self.touched: set[str] = set()
        ways = (self.word, self.word, self.word, self.item, self.title, self.come, self.go, self.rename, self.finding)
        above = (self.amend, self.amend, self.retire, self.unsay) if upper else ()
        self.ways: tuple[Callable[[], str], ...] = (*ways, self.spoil, *above)

    def change(self) -> str:
        """Change something; says what."""
        self.count += 1
        way = self.chance.choice(self.ways)
        self.done[way.__name__] += 1
        return way()

    def files(self, *folders: str) -> list[Path]:
        """The entries in some folders, or all."""
        return sorted(p for p in self.shelf.rglob("*.yaml") if not folders or p.parent.name in folders)

    def one(self, *folders: str) -> Path:
        """An entry, of any kind as often as of any other."""
        files = self.files(*folders)
        kind = self.chance.choice(sorted({path.parent.name for path in files}))
        self.touched.add(kind)
        return self.chance.choice([path for path in files if path.parent.name == kind])

    def spoil(self) -> str:
        """A slip: an entry cannot be read until it is mended."""
        path = self.one()
        self.spoilt.setdefault(path, path.read_bytes())
        path.write_text(path.read_text("utf-8") + self.chance.choice(["zyx: 1\n", '"unclosed\n', "title: again\n", "\t- tab\n"]), "utf-8")
        return f"{path.stem} spoilt"

    def mend(self) -> str:
        """The slips are put right, each file as it was before."""
        for path, content in self.spoilt.items():
            path.write_bytes(content)
        mended = ", ".join(sorted(path.stem for path in self.spoilt))
        self.spoilt.clear()
        return f"{mended} mended"

    def above(self, path: Path) -> Path:
        """Where the upper shelf has its word on an entry."""
        assert self.upper is not None
        file = self.upper / path.relative_to(self.shelf)
        file.parent.mkdir(parents=True, exist_ok=True)
        return file

    def amend(self) -> str:
        """The upper shelf amends an entry."""
        path = self.one("faults", "symptoms", "families", "terms", "stages", "tubes", "procedures", "fasteners")
        self.above(path).write_text(f"amends: yes\nset: {{title: Amended {self.count}}}\nwhy: seen on the bench\n", "utf-8")
        return f"{path.stem} amended"

    def retire(self) -> str:
        """The upper shelf leaves an entry out."""
        path = self.one("faults", "symptoms", "families", "terms")
        self.above(path).write_text("amends: yes\nretire: {entry: never met here}\n", "utf-8")
        return f"{path.stem} retired"

    def unsay(self) -> str:
        """The upper shelf takes a word back."""
        files = sorted(self.upper.rglob("*.yaml")) if self.upper else []
        for path in files[:: self.chance.randint(1, 3)]:
            path.unlink()
        return f"{len(files)} words above taken back"

    def word(self) -> str:
        """Another word, known or new, somewhere in an entry's prose."""
        path = self.one()
        entry = loaded(path)
        texts = [(holder, key) for holder, key in _texts(entry) if key not in KEPT and " " in holder[key]]
        if not texts:
            return f"nothing to say in {path.stem}"
        holder, key = self.chance.choice(texts)
        words = holder[key].split(" ")
        words.insert(self.chance.randrange(len(words)), self.chance.choice(["hum", "loose", "6V6GT", f"zyx{self.count}", "motor boat", "grid leak", "[](term:bias)"]))
        holder[key] = " ".join(words)
        path.write_text(dumped(entry), "utf-8")
        return f"a word in {path.stem}: {key}"

    def item(self) -> str:
        """An item of a list leaves, or two change places."""
        path = self.one()
        entry = loaded(path)
        lists = [name for name, value in entry.items() if isinstance(value, list) and len(value) > 1]
        if not lists:
            return f"no list in {path.stem}"
        name = self.chance.choice(lists)
        entry[name] = entry[name][1:] if self.chance.random() < 0.5 else entry[name][::-1]
        path.write_text(dumped(entry), "utf-8")
        return f"items of {path.stem}: {name}"

    def title(self) -> str:
        """An entry is called otherwise."""
        path = self.one()
        entry = loaded(path)
        entry["title"] = f"{entry['title'].removesuffix(' anew')} {self.count}"
        path.write_text(dumped(entry), "utf-8")
        return f"title of {path.stem}"

    def come(self) -> str:
        """An entry like another comes."""
        path = self.one("faults", "symptoms", "families", "terms", "stages", "tubes", "fasteners", "procedures")
        entry = {**loaded(path), "title": f"Came as {self.count}"}
        for name in ("also_called", "asked", "was", "synonyms"):
            entry.pop(name, None)
        path.with_name(f"{path.stem[:40]}-{self.count}.yaml").write_text(dumped(entry), "utf-8")
        return f"one like {path.stem} came"

    def go(self) -> str:
        """An entry goes."""
        path = self.one()
        path.unlink()
        return f"{path.stem} went"

    def rename(self) -> str:
        """An entry gets another id, keeps its old one as a former id, and all that names it follows."""
        path = self.one("faults", "symptoms", "families", "stages", "terms", "tubes", "procedures", "fasteners")
        new = f"{path.stem[:40]}-r{self.count}"
        for other in self.files():
            text = other.read_text("utf-8")
            if path.stem in text and other != path:
                other.write_text(dumped(_renamed(loaded(other), path.stem, new)), "utf-8")
        entry = loaded(path)
        entry["was"] = [*entry.get("was", []), path.stem]
        path.unlink()
        path.with_name(f"{new}.yaml").write_text(dumped(entry), "utf-8")
        return f"{path.stem} is {new}"

    def finding(self) -> str:
        """A job is done: what was found comes."""
        path = self.one("findings")
        entry = {**loaded(path), "title": f"Job {self.count}"}
        path.with_name(f"2024-0{self.chance.randint(1, 9)}-11-job-{self.count}.yaml").write_text(dumped(entry), "utf-8")
        return f"finding {self.count}"


def _texts(value: Any) -> list[tuple[Any, Any]]:
    """Holder and key of every text in an entry."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found: list[tuple[Any, Any]] = []
    for key, of in list(pairs):
        found += [(value, key)] if isinstance(of, str) else _texts(of)
    return found


def _renamed(entry: Data, old: str, new: str) -> Data:
    """The entry with a name changed wherever it stands by itself or in a mention."""
    for holder, key in _texts(entry):
        text = holder[key]
        holder[key] = new if text == old else text.replace(f":{old})", f":{new})").replace(f"{old}/", f"{new}/")
    return entry
