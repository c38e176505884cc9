"""Whoosh's index on disk: right, warm, brought up to date by what changed, and never in the way."""

from __future__ import annotations

import dataclasses
import os
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore.searching.document import Documents
from benchlore.searching.finding import find
from benchlore.searching.indexing import index_of
from benchlore.searching.store import BOOK, Store, in_memory, store_of
from searching.shelf import DOCUMENTS

QUERIES = ("hum", "low hum", "bias", "12ax7", "el 84", "osilation", "output transformer", "d", "resistor 47k", "valve anode")


def unasked() -> Documents:
    """Fails when the documents are asked for although nothing changed."""
    raise AssertionError("a warm store reads no entry")


def same(one: Store, other: Store) -> None:
    """Both answer every query alike, scores, lines and marks included."""
    for words in QUERIES:
        assert find(one, words) == find(other, words), words


def test_whoosh_answers_as_memory_does(tmp_path: Path) -> None:
    """Postings that went through Whoosh give the same scores to the last bit."""
    same(store_of(tmp_path / "cache", "1", lambda: DOCUMENTS), in_memory(index_of(DOCUMENTS)))


def test_warm_reads_nothing(tmp_path: Path) -> None:
    """A second search of the same stamp does not ask for the documents."""
    store_of(tmp_path, "1", lambda: DOCUMENTS)
    same(store_of(tmp_path, "1", unasked), in_memory(index_of(DOCUMENTS)))


def test_only_changes_are_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One entry changed and one gone: Whoosh is given the one, and answers as if made anew."""
    store_of(tmp_path, "1", lambda: DOCUMENTS)
    changed = dataclasses.replace(DOCUMENTS.documents[0], title="Heron 31")
    fewer = dataclasses.replace(DOCUMENTS, documents=(changed, *DOCUMENTS.documents[1:-1]))
    from benchlore.searching import whooshed

    given = []
    write = whooshed.write
    monkeypatch.setattr(whooshed, "write", lambda folder, gone, fresh, anew: given.append((gone, [f[0] for f in fresh], anew)) or write(folder, gone, fresh, anew))
    same(store_of(tmp_path, "2", lambda: fewer), in_memory(index_of(fewer)))
    assert given == [(["family/heron-30", "tube/el34"], ["family/heron-30"], False)]


@pytest.mark.parametrize("damage", ["book", "index", "half a book", "another version"])
def test_a_damaged_folder_is_made_anew(tmp_path: Path, damage: str) -> None:
    """Whatever happened to the folder, the answer is right."""
    store_of(tmp_path, "1", lambda: DOCUMENTS)
    if damage == "book":
        (tmp_path / BOOK).write_bytes(b"\xff{")
    elif damage == "half a book":
        (tmp_path / BOOK).write_bytes((tmp_path / BOOK).read_bytes()[:500])
    elif damage == "another version":
        (tmp_path / BOOK).write_bytes((tmp_path / BOOK).read_bytes().replace(b'"version":', b'"version":9'))
    else:
        for file in tmp_path.glob("*.seg"):
            file.unlink()
    same(store_of(tmp_path, "1", lambda: DOCUMENTS), in_memory(index_of(DOCUMENTS)))


def test_without_a_folder_or_with_one_that_cannot_be(tmp_path: Path) -> None:
    """No cache, or a file where the folder should be: the answer comes from memory."""
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    same(store_of(None, "1", lambda: DOCUMENTS), store_of(blocked / "cache", "1", lambda: DOCUMENTS))


def test_bm25_is_whooshs_own() -> None:
    """Outside check: the formula printed for the browser is that of Whoosh's ``scoring.bm25`` on a grid of numbers."""
    from math import log

    from whoosh.scoring import bm25

    from benchlore.searching.weighing import FORMULAS, rarity

    takes, gives = FORMULAS["share"]
    for count in (1, 2, 7):
        for length in (1, 20, 300):
            values = dict(zip(takes, (2.5, count, length, 41.5, 0.6, 1.2), strict=True))
            assert eval(gives, {}, values) == bm25(2.5, count, length, 41.5, 0.6, 1.2)
    takes, gives = FORMULAS["rarity"]
    assert eval(gives, {"log": log}, {"documents": 460, "holding": 12}) == rarity(460, 12)


def test_a_warm_search_loads_no_kind_of_entry(tmp_path: Path) -> None:
    """A search that finds nothing changed reads its own book only: no schema, no YAML; that keeps it under 0.3 s."""
    root = Path(__file__).resolve().parents[2]
    env = {"PATH": os.environ["PATH"], "PYTHONPATH": str(root / "builder"), "BENCHLORE_CACHE": str(tmp_path)}
    words = [sys.executable, "-X", "importtime", "-m", "benchlore", "find", "hum", "--shelf", str(root / "tests" / "kb_small")]
    for _ in range(2):
        loaded = subprocess.run(words, env=env, capture_output=True, text=True, check=True).stderr
    names = {line.rpartition("|")[2].strip() for line in loaded.splitlines()}
    assert "benchlore.searching.whooshed" in names
    assert names.isdisjoint({"benchlore.entries.kinds", "benchlore.entries.fault", "benchlore.searching.documents", "yaml", "snowballstemmer"})
