"""Python and the browser give the same answer, to 1e-9 and to the letter, over random inputs of every calculator."""

from __future__ import annotations

import json
import random
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.reckoning.points import SHAPE, answer, differences, points
from tests.reckoning.try_calculator import reference

from benchlore.quantity import QuantityProblem, read_input
from benchlore.reckoning.calculate import compile_calculator
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.script import calculator_script, grammar_script
from benchlore.units import UNITS

SCRIPTS = Path(__file__).resolve().parents[2] / "builder" / "benchlore" / "rendering" / "assets" / "js"
LEAST_POINTS = 2320
ASK = SHAPE + "const ask = (cases) => cases.map(([id, texts]) => shape(Benchlore.evaluate(id, texts, {})));"

Ask = Callable[[str, Any], Any]
Cases = list[tuple[str, dict[str, str]]]


@pytest.fixture(scope="module")
def sums() -> dict[str, Compiled]:
    """Every calculator of the reference shelf, compiled."""
    library, _ = reference()
    made = {}
    for name, entry in library.calculators.items():
        compiled, problems = compile_calculator(entry, library)
        assert compiled is not None, "\n".join(map(str, problems))
        made[name] = compiled
    return made


@pytest.fixture(scope="module")
def sources(sums: dict[str, Compiled]) -> list[tuple[str, str]]:
    """The scripts of a calculator's page, every calculator's own among them, in the order in which pages load them."""
    shipped = [(name, (SCRIPTS / name).read_text(encoding="utf-8")) for name in ("quantity.js", "reckon.js", "answer.js")]
    return [("grammar.js", grammar_script()), *shipped, *((f"{name}-sum.js", calculator_script(one)) for name, one in sums.items())]


