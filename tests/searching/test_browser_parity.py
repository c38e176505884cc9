"""The page's own scripts, run in Node on the exported index, answer as the terminal does: same order, scores within 1e-6, same lines."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
import yaml

from benchlore.linking.library import Library
from benchlore.searching.documents import documents_of
from benchlore.searching.export import ALPHABET, CARRY, LAST, build_index, files_of, number
from benchlore.searching.finding import find, ranked_for
from benchlore.searching.indexing import Index, index_of
from benchlore.searching.store import Store, in_memory
from search.measures import QUERIES, cut_short, judged, misspelt
from searching.shelf import DOCUMENTS

SCRIPTS = Path(__file__).resolve().parents[2] / "builder" / "benchlore" / "rendering" / "assets" / "js"
NODE = shutil.which("node")
ODD = (
    "", " ", "the", "h", "in", "hum when ", "a" * 10_000, "hum " * 2_500, "🎸🎸", "\u202eabc\u202c", ".*+?^${}()|[]\\", "<script>alert(1)</script>",
    "İstanbul", "ﬁlter", "１２ＡＸ７", "title:hum AND NOT (x OR y)~2^3", "\ud800", "x" * 41 + " hum", "' \" ` \\", "0", "6-32 #6-32", "12ax7s",
)  # fmt: skip

pytestmark = pytest.mark.skipif(NODE is None, reason="Node is not here")


def replay(index: Index, queries: Sequence[str], folder: Path, family: str | None = None) -> list[dict[str, Any]]:
    """What the page's scripts answer."""
    for path, content in files_of(index).items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(content)
    asked = "\n".join(json.dumps({"query": query, "family": family}) for query in queries)
    command = [str(NODE), str(Path(__file__).with_name("replay.js")), str(folder), str(SCRIPTS)]
    ran = subprocess.run(command, input=asked, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False)
    assert ran.returncode == 0, ran.stderr
    return [json.loads(line) for line in ran.stdout.splitlines()]


def hold(store: Store, queries: Sequence[str], answers: Sequence[dict[str, Any]], family: str | None = None) -> None:
    """Both answered alike."""
    assert len(answers) == len(queries)
    for words, said in zip(queries, answers, strict=True):
        _, ranked = ranked_for(store, words, family=family)
        assert [one.document for one in ranked] == [document for document, _ in said["ranked"]], words
        assert all(abs(one.score - score) < 1e-6 for one, (_, score) in zip(ranked, said["ranked"], strict=True)), words
        outcome = find(store, words, family=family)
        assert [[c.typed, c.shown] for c in outcome.corrections] == [[c["typed"], c["shown"]] for c in said["corrections"]], words
        lines = [(url + (f"#{anchor}" if anchor and "#" not in url else ""), text, marks) for url, anchor, text, marks in said["shown"]]
        lines = lines[: len(outcome.results)]  # the list of ten; what is too faint to show is cut off alike
        assert said["shown_count"] == outcome.total, words
        assert [(one.url, one.snippet, [list(mark) for mark in one.marks]) for one in outcome.results] == lines, words


def test_small_shelf_and_odd_input(tmp_path: Path) -> None:
    """Every odd input is words like any other; nothing throws on either side."""
    index = index_of(DOCUMENTS)
    queries = [*ODD, "hum", "low hum", "what is hum", "plate meaning", "what's an EL84", "el 84", "osilation", "output transformer", "valve anode", "6v6", "motorboat"]
    hold(in_memory(index), queries, replay(index, queries, tmp_path, "heron-30"), "heron-30")


@pytest.mark.no_cover
def test_all_judged_queries(whole_library: Library, tmp_path: Path) -> None:
    """The judged queries, each also misspelt and cut short, and the fresh ones, on the shipped shelves."""
    index = index_of(documents_of(whole_library))
    queries = [guise(one.words) for one in judged() for guise in (str, misspelt, cut_short)]
    queries += [one["words"] for path in sorted(QUERIES.parent.glob("fresh*.yaml")) for one in yaml.safe_load(path.read_text(encoding="utf-8"))]
    answers = replay(index, queries, tmp_path)
    hold(in_memory(index), queries, answers)
    times = sorted(one["ms"] for one in answers)
    assert times[len(times) * 99 // 100] < 100  # ms of the processor in Node


def test_same_documents_same_bytes() -> None:
    """The index holds no clock, no order of chance and nothing of the machine."""
    assert build_index(DOCUMENTS) == build_index(DOCUMENTS)


def test_scripts_are_inert() -> None:
    """Plain ASCII, and none of the signs that could end a script."""
    for path, content in build_index(DOCUMENTS).items():
        assert content.isascii() and not set(b"<>&") & set(content.replace(b"Benchlore", b"")), path


@pytest.mark.parametrize("value", [0, 1, LAST - 1, LAST, LAST + 1, 500, 5_000, 123_456])
def test_numbers_can_be_read_back(value: int) -> None:
    """The way of writing numbers loses none."""
    total, times = 0, 1
    for letter in number(value):
        total += times * ALPHABET.index(letter)
        times *= CARRY
    assert total == value
