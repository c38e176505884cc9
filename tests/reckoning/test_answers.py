"""Answers in words: refusals, lists and tables, results as words and markings, the working, the JSON of reckon."""

from __future__ import annotations

import json
import random
from itertools import pairwise
from pathlib import Path

import pytest
from tests.reckoning.making import made, simple
from tests.reckoning.try_calculator import reference

from benchlore.reckoning.calculate import compile_calculator

TABLE = """\
inputs:
  ohms: {label: Resistor, unit: ohm, kind: list, table: parts, default: 1k; 2k, tolerance: 5 %, least: 1 ohm, most_rows: 4}
  watts: {label: Rated for, unit: W, kind: list, table: parts, default: 1 W; 1 W, most_rows: 4}
  pieces: {label: Pieces, unit: '1', kind: count, default: '2', least: '1', most: '9'}
results:
  each: {label: Each, unit: ohm, gives: '[r / pieces for r in ohms]'}
  joined: {label: Joined, unit: ohm, gives: 'sum(r * w / watt for r, w in zip(ohms, watts))'}
  mean_of: {label: Mean, unit: ohm, gives: mean(each)}
"""


@pytest.mark.parametrize(
    ("texts", "field", "says"),
    [
        ({"ohms": "1k"}, "watts", "There are 2 values here and 1 in Resistor"), ({"ohms": "1k; x"}, "ohms", "Row 2:"), ({"ohms": ""}, "ohms", "Row 1: nothing"), ({"ohms": "1k;1k;1k;1k;1k"}, "ohms", "1 to 4 are taken"),
        ({"ohms": "1k; 0.5"}, "ohms", "Row 2: \"0.5\" is below the least"), ({"pieces": "1.5"}, "pieces", "not a whole number"), ({"pieces": "10"}, "pieces", "9 or less"), ({"nosuch": "1"}, "nosuch", "has no input"),
        ({"oms": "1"}, "oms", "did you mean ohms?"),
    ],
)
def test_refusals(texts: dict[str, str], field: str, says: str) -> None:
    """What is wrong with an input is a sentence under its name, and there are no results."""
    outcome = made(TABLE).evaluate(texts)
    assert says in outcome.problems[field] and outcome.problems[field].endswith((".", "?"))
    assert not outcome.results and not outcome.working


def test_lists_give_columns() -> None:
    """A list result has an item for each row, stands beside the table it is made over, and feeds sums."""
    compiled = made(TABLE)
    outcome = compiled.evaluate({"ohms": "1k; 3k; 4k7", "watts": "1; 2; 1"})
    assert outcome.results["each"].items == ("500 Ω", "1500 Ω", "2350 Ω")
    assert outcome.results["joined"].value == pytest.approx(1000 + 6000 + 4700)
    assert next(form for form in compiled.results if form.name == "each").table == "parts"
    assert outcome.as_json()["results"]["each"]["value"] == pytest.approx([500, 1500, 2350])


def test_words_and_markings() -> None:
    """Results can be words, letter codes and digit codes; inputs too (IEC 60062, from memory)."""
    body = """\
inputs:
  code: {label: Code, unit: ohm, kind: letters, default: 470RK}
  cap: {label: Capacitor, unit: F, kind: digits, default: 104J}
results:
  ohms: {label: Value, unit: ohm, gives: code}
  band: {label: Tolerance, unit: '%', gives: code_tolerance}
  colour: {label: First, unit: '1', gives: 'digit(code/ohm_, 1)', shown: word, words: [black, brown, red, orange, yellow]}
  letters: {label: Letters, unit: F, gives: cap, shown: letters}
  figures: {label: Figures, unit: ohm, gives: code*10, shown: digits}
"""
    compiled = made(body)
    texts = {name: result.text for name, result in compiled.evaluate({}).results.items()}
    assert texts == {"ohms": "470 Ω", "band": "10 %", "colour": "yellow", "letters": "100n", "figures": "472"}
    assert compiled.evaluate({"code": "9K1"}).results["colour"].text == "—"
    assert "letter code" in compiled.evaluate({"code": "47"}).problems["code"]


def test_the_working_is_whole() -> None:
    """Each line says the formula, the numbers, and what it comes to; powers and negatives are bracketed; only the arm that holds is shown."""
    body = simple("(p**2 + b*a) / c when p < 0 else p * b / c", "W", let="{p: b - a, q: p / volt}")
    lines = made(body).evaluate({}).working
    assert lines[0] == "p = b − a = 4 V − 10 V = -6 V"
    assert lines[1] == "q = p / 1 V = (-6 V) / 1 V = -6"
    assert lines[2] == "Out = (p^2 + b × a) / c when p < 0 else p × b / c = ((-6 V)^2 + 4 V × 10 V) / 2 Ω = 38 W"


