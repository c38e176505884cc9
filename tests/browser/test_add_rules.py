"""The forms check by the builder's own rules and write the builder's own form.

Outside references: none; the builder itself is the judge. What the page says of an entry is held against what reading, linking
and auditing say of the same, over every shipped entry and over entries with one value spoilt.
"""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchlore.entries.kinds import FOLDER_OF
from benchlore.linking.library import Library
from benchlore.quantity import QuantityProblem, parse_quantity
from benchlore.sharing.naming import id_for
from benchlore.sharing.tidy import tidy
from forms import problems_of, retyped, typed

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"

FORMS = ("finding", "fault", "family")
NAMED: list[tuple[str, dict[str, str], list[str]]] = [
    ("finding", {"date": "2026-01-02", "family": family, "technician": who}, taken)
    for family in ("tarn-15", "", "a" * 60, f"{'b' * 41}-{'c' * 18}")
    for who in ("RK", "", "Zoë", "ABCDEFGH", "4", "\uff2b.")
    for taken in ([], ["2026-01-02-tarn-15-rk", "2026-01-02-tarn-15-a"])
] + [("fault", {"title": title}, ["hum"]) for title in ("Hum", "", "Zoë\u2019s \u201cnew\u201d fault!", "x" * 70, "½ \u017fhort", "\u0130n \u1e9e")]  # fmt: skip
SHIPPED = [
    (kind, path)
    for kind in FORMS
    for shelf in (ROOT / "kb/reference", ROOT / "kb/workshop")
    for path in sorted((shelf / FOLDER_OF[kind]).glob("*.yaml"))
]
SPOILT = (
    "yes", "no", "unknown", "null", "~", "TODO", "12", "-3", "999999999", "0", "1.5", "1e400", "nan", "372 V", "372", "5..3 V", "3..5 V",
    "1,500 V", "12 mA", "4k7", "22:1", "95 %", "1/4 in", "2024-02-30", "2024-02-29", "0000-01-01", "filter-dried", "no-such-thing", "No_Id", "a--b", "a" * 61, "x" * 500,
    "often", "almost always", "on", "\u202eabc", "a\u200bb", "\uff11\uff12", "see [it](fault:nothing-there)", "see [it](fault:filter-dried)",
    "call +49 30 555 0100 22", "jo@example.org", "- a", "a: b", "# a", "'quoted'", '"', "[a, b]", "{a: b}", "a #b", "&a", "*a", "!a", "%a", "@a", "?", "...", "---", "one\ntwo",
)  # fmt: skip


@pytest.fixture(scope="module")
def whole(chromium: Any, whole_site: Path) -> Iterator[Any]:
    """The page of forms of the shipped book."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{whole_site.as_uri()}/add.html")
    yield page
    context.close()


@pytest.fixture(scope="module")
def small(chromium: Any, small_site: Path) -> Iterator[Any]:
    """The page of forms of the small book."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(f"{small_site.as_uri()}/add.html")
    yield page
    context.close()


ASK = "(asked) => asked.map(([kind, raw]) => [Benchlore.add.check(kind, raw).map((one) => one.path), Benchlore.add.write(kind, raw)])"


@pytest.mark.parametrize("kind", FORMS)
def test_shipped_entries_typed_into_the_form_come_out_the_same(whole: Any, whole_library: Library, kind: str) -> None:
    """Every shipped entry of the three kinds: nothing to mend but its own title, the same meaning, and house form."""
    paths = [path for of, path in SHIPPED if of == kind]
    assert len(paths) > 5
    raws = [typed(path, kind) for path in paths]
    for path, raw, (wrong, text) in zip(paths, raws, whole.evaluate(ASK, [[kind, raw] for raw in raws]), strict=True):
        assert [where for where in wrong if where != "title"] == [], path
        assert retyped(text, kind) == raw, path
        assert tidy(text, kind) == text, path


