"""Promises 9 and 10: hostile text in every text field of every kind is refused at its place, or stays the text that was typed.

The first half asks the reader, field by field; what the reader lets through is then put into every field of a book, and the
whole site is looked at: pages (html5lib), what scripts read (Node), feed (xml.etree), tables for spreadsheets (csv), terminal.
CI gives each field a share of the texts in turn, and ``BENCHLORE_THOROUGH=1`` every text to every field.
"""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import unicodedata
import xml.etree.ElementTree as ElementTree
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import html5lib
import pytest
import yaml
from running import THOROUGH

from benchlore.cli.words import CONTROL, clean
from benchlore.entries.fields import Code, FieldType, Many, Part, Prose, Table, Text, table_of
from benchlore.entries.kinds import FOLDERS, KINDS
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reading.shelf import read_shelves
from benchlore.rendering.site import render
from benchlore.sharing.export import as_csv
from hostile import PAYLOADS, RAW, poisoned_library

ENDS = (
    "</script>", "<!--<script>", "--!>", "]]>", "*/window.hit=1/*", "\\u003c/script\\u003e", "';window.hit=1//", '";window.hit=1//',
    "`${window.hit=1}`", "\\", "\\'", "__proto__", "constructor", "toString", "NaN", "-Infinity", "undefined", "null",
)  # fmt: skip
"""What ends a string, a script or a comment, or is a name that JavaScript knows."""

CELLS = ("=1+1", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1:A9)", '=HYPERLINK("//evil.example","x")', "'=1", '"=1"', "=1\u00a0")
"""What a spreadsheet would reckon."""

OTHERS = ("%s%n%x", "$(touch x)", "; rm -rf x", "{0.__class__}", "%(title)s", "#{7*7}", "{% include 'x' %}", "{{ cycler }}", "../../x", "C:\\x", "\\\\evil\\x")
"""What a template, a shell or a disk would take for its own."""

SIGNS = tuple(
    f"a{chr(code)}b"
    for code in (0, 7, 8, 0xB, 0xC, 0xD, 0x1B, 0x7F, 0x85, 0x9B, 0xAD, 0x61C, 0x200B, 0x200E, 0x200F, 0x2028, 0x2029, 0x202A, 0x202E, 0x2066, 0x2069, 0xFEFF, 0xFFFE, 0xE0041)
)  # fmt: skip
ESCAPES = ("\x1b[31mred", "\x1b]0;title\x07", "\x1b]8;;http://evil.example\x1b\\x", "\x9b2J", "a\rb", "\ud83d", "e\u0301\u202e")
TEXTS = tuple(dict.fromkeys([*PAYLOADS, *ENDS, *CELLS, *OTHERS, *SIGNS, *ESCAPES]))
READABLE = tuple(text for text in TEXTS if text not in SIGNS + ESCAPES)
SHARE = len(TEXTS) if THOROUGH else 4

Path_ = tuple[str | int, ...]


def of_type(type: FieldType, example: str) -> Any:
    """A value of a field, as YAML's own data, made of its example."""
    try:
        given = yaml.load(example, yaml.BaseLoader) if example else None
    except yaml.YAMLError:  # words that begin with a special sign
        given = example
    if isinstance(type, Many):
        items = given if isinstance(given, list) and given else [given or of_type(type.of, "")]
        made = [of_type(type.of, json.dumps(item)) for item in items]
        return made if len(made) >= type.least else made * type.least
    if isinstance(type, Table):
        key = "1" if type.keys == "pin" else "one"
        return given if isinstance(given, dict) and given and not isinstance(type.of, Part) else {key: of_type(type.of, "")}
    if isinstance(type, Part):
        return {name: of_type(field.type, field.example) for name, field in table_of(type.record).items()}
    return given if isinstance(given, str) else "one"


def whole(kind: str) -> dict[str, Any]:
    """An entry of a kind in which every field is written."""
    return {name: of_type(field.type, field.example) for name, field in table_of(KINDS[kind]).items()}


