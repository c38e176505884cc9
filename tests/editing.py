"""Random changes to a shelf, as people make them: words, values, items, entries that come, go and change their names."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bench.shelves import Data, dumped, loaded

KEPT = {"fault", "symptom", "stage", "tube", "fastener", "family", "procedure", "calculator", "check", "date", "key", "type"}
"""Fields whose text is a name or a figure: another word there would be refused."""


class Editor:
    """Changes the entries of one shelf, each time another way; the same seed changes the same things."""

    def __init__(self, shelf: Path, seed: int) -> None:
        self.shelf, self.chance, self.count = shelf, random.Random(seed), 0
        self.ways: tuple[Callable[[], str], ...] = (self.word, self.word, self.word, self.item, self.title, self.come, self.go, self.rename, self.finding)

    def change(self) -> str:
        """Change something; says what."""
        self.count += 1
        return self.chance.choice(self.ways)()

    def files(self, *folders: str) -> list[Path]:
        """The entries in some folders, or all that are no sums."""
        found = sorted(p for p in self.shelf.rglob("*.yaml") if p.parent.name != "calculators" and p.name != "shop.yaml")
        return [p for p in found if not folders or p.parent.name in folders]

    def word(self) -> str:
        """Another word, known or new, somewhere in an entry's prose."""
        path = self.chance.choice(self.files())
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
        path = self.chance.choice(self.files())
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
        path = self.chance.choice(self.files())
        entry = loaded(path)
        entry["title"] = f"{entry['title'].removesuffix(' anew')} {self.count}"
        path.write_text(dumped(entry), "utf-8")
        return f"title of {path.stem}"

    def come(self) -> str:
        """An entry like another comes."""
        path = self.chance.choice(self.files("faults", "symptoms", "families", "terms", "stages"))
        entry = {**loaded(path), "title": f"Came as {self.count}"}
        for name in ("also_called", "was", "synonyms"):
            entry.pop(name, None)
        path.with_name(f"{path.stem[:40]}-{self.count}.yaml").write_text(dumped(entry), "utf-8")
        return f"one like {path.stem} came"

    def go(self) -> str:
        """An entry goes."""
        path = self.chance.choice(self.files())
        path.unlink()
        return f"{path.stem} went"

    def rename(self) -> str:
        """An entry gets another id, keeps its old one as a former id, and all that names it follows."""
        path = self.chance.choice(self.files("faults", "symptoms", "families", "stages"))
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
        path = self.chance.choice(self.files("findings"))
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