@pytest.fixture(scope="module")
def cases(sums: dict[str, Compiled]) -> Cases:
    """At least 2,000 sets of inputs over all calculators."""
    each = -(-LEAST_POINTS // len(sums))
    return [(name, texts) for name, one in sums.items() for texts in points(one, each, seed=1)]


@pytest.fixture(scope="module")
def ours(sums: dict[str, Compiled], cases: Cases) -> list[dict[str, Any]]:
    """Python's answers."""
    return [answer(sums[name], texts) for name, texts in cases]


@pytest.fixture(scope="module")
def node(sources: list[tuple[str, str]], tmp_path_factory: pytest.TempPathFactory) -> Ask:
    """Runs an expression over ``given`` in Node, the scripts loaded."""
    program = shutil.which("node")
    if program is None:
        pytest.skip("Node is not installed; Chromium runs the same checks")
    folder = tmp_path_factory.mktemp("node")

    def run(expression: str, given: Any) -> Any:
        reading = "const given = JSON.parse(require('fs').readFileSync(0, 'utf8'));"
        text = "\n".join([*(text for _, text in sources), ASK, reading, f"console.log(JSON.stringify({expression}));"])
        (folder / "run.js").write_text(text, encoding="utf-8")
        done = subprocess.run([program, folder / "run.js"], input=json.dumps(given), capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr[-2000:]
        return json.loads(done.stdout)

    return run


@pytest.fixture(scope="module")
def browser(sources: list[tuple[str, str]], tmp_path_factory: pytest.TempPathFactory, chromium: Any) -> Ask:
    """Runs an expression over ``given`` in a page opened from disk in Chromium, the scripts loaded under the site's policy."""
    folder = tmp_path_factory.mktemp("chromium page")
    for name, text in [*sources, ("ask.js", ASK.replace("const shape", "globalThis.shape").replace("const ask", "globalThis.ask"))]:
        (folder / name).write_text(text, encoding="utf-8")
    policy = "default-src 'none'; script-src 'self'; require-trusted-types-for 'script'; trusted-types 'none'"
    tags = "".join(f'<script defer src="{name}"></script>' for name, _ in [*sources, ("ask.js", "")])
    (folder / "page.html").write_text(f'<!doctype html><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="{policy}">{tags}', encoding="utf-8")
    page = chromium.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto((folder / "page.html").as_uri())
    assert not errors
    return lambda expression, given: page.evaluate(f"(given) => {expression}", given)


@pytest.mark.no_cover
@pytest.mark.parametrize("engine", ["node", "browser"])
def test_answers_agree(engine: str, cases: Cases, ours: list[dict[str, Any]], request: pytest.FixtureRequest) -> None:
    """Values, uncertainties, verdicts, working and refusals of 2,320 random inputs, solved unknowns among them."""
    theirs = request.getfixturevalue(engine)("ask(given)", cases)
    assert len(cases) >= 2000 and len(theirs) == len(cases)
    wrong = [(case, found) for case, mine, other in zip(cases, ours, theirs, strict=True) if (found := differences(mine, other))]
    assert not wrong, wrong[:3]
    answered = sum(1 for other in theirs if not other["problems"])
    assert answered > 0.8 * len(cases)


def test_no_number_is_ever_nan(cases: Cases, node: Ask) -> None:
    """No answer holds NaN, Infinity or null where a number belongs, nor says so in a text."""
    for other in node("ask(given)", cases[::7]):
        text = json.dumps(other)
        assert "NaN" not in text and "Infinity" not in text and "undefined" not in text and "null," not in text.replace('"verdict": null', "").replace('"uncertainty": null', "")


ALPHABET = ["0", "1", "4", "7", ".", ",", "-", "+", " ", "k", "K", "M", "R", "u", "n", "p", "m", "V", "A", "ohm", "F", "Ω", "µ", "μ", "−", "/", "in", "..", ":1", "%", "e5", "lbf in", "٣", "\u00a0", "<b>", "W"]


def typed_texts() -> list[tuple[str, str]]:
    """Two thousand texts such as a slipping finger types, each with the unit of its field."""
    rng = random.Random(7)
    units = ["V", "mA", "ohm", "kohm", "uF", "mm", "in", "lbf in", "%", "1", "h", "degC", "dB", "mA/V", "Hz", "W"]
    return [("".join(rng.choice(ALPHABET) for _ in range(rng.randint(0, 6))), rng.choice(units)) for _ in range(2000)]


def read(text: str, unit: str) -> list[Any]:
    """What Python makes of a text: value and step, or what is wrong with it."""
    try:
        reading = read_input(text, unit)
    except QuantityProblem as problem:
        return ["refused", problem.message, problem.hint]
    return [reading.quantity.value, reading.step]


@pytest.mark.parametrize("engine", ["node", "browser"])
def test_typed_text_is_read_alike(engine: str, request: pytest.FixtureRequest) -> None:
    """Both grammars read the same bits from the same text, and refuse the rest in the same words, hints with them."""
    one = "((text, unit) => { try { const r = Benchlore.quantity.readInput(text, unit); return [r.value, r.step]; } catch (e) { return ['refused', e.message, e.hint]; } })"
    texts = [*typed_texts(), *((f"12.5 {name}", name) for name in UNITS if name != "1")]
    theirs = request.getfixturevalue(engine)(f"given.map(([text, unit]) => {one}(text, unit))", texts)
    wrong = [(text, mine, other) for text, other in zip(texts, theirs, strict=True) if (mine := read(*text)) != other]
    assert not wrong, wrong[:5]


def test_figures_are_shown_alike(node: Ask) -> None:
    """Rounding, units and prefixes give the same text in both, to the last figure."""
    from benchlore.quantity import engineering, rounded, shown
    from benchlore.units import DIMENSIONS

    rng = random.Random(3)
    given = [[rng.choice([-1, 1]) * 10 ** rng.uniform(-14, 14), rng.randint(1, 9), rng.choice(list(UNITS)), rng.choice(list(DIMENSIONS))] for _ in range(1500)]
    given += [[float(f"{a}{b}5e{p}"), 2 + (b > 0), "V", "voltage"] for a in range(1, 10) for b in range(10) for p in (-3, 0, 2)]
    mine = [[rounded(v, d), shown(v, u, d), engineering(v, n, d)] for v, d, u, n in given]
    assert node("given.map(([v, d, u, n]) => [Benchlore.quantity.rounded(v, d), Benchlore.quantity.shown(v, u, d), Benchlore.quantity.engineering(v, n, d)])", given) == mine


WRONG_INPUTS = {"plate_volts": ["", "abc", "35 mA", "1,500", "0", "1e9", "5000", "nan", "-3", "12 ohm", "12 v", "12 vlot"], "sense_volts": ["x", "1..2"], "tube": ["nosuch", ""], "sense_resistor": ["1 m", "0"]}


def test_wrong_input_is_refused_in_the_same_words(sums: dict[str, Compiled], node: Ask) -> None:
    """Empty, text, wrong unit, beyond a hard limit: a sentence for that field, and no result at all."""
    cases = [("idle-dissipation", {name: text}) for name, texts in WRONG_INPUTS.items() for text in texts]
    for (name, texts), other in zip(cases, node("ask(given)", cases), strict=True):
        mine = answer(sums[name], texts)
        field = next(iter(texts))
        assert list(mine["problems"]) == list(other["problems"]) == [field] and not other["results"] and not mine["results"]
        assert mine["problems"] == other["problems"]