def places(value: Any, type: FieldType, path: Path_ = ()) -> Iterator[Path_]:
    """Where words stand in a value."""
    if isinstance(type, Text | Prose | Code):
        yield path
    elif isinstance(type, Many):
        yield from places(value[0], type.of, (*path, 0))
    elif isinstance(type, Table):
        key = next(iter(value))
        yield from places(value[key], type.of, (*path, key))
    elif isinstance(type, Part) and isinstance(value, dict):
        for name, field in table_of(type.record).items():
            yield from places(value[name], field.type, (*path, name))


FIELDS = [(kind, path) for kind in KINDS for path in places(whole(kind), Part(KINDS[kind]))]


def put(entry: Any, path: Path_, text: str) -> Any:
    """The entry with ``text`` at ``path``."""
    if not path:
        return text
    copy = entry.copy()
    copy[path[0]] = put(entry[path[0]], path[1:], text)
    return copy


def at(value: Any, path: Path_) -> Any:
    """What stands at ``path`` in a record."""
    for step in path:
        value = value[step] if isinstance(value, dict | tuple) else getattr(value, str(step))
    return value


def around(kind: str, path: Path_) -> dict[str, Any]:
    """An entry with what every entry of its kind must have, and the field of the path."""
    table = table_of(KINDS[kind])
    return {name: value for name, value in whole(kind).items() if table[name].need == "required" or name == path[0]}


def texts_for(number: int) -> list[str]:
    """The texts that a field is given: all of them, or a share that goes round."""
    return [TEXTS[(number * 7 + n * 23) % len(TEXTS)] for n in range(SHARE)] if not THOROUGH else list(TEXTS)


def written(shelf: Path, kind: str, entries: list[Any]) -> tuple[dict[str, Any], tuple[Problem, ...], list[str]]:
    """The entries, written to a shelf and read: by id, the problems, the texts."""
    folder = shelf if kind == "shop" else shelf / next(name for name, of in FOLDERS.items() if of == kind)
    folder.mkdir(parents=True)
    texts = [json.dumps(entry, indent=1) for entry in entries]
    for number, text in enumerate(texts):
        (folder / ("shop.yaml" if kind == "shop" else f"x-{number}.yaml")).write_text(text, "utf-8")
    reading = read_shelves([shelf])
    return {entry.id: entry for entry in reading.entries}, reading.problems, texts


@pytest.mark.parametrize("kind", KINDS)
def test_the_reader_refuses_or_keeps(kind: str, tmp_path: Path, record_property: Callable[[str, object], None]) -> None:
    """Every text is refused at its own line, or is in the record letter by letter; nothing else is wrong because of it."""
    assert written(tmp_path / "plain", kind, [whole(kind)])[1] == ()
    refused = kept = 0
    for number, (of, path) in enumerate(FIELDS):
        if of != kind:
            continue
        texts, entry = texts_for(number), around(kind, path)
        for turn in [[text] for text in texts] if kind == "shop" else [texts]:
            shelf = tmp_path / "shelf"
            found, problems, sources = written(shelf, kind, [put(entry, path, text) for text in turn])
            for n, text in enumerate(turn):
                name = "shop" if kind == "shop" else f"x-{n}"
                line = sources[n][: sources[n].index(json.dumps(text))].count("\n") + 1 if sources[n].count(json.dumps(text)) == 1 else None
                mine = [p for p in problems if p.place.file.endswith(f"/{name}.yaml")]
                about = f"{kind} {path} {text!r}: {[str(p) for p in mine]}"
                assert all(p.severity == "error" and CONTROL.search(str(p)) is None for p in mine), about
                if mine:
                    assert line is None or {p.place.line for p in mine} == {line}, about
                    refused += 1
                else:
                    assert at(found[name], path) == unicodedata.normalize("NFC", text).strip(), about
                    kept += 1
            shutil.rmtree(shelf)
    assert kept and refused
    record_property("refused", refused)
    record_property("kept as typed", kept)


GROUPS = [READABLE[start : start + 9] for start in range(0, len(READABLE), 9)]