@pytest.mark.parametrize("name", sorted(reference()[0].calculators))
def test_the_working_says_nothing_twice(name: str) -> None:
    """A line that has no numbers to put in, or comes to what it says already, says it once."""
    library, _ = reference()
    compiled, _ = compile_calculator(library.calculators[name], library)
    assert compiled is not None
    for line in compiled.evaluate({}).working:
        parts = line.split(" = ")
        assert all(one != other for one, other in pairwise(parts)), line


def test_the_json_of_reckon() -> None:
    """The shape that other programs read: SI values, units, uncertainty, text, verdict in words, cautions."""
    library, _ = reference()
    compiled, problems = compile_calculator(library.calculators["idle-dissipation"], library)
    assert compiled is not None, problems
    data = json.loads(json.dumps(compiled.evaluate({"tube": "EL34", "plate_volts": "400V", "sense_volts": "38mV"}).as_json(), allow_nan=False))
    assert data["calculator"] == "idle-dissipation"
    assert data["inputs"]["plate_volts"] == {"value": 400.0, "unit": "V"} and data["inputs"]["tube"] == {"value": "el34", "unit": ""}
    power = data["results"]["plate_power"]
    assert power["value"] == pytest.approx((400 - 0.038) * 0.035) and power["unit"] == "W" and power["uncertainty"] > 0 and power["text"] == "14 W"
    assert isinstance(data["results"]["share"]["verdict"], str) and data["results"]["share"]["mark"] in ("good", "mind", "stop", "note")
    assert data["cautions"] and "problems" not in data


def test_formulas_are_safe_markup() -> None:
    """The MathML is made of names and numbers; a label with signs of markup is escaped."""
    body = simple("a / c when a > b else b / c", "A").replace("label: Out", "label: 'Out <b> & more'")
    compiled = made(body)
    line = compiled.formulas[-1]
    assert "<b>" not in line.symbols and "&lt;b&gt; &amp; more" in line.symbols
    assert '<mn data-put="a">10 V</mn>' in line.numbers


@pytest.mark.parametrize("name", sorted(reference()[0].calculators))
def test_every_calculator_of_the_book(name: str) -> None:
    """Each calculator proves its dimensions, answers for its defaults, meets its worked examples, and shows no NaN."""
    library, _ = reference()
    compiled, problems = compile_calculator(library.calculators[name], library)
    assert compiled is not None and not problems, "\n".join(map(str, problems))
    outcome = compiled.evaluate({})
    told = " ".join([*(r.text for r in outcome.results.values()), *outcome.working])
    assert outcome.results and "nan" not in told.lower().split() and "inf" not in told.lower().split()


def test_the_example_of_the_manual_is_sound() -> None:
    """The calculator printed in kb/CALCULATORS.md compiles, and answers as it says."""
    manual = (Path(__file__).resolve().parents[2] / "kb" / "CALCULATORS.md").read_text(encoding="utf-8")
    text = manual.split("```yaml\n", 1)[1].split("```", 1)[0]
    body, worked = text[text.index("inputs:") : text.index("worked:")], text[text.index("worked:") :]
    assert made(body, worked).evaluate({}).results["drop"].text == "10 V"


@pytest.mark.parametrize("name", sorted(reference()[0].calculators))
def test_nothing_typed_makes_it_fall(name: str) -> None:
    """Whatever is typed into whichever field, there is an answer or a sentence, and never a number that is none."""
    library, _ = reference()
    compiled, problems = compile_calculator(library.calculators[name], library)
    assert compiled is not None, problems
    rng = random.Random(name)
    odd = ["", "0", "-1", "1e9", "0,5", "1,500", "999999999999999 kV", "5 A;;", ";", "x" * 3000, "1;" * 900, "\u0663", "constructor", "__proto__", "1/0", "12", "0.001", "∞", "NaN", "<script>", "1..2", "4k7", "104"]
    for _ in range(60):
        texts = {form.name: rng.choice(odd) for form in compiled.inputs if rng.random() < 0.4}
        outcome = compiled.evaluate(texts, {form.name: rng.choice(odd) for form in compiled.inputs if form.tolerance and rng.random() < 0.2})
        json.dumps(outcome.as_json(), allow_nan=False)
        assert bool(outcome.problems) != bool(outcome.results)
