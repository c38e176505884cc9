"""Two shops, from nothing to a shared book, through the command line, the forms, the drafts and the job sheet.

Each begins a book, adds a family and ten findings (two by form, seven by draft, one worked on the job sheet, all in Chromium where
they would be), packs its shelf and takes the other's in; one clash is resolved. Nothing is lost, and both shops' suspects reflect both. No outside reference but git-like patience; every word that was printed stands in
``tests/golden/two-shops.txt``, which was read. After a change of words, read the new ones and copy them:
``cp .../words.txt tests/golden/two-shops.txt`` (the failure says where they are).
"""

from __future__ import annotations

import errno
import json
import os
import pty
import re
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import pytest

from benchlore.entries.kinds import FOLDER_OF, KINDS
from benchlore.sharing.house import record_lines
from forms import fill_record, typed
from jobs import Sheet

ROOT = Path(__file__).resolve().parents[2]
GOLDEN = ROOT / "tests" / "golden" / "two-shops.txt"
ENV = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "NO_COLOR": "1", "TERM": "dumb"}
FAULT = {
    "title": "Speaker lead chewed", "added": "2026-01-02", "group": "speaker", "summary": "The lead to the speaker is chewed through to the copper.",
    "seen": "The sound cuts in and out when the cabinet is moved.", "why": "Mice winter in open backs.", "commonness": "rare",
    "anywhere": "yes", "shows": [{"symptom": "cuts-out", "how_often": "often"}],
    "checks": [{"key": "look", "do": "Look along the speaker lead", "minutes": "1", "power": "off", "setup": "outside", "passes": "whole sheath", "fails": "bare copper"}],
    "fix": ["Make a new lead."], "fix_minutes": "15", "verify": ["No cut when the lead is moved"],
}  # fmt: skip


class Shop:
    """A shop's folder, its commands, and every word they printed."""

    def __init__(self, folder: Path, said: list[str], browser: Any) -> None:
        self.folder, self.said, self.browser = folder, said, browser

    def run(self, *words: str, expect: int = 0, show: bool = True) -> str:
        """``benchlore`` in the shop's folder; its standard output."""
        done = subprocess.run(
            [sys.executable, "-m", "benchlore", *words], cwd=self.folder, env=ENV, capture_output=True, text=True
        )
        assert done.returncode == expect, done.stdout + done.stderr
        if show:
            self.said.append(
                f"{self.folder.name}$ benchlore {' '.join(words)}\n{done.stdout}{done.stderr}[{done.returncode}]\n"
            )
        return done.stdout

    def answer(self, *words: str, answers: str) -> None:
        """The same in a terminal, with answers typed."""
        mine, theirs = pty.openpty()
        child = subprocess.Popen(
            [sys.executable, "-m", "benchlore", *words],
            cwd=self.folder,
            env=ENV,
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
        )
        os.close(theirs)
        os.write(mine, answers.encode())
        heard = b""
        while True:
            try:
                part = os.read(mine, 4096)
            except OSError as error:
                assert error.errno == errno.EIO  # the other end was closed
                break
            if not part:
                break
            heard += part
        assert child.wait() == 0, heard.decode()
        self.said.append(f"{self.folder.name}$ benchlore {' '.join(words)}\n{heard.decode().replace(chr(13), '')}[0]\n")

    def write(self, kind: str, id: str, raw: dict[str, Any]) -> None:
        """Fill a file in by hand, in any editor."""
        path = self.folder / FOLDER_OF[kind] / f"{id}.yaml"
        path.write_text("\n".join(record_lines(raw, KINDS[kind])) + "\n", "utf-8")

    def form(self, kind: str, raw: dict[str, Any], id: str = "") -> str:
        """Write an entry by the form of the shop's own site, and put the file where the page says. The entry's id."""
        page = self.browser.new_page()
        page.goto(f"{(self.folder / 'site' / 'add.html').as_uri()}#{kind}")
        fill_record(page.locator("form.add-form"), KINDS[kind], raw)
        if id:
            page.get_by_label("File name").fill(id)
        with page.expect_download() as got:
            page.get_by_role("button", name="Download the file").click()
        got.value.save_as(self.folder / page.locator(".add-where code").first.inner_text())
        page.close()
        return str(got.value.suggested_filename).removesuffix(".yaml")

    def job(self, family: str, sign: str, fault: str, by: str, day: str) -> None:
        """Work a job on the job sheet, and put its finding on the shelf."""
        page = self.browser.new_page()
        sheet = Sheet(page, self.folder / "site", f"?family={family}&symptom={sign}")
        sheet.make_safe()
        for _ in range(40):
            check = sheet.next_id()
            sheet.result("Fail" if check.startswith(f"{fault}/") else "Pass")
            if check.startswith(f"{fault}/") and sheet.shares()[fault] > 0.5:
                break
        page.locator(".suspect").first.get_by_role("button", name="This is it").click()
        sheet.settle()
        assert page.evaluate("() => Benchlore.job.work.foundIds()") == [fault]
        for key, text in {
            "work": "Made a new one.",
            "minutes": "40",
            "technician": by,
            "date": day,
            "parts-cost": "2",
        }.items():
            sheet.fill(key, text)
        sheet.save_finding(self.folder)
        page.close()

    def draft_finding(self, id: str, **given: str) -> None:
        """A finding drafted whole from the command line."""
        sets = [word for name, value in given.items() for word in ("--set", f"{name}={value}")]
        self.run("draft", "finding", "--id", id, *sets, "--write", show=False)

    def entries(self) -> dict[str, bytes]:
        """Every entry of the shelf but the shop's own page."""
        paths = [path for path in self.folder.glob("*/*.yaml") if path.parent.name in FOLDER_OF.values()]
        return {path.relative_to(self.folder).as_posix(): path.read_bytes() for path in sorted(paths)}

    def suspects(self, family: str, *signs: str) -> dict[str, Any]:
        """The suspects of a family as another program reads them."""
        words = [word for sign in signs for word in ("--symptom", sign)]
        told: dict[str, Any] = json.loads(
            self.run("suspects", "--family", family, *words, "--limit", "200", "--json", show=False)
        )
        return {one["fault"]: one["probability"] for one in told["suspects"]}


