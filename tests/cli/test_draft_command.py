"""``benchlore draft`` at the terminal: asks, names what is there, fills in from a job sheet, writes over nothing.

No outside reference: the job sheet's own finding is held against what is made of its file.
"""

from __future__ import annotations

import json
import os
import pty
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from benchlore.sharing.jobfile import NoJob, finding_of
from forms import retyped
from jobs import Sheet

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"
ENV = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "NO_COLOR": "1", "TERM": "dumb"}


def run(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """``benchlore draft`` as a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "benchlore", "draft", *words],
        cwd=cwd,
        env=ENV,
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
    )


def answered(words: list[str], folder: Path, typed: bytes) -> str:
    """What a command says to somebody who sits at a terminal and types this."""
    mine, theirs = pty.openpty()
    with subprocess.Popen(words, cwd=folder, env=ENV, stdin=theirs, stdout=theirs, stderr=theirs) as child:
        os.close(theirs)
        os.write(mine, typed)
        heard = b""
        try:
            while part := os.read(mine, 4096):
                heard += part
        except OSError:
            pass
        assert child.wait() == 0, heard
    os.close(mine)
    return heard.decode()


def test_what_is_similar_is_named_before_the_rest_is_asked(tmp_path: Path) -> None:
    """The title is enough to look: what the book says already stands before the second question."""
    words = [sys.executable, "-m", "benchlore", "draft", "fault", "--shelf", str(SMALL), "--ask"]
    told = answered(words, tmp_path, b"Tired filter capacitors\n" + b"\n" * 12)
    assert told.index("Already in the book (fault)") < told.index("filter-dried") < told.index("Group (")


def test_a_terminal_is_asked(tmp_path: Path) -> None:
    """Where somebody sits, the main fields are asked for; what is answered is filled in, Enter leaves a field open."""
    (tmp_path / "terms").mkdir()
    words = [sys.executable, "-m", "benchlore", "draft", "term", "--shelf", ".", "--id", "plate", "--write"]
    told = answered(words, tmp_path, b"Plate\n\n")
    assert "Title (What people call it" in told and "Meaning (What it means at the bench)" in told
    assert "fill in what says TODO" in told
    assert "\ntitle: Plate\n" in (tmp_path / "terms/plate.yaml").read_text("utf-8")
    assert "\nmeaning: TODO\n" in (tmp_path / "terms/plate.yaml").read_text("utf-8")


def test_what_is_there_is_named_first(tmp_path: Path) -> None:
    """The likest entries stand on standard error, so that what is printed stays an entry; findings have no likes."""
    done = run("fault", "--shelf", str(SMALL), "--set", "title=dried filter", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stderr.splitlines()[0] == "Already in the book (fault), look before you write another:"
    assert "Dried-out filter capacitor  (filter-dried)" in done.stderr
    assert done.stdout.startswith("# yaml-language-server: $schema=../.schemas/fault.schema.json\n")
    assert run("finding", "--shelf", str(SMALL), "--set", "title=dried filter", cwd=tmp_path).stderr == ""


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """A second entry of the same name is refused, and the first is as it was."""
    (tmp_path / "terms").mkdir()
    words = (
        "term",
        "--shelf",
        str(tmp_path),
        "--id",
        "plate",
        "--set",
        "title=Plate",
        "--set",
        "meaning=The electrode.",
        "--write",
    )
    done = run(*words, cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, f"Wrote {tmp_path}/terms/plate.yaml; then run: benchlore audit\n")
    before = (tmp_path / "terms/plate.yaml").read_bytes()
    done = run(*words, cwd=tmp_path)
    assert done.returncode == 3 and "there is an entry of that name already" in done.stderr
    assert (tmp_path / "terms/plate.yaml").read_bytes() == before


def test_an_amendment_is_begun_with_its_digest(tmp_path: Path) -> None:
    """It names the text below, asks for a reason, reads when that is given, and audit says when the text below has changed."""
    below, mine = Path(shutil.copytree(SMALL, tmp_path / "below")), tmp_path / "our-bench"
    mine.mkdir()
    stack = ("--shelf", str(below), "--shelf", str(mine))
    words = ("fault", *stack, "--amend", "filter-dried", "--set", "commonness=very common", "--write")
    done = run(*words, cwd=tmp_path)
    file = mine / "faults/filter-dried.yaml"
    assert (done.returncode, done.stdout) == (0, f"Wrote {file}; fill in what says TODO, then run: benchlore audit\n")

    def audit() -> str:
        command = [sys.executable, "-m", "benchlore", "audit", *stack]
        return subprocess.run(command, cwd=tmp_path, env=ENV, capture_output=True, text=True).stderr

    assert re.search(r"filter-dried.yaml:\d+:6: error: why: still to be written; say in a sentence", audit())
    file.write_text(file.read_text("utf-8").replace("why: TODO", "why: damp coast"), "utf-8")
    assert audit() == ""
    lower = below / "faults/filter-dried.yaml"
    lower.write_text(lower.read_text("utf-8") + "\n# touched\n", "utf-8")
    assert "has changed since this was written; read it again, then write amends: " in audit()
    assert run(*words, cwd=tmp_path).returncode == 3, "never over what is there"
    done = run("fault", *stack, "--amend", "filter-dryed", cwd=tmp_path)
    assert done.returncode == 2 and "no shelf below yours has such a fault; did you mean filter-dried?" in done.stderr


def test_a_name_is_made_where_none_is_given(tmp_path: Path) -> None:
    """Day, family and initials for a finding, the title for the rest; what is taken is passed over; too little is said in words."""
    job = ("--set", "family=tarn-15", "--set", "technician=RK", "--set", "date=2026-02-03", "--write")
    for id in ("2026-02-03-tarn-15-rk", "2026-02-03-tarn-15-rk-2"):
        done = run("finding", "--shelf", str(tmp_path), *job, cwd=tmp_path)
        assert done.returncode == 0 and f"findings/{id}.yaml; fill in" in done.stdout
    done = run("term", "--shelf", str(tmp_path), "--set", "title=Cold solder", "--write", cwd=tmp_path)
    assert "terms/cold-solder.yaml" in done.stdout
    for words, needs in ((("finding", "--set", "date=2026-02-03"), "the day and the family"), (("term",), "a title")):
        done = run(*words, "--shelf", str(tmp_path), "--write", cwd=tmp_path)
        assert done.returncode == 2 and f"--write needs --id, or {needs} to make it from" in done.stderr


def test_a_saved_job_sheet_fills_in_the_finding(small_site: Path, chromium: Any, tmp_path: Path) -> None:
    """What the sheet's own finding says, the draft made of its file says too; and nothing about the owner."""
    context = chromium.new_context(accept_downloads=True)
    sheet = Sheet(context.new_page(), small_site, "?family=tarn-15&symptom=hum-steady-low")
    sheet.make_safe()
    sheet.result("Pass")
    sheet.page.evaluate("(id) => Benchlore.job.work.found(id)", "filter-dried")
    for key, text in {
        "work": "Renewed it.\n\n- both: in pairs",
        "minutes": "45",
        "technician": "AB",
        "date": "2026-02-03",
        "parts-cost": "4,50",
        "asked": "Quieter",
    }.items():
        sheet.fill(key, text)
    sheet.page.locator(".job-owner summary").click()
    sheet.fill("owner-name", "Jo Threadgold")
    saved = sheet.save_job(tmp_path)
    _, text = sheet.finding()
    context.close()
    done = run("finding", "--shelf", str(SMALL), "--job", str(saved), cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    mine, theirs = retyped(done.stdout, "finding"), retyped(text, "finding")
    assert "Threadgold" not in done.stdout
    assert mine.pop("title") == "TODO"
    assert float(mine.pop("parts_cost")) == float(theirs.pop("parts_cost")) == 4.5
    assert mine == {name: value for name, value in theirs.items() if name in mine}
    assert set(theirs) - set(mine) <= {"title", "added", "by"}


JOB = {"what": "benchlore job", "version": 1, "fields": {}}


@pytest.mark.parametrize(
    "text",
    [b"", b"{", b"[]", b"null", b"\xff", b"1e999", b"[" * 5000, json.dumps({**JOB, "what": "x"}).encode(), json.dumps({**JOB, "fields": []}).encode(),
     b" " * 2_000_001],
)  # fmt: skip
def test_a_strange_file_is_refused_in_words(tmp_path: Path, text: bytes) -> None:
    """Not a job sheet's, cut off, too large: one sentence."""
    (tmp_path / "job.json").write_bytes(text)
    with pytest.raises(NoJob, match="no whole file of a job sheet"):
        finding_of(tmp_path / "job.json")


def test_strange_fields_are_only_text_or_left_out(tmp_path: Path) -> None:
    """What could not be an id, a number or a day is not taken; all else is text and is written as text."""
    fields = {
        "family": "../../etc", "sign/hum-steady-low": "present", "sign/../x": "present", "sign/A B": "present", "check/a/b": "maybe",
        "check/filter-dried/look": "pass", "minutes": "-5", "date": "tomorrow", "parts-cost": "many", "technician": "far too long",
        "work": "title: x\n<<: *a", "asked": "a\nb", "revision": 5,
    }  # fmt: skip
    (tmp_path / "job.json").write_text(json.dumps({**JOB, "fields": fields}), "utf-8")
    assert finding_of(tmp_path / "job.json") == {
        "symptoms": ["hum-steady-low"], "faults": [], "request": "a b", "fix": "title: x\n<<: *a",
        "checks": [{"check": "filter-dried/look", "result": "pass"}], "technician": "far to",
    }  # fmt: skip
    done = run("finding", "--shelf", str(SMALL), "--job", str(tmp_path / "job.json"), cwd=tmp_path)
    assert retyped(done.stdout, "finding")["fix"] == "title: x\n<<: *a"


def test_an_empty_shelf_has_nothing_to_name(tmp_path: Path) -> None:
    """A shelf without entries is searched without a word, twice over."""
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-m", "benchlore", "find", "hum", "--shelf", "."],
            cwd=tmp_path,
            env=ENV,
            capture_output=True,
            text=True,
        )
        assert (done.returncode, done.stderr) == (0, "")
        assert done.stdout.startswith("Nothing found.")
