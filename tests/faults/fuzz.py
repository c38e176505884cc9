"""Looks for texts that the readers neither read nor refuse, led by which code each text reaches (atheris, a build of libFuzzer).

    pip install atheris          # not in the lock: it is built for few machines
    python tests/faults/fuzz.py quantity|algebra|yaml|job --runs 200000

Whatever is raised besides the reader's own refusal is an accident: it is printed with the text that led to it, and the run
ends with another status than 0.  Not run in CI: ``tests/promises/test_fuzz.py`` draws texts for the same readers there.
"""

from __future__ import annotations

import argparse
import math
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "builder"))

Reader = Callable[[bytes], None]
SEEDS = {
    "quantity": ["372 V", "4k7", "95..115 %", "1/4-20", "-38 mV", "1:10", "0.022 uF", "12,5 mA", "5881", "unknown"],
    "algebra": ["a * b / (c + 1)", "if a > b then c else 0", "sum(x * y for x, y in zip(xs, ys))", "sqrt(a ** 2 + b ** 2)", "a == 'word'", "-a + 3e-3"],
    "yaml": [path.read_text("utf-8") for path in sorted((ROOT / "tests" / "kb_small").rglob("*.yaml"))],
    "job": ['{"what": "benchlore job", "version": 1, "fields": {"family": "tarn-15", "minutes": "40 min", "sign/hum": "present"}}'],
}


def quantity(data: bytes) -> None:
    """A finite quantity or its refusal."""
    from benchlore.quantity import QuantityProblem, parse_quantity, read_input

    text = data.decode("utf-8", "surrogateescape")
    for read in (lambda: parse_quantity(text, "any"), lambda: read_input(text, "V").quantity):
        try:
            assert math.isfinite(read().value)
        except QuantityProblem:
            continue


def algebra(data: bytes) -> None:
    """A tree or its refusal."""
    from benchlore.reckoning.algebra import AlgebraProblem, parse, parse_condition, parse_equation

    text = data.decode("utf-8", "replace")
    for read in (parse, parse_condition, parse_equation):
        try:
            read(text)
        except AlgebraProblem:
            continue


def yaml(data: bytes) -> None:
    """Nodes or a refusal; then, as a term, an entry or problems."""
    from benchlore.reading.characters import decode
    from benchlore.reading.nodes import Refused, compose

    text, problems = decode(data, "x.yaml")
    if not problems:
        try:
            compose(text, "x.yaml")
        except Refused:
            return


def job(data: bytes) -> None:
    """Fields of a finding, or its refusal."""
    from benchlore.sharing.jobfile import NoJob, finding_of

    path = Path(tempfile.gettempdir()) / "benchlore-fuzz-job.json"
    path.write_bytes(data)
    try:
        finding_of(path)
    except NoJob:
        return


READERS: dict[str, Reader] = {"quantity": quantity, "algebra": algebra, "yaml": yaml, "job": job}


def main() -> None:
    """Run one reader on so many texts."""
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("reader", choices=READERS)
    words.add_argument("--runs", type=int, default=200_000)
    words.add_argument("--seconds", type=int, default=300)
    asked = words.parse_args()
    import atheris  # type: ignore[import-not-found,import-untyped]

    with atheris.instrument_imports(include=["benchlore"]):
        READERS[asked.reader](SEEDS[asked.reader][0].encode())  # imports what is to be led by
    with tempfile.TemporaryDirectory() as corpus:
        for number, seed in enumerate(SEEDS[asked.reader]):
            (Path(corpus) / str(number)).write_text(seed, "utf-8")
        limits = [f"-runs={asked.runs}", f"-max_total_time={asked.seconds}", "-seed=1", "-timeout=20", "-max_len=4096", "-print_final_stats=1"]
        atheris.Setup([sys.argv[0], *limits, corpus], READERS[asked.reader])
        atheris.Fuzz()


if __name__ == "__main__":
    main()
