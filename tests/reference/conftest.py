"""What the checks against outside references share: the reference shelf, its calculators, and a circuit simulator."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.linking.library import Library
from benchlore.linking.link import link
from benchlore.reading.shelf import read_shelves
from benchlore.reckoning.calculate import compile_calculator
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.outcome import ResultValue

REFERENCE = Path(__file__).resolve().parents[2] / "kb" / "reference"

Reckon = Callable[..., dict[str, ResultValue]]
Spice = Callable[[str], dict[str, float]]

# Koren's laws (Glass Audio 8, no. 5, 1996, with the errata's factor of two) as netlist subcircuits of our own.
KOREN = """
.subckt triode a g k mu=100 ex=1.4 kg1=1060 kp=600 kvb=300
Be e 0 V=V(a,k)/{kp}*ln(1+exp({kp}*(1/{mu}+V(g,k)/sqrt({kvb}+V(a,k)*V(a,k)))))
Re e 0 1G
Ba a k I=2*pow(max(V(e),0),{ex})/{kg1}
Rg g k 1G
.ends
.subckt pentode a s g k mu=8.7 ex=1.35 kg1=1460 kg2=4500 kp=48 kvb=12
Be e 0 V=V(s,k)/{kp}*ln(1+exp({kp}*(1/{mu}+V(g,k)/max(V(s,k),1m))))
Re e 0 1G
Ba a k I=2*pow(max(V(e),0),{ex})/{kg1}*atan(V(a,k)/{kvb})
Bs s k I=pow(max(V(s,k)/{mu}+V(g,k),0),{ex})/{kg2}
Rg g k 1G
.ends
"""


@pytest.fixture(scope="session")
def library() -> Library:
    """The reference shelf, read and linked."""
    reading = read_shelves([REFERENCE])
    return link(reading.entries, reading.broken).library


@pytest.fixture(scope="session")
def calculator(library: Library) -> Callable[[str], Compiled]:
    """A calculator by its id, compiled once a session."""
    done: dict[str, Compiled] = {}

    def by_id(name: str) -> Compiled:
        if name not in done:
            compiled, problems = compile_calculator(library.calculators[name], library)
            assert compiled is not None, problems
            done[name] = compiled
        return done[name]

    return by_id


@pytest.fixture(scope="session")
def reckon(calculator: Callable[[str], Compiled]) -> Reckon:
    """``reckon("ripple", current="90 mA")``: the results by name; inputs left out keep their defaults."""

    def run(name: str, **given: str) -> dict[str, ResultValue]:
        outcome = calculator(name).evaluate(given)
        assert not outcome.problems, outcome.problems
        return dict(outcome.results)

    return run


@pytest.fixture(scope="session")
def spice(tmp_path_factory: pytest.TempPathFactory) -> Spice:
    """Runs a netlist (without title and ``.end``) in ngspice; every ``name = number`` that it prints, by name."""
    program = shutil.which("ngspice")
    if program is None:
        pytest.skip("ngspice is not installed")
    folder = tmp_path_factory.mktemp("ngspice")

    def run(deck: str) -> dict[str, float]:
        path = folder / "deck.cir"
        path.write_text(f"* written by a test\n{KOREN}\n{deck}\n.end\n")
        done = subprocess.run([program, "-b", path.name], cwd=folder, capture_output=True, text=True, timeout=120, check=False)
        found = re.findall(r"^\s*(\S+)\s*=\s*(-?\d\S*)", done.stdout, re.MULTILINE)
        assert found, done.stdout + done.stderr
        return {name.lower(): float(value) for name, value in found}

    return run
