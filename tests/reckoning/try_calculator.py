"""Tries calculator files from the command line: problems, or the answer for the defaults and the worked examples."""

from __future__ import annotations

import sys
import time
from functools import cache
from pathlib import Path

from benchlore.entries.calculator import Calculator
from benchlore.linking.library import Library
from benchlore.reading.shelf import read_shelves
from benchlore.reckoning.calculate import compile_calculator

REFERENCE = Path(__file__).resolve().parents[2] / "kb" / "reference"


@cache
def reference() -> tuple[Library, list[str]]:
    """The reference shelf, unlinked: the reckoning needs only its tubes and fasteners; and its reading problems."""
    reading = read_shelves([REFERENCE])
    entries: dict[str, dict[str, object]] = {}
    for entry in reading.entries:
        entries.setdefault(entry.kind, {})[entry.id] = entry
    return Library(entries), [str(p) for p in reading.problems]  # type: ignore[arg-type]


def say(text: object) -> None:
    """One line on standard output."""
    sys.stdout.write(f"{text}\n")


def main(paths: list[str]) -> int:
    """Print what each file gives; 1 if any has a problem."""
    library, problems = reference()
    wanted = {Path(path).stem for path in paths} or set(library.calculators)
    bad = 0
    for problem in problems:
        if any(f"calculators/{name}.yaml" in problem for name in wanted):
            say(problem)
            bad = 1
    for name in sorted(wanted & set(library.calculators)):
        entry = library.calculators[name]
        assert isinstance(entry, Calculator)
        start = time.perf_counter()
        compiled, found = compile_calculator(entry, library)
        say(f"== {name} ({time.perf_counter() - start:.2f} s)")
        for item in found:
            say(item)
            bad = 1
        if compiled is None:
            continue
        outcome = compiled.evaluate({})
        for label, result in outcome.results.items():
            verdict = f"   [{result.verdict.mark}] {result.verdict.words}" if result.verdict else ""
            say(f"  {label} = {result.text} {result.uncertainty_text} {result.dominant_text}{verdict}")
        for line in outcome.working:
            say(f"    {line}")
    return bad


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
