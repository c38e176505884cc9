"""Promises 2, 5, 8 and 28: any bytes at all are an entry, a job or a bundle, or are refused in words; nothing else is ever raised.

Drawn by hypothesis from what comes near to the real thing: bytes of good files cut, joined and spoilt, and YAML's own signs.
The examples are the same at each run.  ``tests/faults/fuzz.py`` looks further, led by what the code does (atheris).
"""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from running import ROOT, SMALL, THOROUGH

from benchlore.place import Place
from benchlore.reading.shelf import read_shelves
from benchlore.sharing.jobfile import NoJob, finding_of
from benchlore.sharing.opening import Unfit, open_bundle
from benchlore.sharing.tidy import Refused, tidy

FUZZ = settings(
    max_examples=20_000 if THOROUGH else 150, deadline=None, derandomize=True, database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
GOOD = [path.read_bytes() for path in sorted(SMALL.rglob("*.yaml"))]
SIGNS = [
    b"&a", b"*a", b"!t ", b"!!python/object:os.system ", b"<<: ", b"---\n", b"...\n", b"%YAML 1.1\n", b"{", b"}", b"[", b"]", b": ", b"- ", b"? ", b"|\n", b">-\n", b'"', b"'", b"#",
    b"\t", b"\n", b"\n  ", b"\r", b"\x00", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\xc0\x80", b"\xed\xa0\x80", b"\xe2\x80\xae", b"\\u2028", b"\\x1b", b"~", b"null", b"1:10", b"0o7", b"unknown", b"\xc2\x85", b"\xf0\x9f\x8e\xb8",
]  # fmt: skip


@st.composite
def near_entries(draw: st.DrawFn) -> bytes:
    """A good entry's bytes, with signs put in, stretches taken out, or another's joined on."""
    data = draw(st.sampled_from(GOOD))
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)))
        match draw(st.sampled_from(("put", "cut", "join", "bytes", "again"))):
            case "put":
                data = data[:at] + draw(st.sampled_from(SIGNS)) + data[at:]
            case "cut":
                data = data[:at] + data[at + draw(st.integers(1, 60)) :]
            case "join":
                other = draw(st.sampled_from(GOOD))
                data = data[:at] + other[draw(st.integers(0, len(other))) :]
            case "bytes":
                data = data[:at] + draw(st.binary(max_size=6)) + data[at:]
            case "again":
                data = data[:at] + data[max(at - 40, 0) : at] * draw(st.integers(1, 30)) + data[at:]
    return data


@given(near_entries(), st.sampled_from(["terms", "families", "faults", "tubes", "calculators", "findings"]))
@FUZZ
def test_any_bytes_are_an_entry_or_a_problem(tmp_path: Path, data: bytes, folder: str) -> None:
    """A problem stands inside the file; an entry holds no sign that may not stand in one."""
    file = tmp_path / folder / "x.yaml"
    file.parent.mkdir(exist_ok=True)
    file.write_bytes(data)
    reading = read_shelves([tmp_path])
    file.unlink()
    assert reading.entries or reading.problems
    lines = data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").count("\n") + 1
    for problem in reading.problems:
        assert problem.message and "\n" not in str(problem)
        assert problem.place.file.endswith("x.yaml") and problem.place.line is not None and 0 <= problem.place.line <= lines + 1


@given(near_entries())
@FUZZ
def test_any_text_is_tidied_or_refused(data: bytes) -> None:
    """House form is house form again, and nothing but a refusal is raised."""
    text = data.decode("utf-8", "replace")
    try:
        house = tidy(text, "term", "x.yaml")
    except Refused as refused:
        assert isinstance(refused.problem.place, Place)
    else:
        assert tidy(house, "term", "x.yaml") == house


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=20), inner, max_size=4),
    max_leaves=8,
)
KEYS = st.sampled_from(["family", "sign/hum", "check/a/b", "fault/a", "minutes", "parts-cost", "date", "work", "technician", "__proto__", "sign/../x", "finding-title"])
NEAR_JOBS = st.fixed_dictionaries({"what": st.sampled_from(["benchlore job", "x"]), "version": JSON, "fields": st.dictionaries(KEYS | st.text(max_size=20), JSON | st.text(max_size=40), max_size=8)})


@given(st.one_of(NEAR_JOBS.map(lambda job: json.dumps(job).encode()), JSON.map(lambda job: json.dumps(job).encode()), st.binary(max_size=80)))
@FUZZ
def test_any_bytes_are_a_job_or_no_job(tmp_path: Path, data: bytes) -> None:
    """What is taken from a job file is text of the right kind."""
    (tmp_path / "job.json").write_bytes(data)
    try:
        found: dict[str, Any] = finding_of(tmp_path / "job.json")
    except NoJob:
        return
    assert all(isinstance(value, str | list) for value in found.values())


@given(st.binary(max_size=200) | st.binary(max_size=200).map(lambda data: b"PK\x03\x04" + data) | st.binary(max_size=60).map(lambda data: data + b"PK\x05\x06" + bytes(18)))
@FUZZ
def test_any_bytes_are_no_bundle(tmp_path: Path, data: bytes) -> None:
    """By chance alone nothing is a bundle."""
    (tmp_path / "in.zip").write_bytes(data)
    with pytest.raises(Unfit):
        open_bundle(tmp_path / "in.zip")


SCRIPTS = ROOT / "builder" / "benchlore" / "rendering" / "assets" / "js"
READER = """
const fs = require("fs"), vm = require("vm");
const box = vm.createContext({ document: { querySelector: () => ({ dataset: {} }), querySelectorAll: () => [], addEventListener() {} }, URLSearchParams, TextEncoder, TextDecoder, location: { href: "", search: "", hash: "" } });
for (const path of JSON.parse(process.argv[1])) vm.runInContext(fs.readFileSync(path, "utf8"), box, { filename: path });
const given = JSON.parse(fs.readFileSync(0, "utf8"));
box.given = given;
console.log(JSON.stringify(vm.runInContext(process.argv[2], box, { timeout: 60000 })));
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="no Node on this machine")
def test_job_files_in_the_page_too() -> None:
    """The job sheet's own reader: a job, or its own refusal in words; nothing else is thrown."""
    texts: list[str] = []

    @given(st.one_of(NEAR_JOBS.map(lambda job: {**job, "version": 1, "id": "abcd1", "rev": 1, "made": "", "changed": ""}), NEAR_JOBS, JSON))
    @FUZZ
    def drawn(job: Any) -> None:
        text = json.dumps(job)
        texts.extend([text, text[: len(text) // 2]])

    drawn()
    look = (
        "given.map((text) => { try { const job = Benchlore.job.file.fromText(text); return [...job.fields.values()].every((v) => typeof v === 'string'); }"
        " catch (e) { return e instanceof Benchlore.job.file.Refused && e.message.length > 5 ? true : String(e); } })"
    )
    scripts = json.dumps([str(SCRIPTS / name) for name in ("job-dom.js", "job-file.js")])
    ran = subprocess.run(["node", "-e", READER, scripts, look], input=json.dumps(texts), capture_output=True, text=True, check=True)
    answers = json.loads(ran.stdout)
    assert len(answers) == len(texts) > 100
    assert [(text, said) for text, said in zip(texts, answers, strict=True) if said is not True] == []