@pytest.fixture
def shops(tmp_path: Path, chromium: Any) -> Iterator[tuple[Shop, Shop]]:
    """Two shops that have begun their books."""
    said: list[str] = []
    browser = chromium.new_context(accept_downloads=True)
    street = Shop(tmp_path, said, browser)
    street.run("start", "mill-lane")
    street.run("start", "bridge-street", "--title", "Bridge Street Valves")
    yield Shop(tmp_path / "mill-lane", said, browser), Shop(tmp_path / "bridge-street", said, browser)
    browser.close()


def family(like: str, title: str, maker: str) -> dict[str, Any]:
    """A family of the demonstration shop under another invented name."""
    raw = typed(ROOT / "kb" / "workshop" / "families" / f"{like}.yaml", "family")
    for name in ("was", "also_called", "asked"):
        raw.pop(name, None)
    return {**raw, "title": title, "maker": maker}


def ten_findings(shop: Shop, family: str, fault: str, sign: str, by: str) -> None:
    """Two by form, seven by draft, one by job sheet."""
    common = {"family": family, "minutes": "35", "parts_cost": "4.50", "technician": by}
    for day in ("2026-02-03", "2026-03-02"):
        told = {
            "title": f"Job of {day}",
            "added": day,
            "symptoms": [sign],
            "faults": [fault],
            "fix": "Renewed it.",
            "date": day,
        }
        shop.form("finding", {**common, **told})
    for n in range(1, 8):
        given = {
            **common,
            "title": f"Job {n}",
            "symptoms": sign,
            "faults": fault,
            "fix": "Renewed it.",
            "date": f"2026-01-1{n}",
        }
        shop.draft_finding(f"2026-01-1{n}-{family}-{by.lower()}", **given)
    shop.job(family, sign, fault, by, "2026-03-20")