@pytest.fixture(scope="module", params=range(len(GROUPS)) if THOROUGH else range(0, len(GROUPS), 8))
def hostile_site(request: pytest.FixtureRequest, small_library: Library) -> tuple[tuple[str, ...], Library, dict[str, bytes]]:
    """Some texts, a book with them in every field, and its site."""
    library = poisoned_library(small_library, " and ".join(GROUPS[request.param]))
    return GROUPS[request.param], library, render(library)


Site = tuple[tuple[str, ...], Library, dict[str, bytes]]


def shown_as_typed(text: str) -> bool:
    """Does the text hold nothing that Markdown would take for its own?"""
    return text in RAW and not re.search(r"[*_\\&\[\]`#]|https?:|  ", text)


def test_pages_show_the_words(hostile_site: Site) -> None:
    """Read by a browser's rules, the pages hold the words themselves, as words."""
    texts, _, files = hostile_site
    page = html5lib.parse(files["families/tarn-15.html"].decode("utf-8"), namespaceHTMLElements=False)
    read = " ".join("".join(page.itertext()).split())
    for text in texts:
        if shown_as_typed(text):
            assert text in read, text


READER = """
const fs = require("fs"), vm = require("vm"), out = [];
for (const [path, text] of JSON.parse(fs.readFileSync(0, "utf8"))) {
  const calls = [], wide = new Proxy(function () {}, { get: (t, k) => k === Symbol.toPrimitive ? () => "" : wide, apply: (t, s, given) => { calls.push(given); return wide; }, set: () => true });
  const box = vm.createContext({ Benchlore: wide, window: {}, document: wide, location: wide, trustedTypes: wide });
  try { vm.runInContext(text, box, { timeout: 5000 }); out.push([path, box.window.hit === undefined && box.hit === undefined, "" ]); }
  catch (error) { out.push([path, false, String(error)]); }
}
console.log(JSON.stringify(out));
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="no Node on this machine")
def test_islands_are_data(hostile_site: Site) -> None:
    """Every script that carries words of the book is read by Node, runs nothing of them, and holds no end of a script."""
    _, _, files = hostile_site
    made = {path: content.decode("utf-8") for path, content in files.items() if path.endswith(".js") and re.search(r"assets/(job/families|job/model|search|calculators|add)", path)}
    assert len(made) > 5
    ran = subprocess.run(["node", "-e", READER], input=json.dumps(list(made.items())), capture_output=True, text=True, check=True)
    for path, quiet, error in json.loads(ran.stdout):
        assert quiet, (path, error)
    for path, text in made.items():
        assert not re.search(r"</script|<!--|[\u2028\u2029]", text, re.IGNORECASE), path


def test_the_feed_is_text(hostile_site: Site) -> None:
    """An XML parser reads the feed; there is no element in it but those of Atom, and no link that is not a page's."""
    _, _, files = hostile_site
    for path in (path for path in files if path.endswith(".atom")):
        tree = ElementTree.fromstring(files[path])
        assert {str(e.tag).partition("}")[0] for e in tree.iter()} == {"{http://www.w3.org/2005/Atom"}
        assert not [e.attrib["href"] for e in tree.iter() if re.match(r"\s*(javascript|data|file|vbscript):", e.attrib.get("href", ""), re.IGNORECASE)]


def test_no_cell_is_reckoned(small_library: Library) -> None:
    """Each text alone in every field of every kind: no cell begins as a formula does (OWASP, CSV Injection; from memory)."""
    for text in (*CELLS, *ENDS, "\t=1", "\r=1"):
        library = poisoned_library(small_library, text)
        for kind in KINDS:
            for row in csv.DictReader(io.StringIO(as_csv(kind, library.entries[kind]), newline="")):
                live = {name: cell for name, cell in row.items() if cell and cell[0] in "=+-@\t\r" and not re.fullmatch(r"-?[0-9.e-]+", cell)}
                assert not live, (kind, text, live)


def test_the_terminal_obeys_nothing() -> None:
    """What is printed of any text holds no sign that a terminal takes for a command or that turns the writing."""
    for text in TEXTS:
        assert not CONTROL.search(clean(text))