def leaves(raw: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every text in what was typed."""
    if isinstance(raw, str):
        yield path
    else:
        for key, item in raw.items() if isinstance(raw, dict) else enumerate(raw):
            yield from leaves(item, (*path, key))


def spoil(raw: Any, path: tuple[Any, ...], text: str) -> Any:
    """The same with another text in one place."""
    made = copy.deepcopy(raw)
    inner = made
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = text
    return made


def root_of(path: str) -> str:
    """The field and item in which a problem stands, apart from how deep either side names it."""
    return re.split(r"[.\[]", path)[0]


@pytest.mark.no_cover
@pytest.mark.parametrize(
    ("kind", "id"), [("finding", "2025-03-04-tarn-15"), ("fault", "filter-dried"), ("family", "moor-60")], ids=FORMS
)
def test_page_and_builder_agree_on_spoilt_values(small: Any, small_library: Library, kind: str, id: str) -> None:
    """In each text of an entry each of the odd words: both refuse it, or both take it, in the same field."""
    raw = {**typed(SMALL / FOLDER_OF[kind] / f"{id}.yaml", kind), "title": "Something new"}
    raw.pop("was", None)
    places = list(leaves(raw))
    places = places if kind != "family" else places[::4]
    cases = [(path, text, spoil(raw, path, text)) for path in places for text in SPOILT]
    answers = small.evaluate(ASK, [[kind, case] for _, _, case in cases])
    odd = []
    for (path, text, case), (wrong, written) in zip(cases, answers, strict=True):
        theirs = problems_of(written, kind, "a-new-one", small_library)
        if {root_of(where) for where in wrong} != {root_of(where) for where in theirs}:
            odd.append((path, text, wrong, sorted(theirs), case and written.splitlines()[:1]))
    assert not odd, f"{len(odd)} of {len(cases)}: " + json.dumps(odd[:12], indent=1)


def test_missing_fields_are_named_alike(small: Any, small_library: Library) -> None:
    """An empty form and an empty record lack the same fields."""
    for kind in FORMS:
        ((wrong, text),) = small.evaluate(ASK, [[kind, {"title": "A title"}]])
        theirs = problems_of(text, kind, "a-new-one", small_library)
        wanted = {root_of(where) for where in theirs}
        assert wanted - {"shows"} <= {root_of(where) for where in wrong}, kind


def test_names_of_files(small: Any) -> None:
    """A free name is made of the title, of a finding from day, family and initials; a taken or bad one is refused in words."""
    make = "([kind, raw]) => Benchlore.add.idFor(kind, raw)"
    assert small.evaluate(make, ["fault", {"title": "Zoë's \u201cnew\u201d fault, twice!"}]) == "zoe-s-new-fault-twice"
    assert small.evaluate(make, ["fault", {"title": "Filter dried"}]) == "filter-dried-2"
    day = {"date": "2026-01-02", "family": "tarn-15", "technician": "RK"}
    assert small.evaluate(make, ["finding", day]) == "2026-01-02-tarn-15-rk"
    told = "(asked) => asked.map(([kind, raw, taken]) => kind === 'finding' ? Benchlore.naming.finding(raw.date || '', raw.family || '', raw.technician || '', (id) => taken.includes(id)) : Benchlore.naming.titled(raw.title || '', (id) => taken.includes(id)))"
    assert small.evaluate(told, NAMED) == [id_for(kind, raw, taken) for kind, raw, taken in NAMED]
    told = small.evaluate(
        "() => ['', 'filter-dried', 'con', 'A b', 'fine'].map((id) => Benchlore.add.checkId('fault', id))"
    )
    assert [bool(words) for words in told] == [True, True, True, True, False]


def test_quantities_read_alike(small: Any) -> None:
    """Entry quantities: the same texts taken, the same values in SI, the same words of refusal."""
    texts = [
        *SPOILT,
        "4k7",
        "2R2",
        "1 Mohm",
        "-45..-30 V",
        "\u2212 38 V",
        "1 1/2 in",
        "10 lbf in",
        "97 dB",
        "105 degC",
        "5 furlongs",
        "0.022 uF",
        "22n",
        "12 µA",
        "3 m",
    ]
    cases = [
        [text, dimension]
        for text in texts
        for dimension in ("voltage", "resistance", "ratio", "length", "any", "number")
    ]
    said = small.evaluate(
        "(cases) => cases.map(([text, dimension]) => { try { const q = Benchlore.quantity.readEntry(text, dimension); return [q.low, q.high]; } catch (e) { return e.message; } })",
        cases,
    )
    for (text, dimension), mine in zip(cases, said, strict=True):
        try:
            quantity = parse_quantity(text, dimension)
            assert mine == [quantity.low, quantity.high], (text, dimension)
        except QuantityProblem as problem:
            assert isinstance(mine, str), (text, dimension, problem.message)
            assert mine == problem.message or dimension == "number", (text, dimension)