def test_two_shops_trade_their_books(shops: tuple[Shop, Shop], tmp_path: Path) -> None:
    """The whole trade; see the head of this file."""
    mill, bridge = shops

    # Mill Lane: a family and a fault by form
    mill.run("build")
    assert mill.form("family", family("thimble-5", "Hollin Plover 5", "Hollin")) == "hollin-plover-5"
    assert mill.form("fault", FAULT) == "speaker-lead-chewed"
    mill.run("build", "--quiet")
    ten_findings(mill, "hollin-plover-5", "speaker-lead-chewed", "cuts-out", "AB")
    mill.run("audit")

    # Bridge Street: a family by draft, filled in by hand; the same fault, told otherwise
    bridge.run(
        "draft",
        "family",
        "--id",
        "tarrow-fulmar-22",
        "--set",
        "title=Tarrow Fulmar 22",
        "--set",
        "maker=Tarrow",
        "--write",
    )
    bridge.run("audit", expect=1)
    bridge.write("family", "tarrow-fulmar-22", family("lapwing-22", "Tarrow Fulmar 22", "Tarrow"))
    bridge.run("tidy", "families/tarrow-fulmar-22.yaml")
    bridge.write(
        "fault",
        "speaker-lead-chewed",
        {**FAULT, "fix_minutes": "25", "why": "Mice, or a cabinet stood on its own lead."},
    )
    bridge.run("build", "--quiet")
    ten_findings(bridge, "tarrow-fulmar-22", "ribbon-cracked", "cuts-out", "CD")
    bridge.run("audit")

    mine, theirs = mill.entries(), bridge.entries()
    assert len(mine) == len(theirs) == 12
    bridge.run("suspects", "--family", "hollin-plover-5", "--symptom", "cuts-out", expect=2)

    # They trade
    mill.run("bundle", "../mill.zip")
    bridge.run("bundle", "../bridge.zip")
    bridge.run("absorb", "../mill.zip")
    assert bridge.entries() == theirs, "nothing is written until told"
    bridge.answer("absorb", "../mill.zip", answers="mine\ny\n")
    mill.run("absorb", "../bridge.zip", "--take", "speaker-lead-chewed=theirs")
    bridge.run("absorb", "../mill.zip", "--take", "mine")
    mill.run("absorb", "../bridge.zip")

    # Nothing is lost, and both say the same
    clash = "faults/speaker-lead-chewed.yaml"
    everything = {**mine, **theirs}
    assert set(everything) == set(mine) | set(theirs) and len(everything) == 23
    assert mill.entries() == bridge.entries() == {**everything, clash: theirs[clash]}
    for shop in (mill, bridge):
        shop.run("build")
        assert (shop.folder / "site/families/hollin-plover-5.html").is_file()
    for name in ("hollin-plover-5", "tarrow-fulmar-22"):
        assert mill.suspects(name, "cuts-out") == bridge.suspects(name, "cuts-out")
    known = bridge.suspects("hollin-plover-5", "cuts-out")
    assert max(known, key=lambda id: known[id]) == "speaker-lead-chewed" and known["speaker-lead-chewed"] > 0.5
    known = mill.suspects("tarrow-fulmar-22", "cuts-out")
    assert max(known, key=lambda id: known[id]) == "ribbon-cracked"

    # A change of mind
    before = mill.entries()
    mill.run("absorb", "--undo")
    assert mill.entries() == mine
    mill.run("absorb", "--undo", expect=1)
    mill.run("absorb", "../bridge.zip", "--take", "theirs")
    assert mill.entries() == before
    words(mill.said, tmp_path)


def words(said: Sequence[str], tmp_path: Path) -> None:
    """Every printed word is the one that was read."""
    text = "\n".join(said).replace(str(tmp_path), "TOWN").replace(str(ROOT), "BOOK")
    for pattern, shown in (
        (r"\d+\.\d+ s", "T s"),
        (
            r"\d+ (?=stage|fault|symptom|tube|procedure|calculator|term|fastener|shop|famil|finding|file written|files written|entries read)",
            "N ",
        ),
        (r"leans on \d+ entries of the shelf \w+", "leans on N entries of the shelf reference"),
        (r"(?m)^test_\S*\$", "town$"),
    ):
        text = re.sub(pattern, shown, text)
    made = tmp_path / "words.txt"
    made.write_text(text, "utf-8")
    assert not re.search(r"Traceback|[a-z]Error|\bNone\b|\bTrue\b|<[a-z]+ |\x1b", text)
    if not GOLDEN.exists() or text != GOLDEN.read_text("utf-8"):
        pytest.fail(f"other words than those that were read; read them, then: cp {made} {GOLDEN}")
