"""What a build costs, beside two general site builders at work on the same text; prints Markdown tables.

    python tests/bench/build_bench.py FOLDER [FAMILIES[xRUNS]]...      (100 and 1,000 families, unless others are named)

makes generated shelves in FOLDER (``shelves.py``), installs hugo and mkdocs there from the registry, and takes the median
of several runs, fewer of large shelves.  All commands run by turns on the same machine: look at the ratios.
"""

from __future__ import annotations

import json
import shutil
import statistics
import subprocess
import sys
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

sys.path[:0] = [str(Path(__file__).resolve().parents[1])]

from bench.fair_builders import Builder, builders, installed  # noqa: E402  (after the path is set)
from bench.measuring import Cost, Served, bytes_of, median, run, save_to_reload  # noqa: E402
from bench.phases import PHASES  # noqa: E402
from bench.shelves import ROOT, loaded, write_shelf  # noqa: E402

LARGE = 2000  # families above which little is done more than once
WORDS = ("hum", "loose", "ribbon", "socket", "screen", "crackle", "plate")
SAVES = 3


class Bench:
    """A generated shelf, the site and the caches made from it, and the builders on its text."""

    def __init__(self, folder: Path, families: int, bin: Path, runs: int = 0) -> None:
        self.folder, self.families = folder / str(families), families
        self.cache, self.out, shelf = self.folder / "cache", self.folder / "site", self.folder / "shelf"
        if not shelf.exists():
            write_shelf(shelf, families)
        self.shelves = [ROOT / "kb" / "reference", shelf]
        self.runs = runs or (3 if families < LARGE else 1)
        self.edited = sorted((shelf / "families").glob("*.yaml"))[families // 2]
        self.large = families > LARGE
        self.port = 8700 + families // 100 % 1000
        self.others = builders(bin, self.shelves, self.folder, self.port)
        self.edits = 0

    def ours(self, command: str, *words: str) -> list[str]:
        """A command of ours on the shelves."""
        stack = [part for shelf in self.shelves for part in ("--shelf", str(shelf))]
        return [sys.executable, "-m", "benchlore", command, *stack, *words]

    @property
    def env(self) -> dict[str, str]:
        """Our code, and a cache of the bench's own."""
        return {"PYTHONPATH": str(ROOT / "builder"), "BENCHLORE_CACHE": str(self.cache)}

    def build(self) -> Cost:
        """Build the site once."""
        return run(self.ours("build", "--out", str(self.out)), self.folder, self.env)

    def forget(self, *, sums: bool) -> None:
        """As before a first build; the sums may stay, as when another book was built before."""
        shutil.rmtree(self.out, ignore_errors=True)
        if not sums:
            shutil.rmtree(self.cache, ignore_errors=True)
        for kept in self.cache.glob("works-*"):
            kept.unlink()

    def edit(self, path: Path) -> str:
        """Put a word or two into the first words of an entry; gives them."""
        self.edits += 1
        words = f"{WORDS[self.edits % len(WORDS)]} {WORDS[self.edits // len(WORDS) % len(WORDS)]} {WORDS[self.edits * 3 % len(WORDS)]}"
        lines = path.read_text("utf-8").split("\n")
        at = next(n for n, line in enumerate(lines) if line.startswith(("summary:", "## summary")))
        while "." not in lines[at] or lines[at].startswith("##"):
            at += 1
        lines[at] = lines[at].replace(".", f" {words}.", 1)
        path.write_text("\n".join(lines), "utf-8")
        return words

    def page(self, builder: Builder) -> Path:
        """The Markdown of the entry that is edited."""
        return builder.source / "families" / f"{self.edited.stem}.md"


def measured(bench: Bench) -> dict[str, list[Cost | None]]:
    """The costs of each way to build, ours first, then the other builders'."""
    table: dict[str, list[list[Cost]]] = {}

    def note(what: str, at: int, cost: Cost) -> None:
        table.setdefault(what, [[] for _ in range(1 + len(bench.others))])[at].append(cost)
        print(".", end="", file=sys.stderr, flush=True)

    for _ in range(bench.runs):
        bench.forget(sums=False)
        note("cold", 0, bench.build())
        if not bench.large:
            bench.forget(sums=True)
            note("cold, the sums known", 0, bench.build())
        for at, other in enumerate(bench.others, 1):
            shutil.rmtree(other.out, ignore_errors=True)
            note("cold", at, run(other.build, other.folder, {}))
    run(["sleep", "4"], bench.folder, {})
    bench.build()
    for _ in range(max(bench.runs, 3)):
        note("nothing changed", 0, bench.build())
        bench.edit(bench.edited)
        note("one entry edited", 0, bench.build())
        run(["sleep", "4"], bench.folder, {})
        bench.build()  # what was too young to be known by its time is known now
        for at, other in enumerate(bench.others, 1):
            note("nothing changed", at, run(other.again, other.folder, {}))
            bench.edit(bench.page(other))
            note("one entry edited", at, run(other.again, other.folder, {}))
    return {what: [median(costs) if costs else None for costs in of] for what, of in table.items()}


def reloads(bench: Bench) -> list[float]:
    """Seconds from saving an entry until its page shows it: our preview, then the other builders' servers."""
    path = f"families/{bench.edited.stem}"

    def saves(file: Path) -> list[tuple[str, Callable[[], None]]]:
        return [(f"(edit {n})", partial(_say, file, f"(edit {n})")) for n in range(1 if bench.large else SAVES)]

    title = str(loaded(bench.edited)["title"])
    ours = Served(
        bench.ours("preview", "--port", str(bench.port + 2)),
        bench.folder,
        bench.env,
        f"http://127.0.0.1:{bench.port + 2}/{path}.html",
    )
    found = [save_to_reload(ours, title, saves(bench.edited))]
    for at, other in enumerate(bench.others):
        served = Served(other.serve, other.folder, {}, f"http://127.0.0.1:{bench.port + at}/{path}/")
        found.append(save_to_reload(served, title, saves(bench.page(other))))
    return [statistics.median(seconds) for seconds in found]


def _say(path: Path, words: str) -> None:
    text = path.read_text("utf-8")
    at = text.index(".", text.index("summary"))
    path.write_text(f"{text[:at]} {words}{text[at:]}", "utf-8")


def phases(bench: Bench) -> dict[str, dict[str, float]]:
    """Processor seconds by phase, in one process."""
    command = [
        sys.executable,
        str(Path(__file__).with_name("phases.py")),
        str(bench.cache),
        str(bench.out),
        *map(str, bench.shelves),
    ]

    def one() -> dict[str, float]:
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        return {name: float(seconds) for name, seconds in json.loads(done.stdout).items()}

    found = {}
    if not bench.large:
        bench.forget(sums=False)
        found["cold"] = one()
    run(["sleep", "4"], bench.folder, {})
    one()
    found["nothing changed"] = one()
    bench.edit(bench.edited)
    return found | {"one entry edited": one()}


def main() -> None:
    """Measure and print."""
    folder = Path(sys.argv[1]).resolve()
    folder.mkdir(parents=True, exist_ok=True)
    bin, missing = installed(folder)
    for name in missing:
        print(f"{name} could not be installed here; its column is missing.")
    for wanted in sys.argv[2:] or ("100", "1000"):
        families, runs = (int(words or 0) for words in wanted.partition("x")[::2])
        bench = Bench(folder, families, bin, runs)
        tell(bench, measured(bench))
        tell_reloads(bench)
        tell_phases(families, phases(bench))


def row(*cells: str) -> None:
    """One line of a table."""
    print("| " + " | ".join(cells) + " |", flush=True)


def tell(bench: Bench, costs: Mapping[str, list[Cost | None]]) -> None:
    """The table of builds: processor seconds, in brackets those on the clock."""
    names = ["Benchlore", *(other.name for other in bench.others)]
    print(
        f"\n\n{bench.families:,} families, median of {bench.runs} runs (of {max(bench.runs, 3)} where little is done)\n"
    )
    row("processor seconds (on the clock)", *names)
    row(*["---"] * (1 + len(names)))
    for what, of in costs.items():
        row(what, *(f"{c.process:.2f} ({c.wall:.2f})" if c else "" for c in of))
    cold = costs["cold"]
    row("memory, cold, MB", *(f"{c.memory:.0f}" if c else "" for c in cold))
    edited = costs["one entry edited"][0]
    row("memory, one entry edited, MB", f"{edited.memory:.0f}" if edited else "", *[""] * len(bench.others))
    row("site, MB", *(f"{bytes_of(out) / 1e6:.1f}" for out in (bench.out, *(other.out for other in bench.others))))


def tell_reloads(bench: Bench) -> None:
    """The line of servers."""
    row("from saving to the page, seconds on the clock", *(f"{seconds:.2f}" for seconds in reloads(bench)))


def tell_phases(families: int, found: Mapping[str, Mapping[str, float]]) -> None:
    """The table of phases."""
    names = [*PHASES, "the rest"]
    print()
    row(f"{families:,} families: processor seconds in one process", *names)
    row(*["---"] * (1 + len(names)))
    for what, seconds in found.items():
        row(what, *(f"{seconds[name]:.2f}" for name in names))


if __name__ == "__main__":
    main()
