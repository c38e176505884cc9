"""The guide to writing entries says what is so: its walked-through entry is the real one, its lengths are those of the shelf."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml

KB = Path(__file__).resolve().parents[2] / "kb"
GUIDE = (KB / "README.md").read_text(encoding="utf-8")
ASKED = re.compile(r"^asked:(?: \[[^\]]*\]|(?:\n +- .*)+)\n", re.MULTILINE)


def _same(shown: Any, real: Any, where: str) -> None:
    """What is shown stands in the real entry; where an ellipsis stands, only what is before it."""
    if isinstance(shown, dict):
        for key, value in shown.items():
            assert key in real, where
            _same(value, real[key], f"{where}.{key}")
    elif isinstance(shown, list):
        for item in shown:
            key = "key" if isinstance(item, dict) and "key" in item else None
            like = next((one for one in real if key and one["key"] == item["key"]), item if item in real else None)
            assert like is not None, (where, item)
            _same(item, like, where)
    else:
        start = " ".join(shown.split()).removesuffix("...").strip()
        assert " ".join(real.split()).startswith(start), (where, shown)


def test_the_walked_through_entry_is_the_real_one() -> None:
    """Every line of the example stands in the entry whose name it carries."""
    block = next(b for b in re.findall(r"```yaml\n(.*?)```", GUIDE, re.DOTALL) if "shortened" in b)
    path = KB / re.search(r"# kb/(\S+\.yaml)", block).group(1)  # type: ignore[union-attr]
    shown = yaml.load(re.sub(r" +# [^\n]*", "", block.partition("\n")[2]), Loader=yaml.BaseLoader)
    _same(shown, yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader), path.stem)


def test_lengths_are_those_of_the_shelf() -> None:
    """Lines of the entries of each kind that the guide gives a length for, ways of asking not counted; a tenth may be beyond it."""
    said = {"faults": (70, 140), "procedures": (70, 140), "symptoms": (30, 65), "stages": (30, 70), "tubes": (77, 191), "findings": (15, 36), "families": (320, 565)}
    for kind, (least, most) in said.items():
        lines = [len(ASKED.sub("", path.read_text(encoding="utf-8")).splitlines()) for path in KB.glob(f"*/{kind}/*.yaml")]
        inside = sum(least <= n <= most for n in lines)
        assert inside >= 0.9 * len(lines), (kind, min(lines), max(lines))


def test_the_guide_speaks_of_style_length_and_tone() -> None:
    """One part on how to write, one entry walked through, and no more than a technician reads."""
    assert {"## Style, length and tone", "## One entry walked through", "## Six steps"} <= set(GUIDE.splitlines())
    assert len(GUIDE.split()) < 1800
