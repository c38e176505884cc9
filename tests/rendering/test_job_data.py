"""The data of the job sheet: what the builder exports, and that no text in it can break out."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from typing import Any

import pytest

from benchlore.linking.library import Library
from benchlore.ranking.model import Model, export, prior_of
from benchlore.rendering.job.book import closing_lines, site_id
from benchlore.rendering.job.scripts import job_scripts
from benchlore.rendering.job.words import CLOSING, TOUCHED
from benchlore.rendering.pages import environment
from benchlore.rendering.prose import scribe
from benchlore.rendering.views.job import SCRIPTS, STEPS
from hostile import RAW, poisoned_library


def read(text: bytes, start: str) -> Any:
    """The data that a script assigns or shelves."""
    body = text.decode().split(start, 1)[1]
    return json.loads(body[: body.rindex("}") + 1])


@pytest.fixture(scope="module")
def scripts(small_library: Library) -> dict[str, bytes]:
    """Files of assets/job/ for the small book."""
    return job_scripts(small_library, scribe(small_library.entries))


def test_the_model_travels_whole(small_library: Library, scripts: dict[str, bytes]) -> None:
    """Every number of the export is in the files: the trade's in the model, each family's own in its file."""
    kept = Model(small_library)
    whole = export(kept)
    model = read(scripts["assets/job/model.js"], ".model = ")
    assert model["shows"] == whole["shows"] and model["checks"] == whole["checks"] and model["prior"] == whole["prior"]
    for id in small_library.families:
        family = read(scripts[f"assets/job/families/{id}.js"], f'shelve("{id}", ')
        assert family["prior"] == prior_of(kept, id)
        assert sum(share for _, share in family["prior"]) == pytest.approx(1)


def test_a_family_as_the_sheet_needs_it(small_library: Library, scripts: dict[str, bytes]) -> None:
    """Charts in SI units, hardware with size and order, lead dress of the family and its stages, what is special to a revision."""
    family, entry = (
        read(scripts["assets/job/families/tarn-15.js"], 'shelve("tarn-15", '),
        small_library.families["tarn-15"],
    )
    assert [n["volts"] for n in family["supply"]] == [n.volts.value for n in entry.supply]
    assert family["mains"]["chart"] == 230 and family["mains"]["fuse"] == entry.mains.fuse
    assert family["idle"]["positions"] == ["V2", "V3"] and family["idle"]["aim"] == [
        entry.idle.aim.low,
        entry.idle.aim.high,
    ]
    assert family["hardware"][0]["earth"] is True and family["hardware"][0]["size"]
    assert {d["key"] for d in family["dress"]} >= {p.key for p in entry.lead_dress}
    assert any(row[0] == "ribbon-cracked" and row[4] == "b" for row in family["faults"])


def test_making_safe_keeps_its_musts(small_library: Library, scripts: dict[str, bytes]) -> None:
    """What must be done is marked as such, in the data and in the page."""
    steps = read(scripts["assets/job/book.js"], ".book = ")["safe"]
    procedure = small_library.procedures["making-safe"]
    assert [s["must"] for s in steps] == [bool(s.must) for s in procedure.steps] and any(s["must"] for s in steps)


def test_a_book_without_making_safe_still_has_it(small_library: Library) -> None:
    """Our own three steps stand in, all of them musts."""
    entries = {kind: dict(of) for kind, of in small_library.entries.items()}
    del entries["procedure"]["making-safe"]
    bare = Library(entries, small_library.pointing)
    steps = read(job_scripts(bare, scribe(bare.entries))["assets/job/book.js"], ".book = ")["safe"]
    assert len(steps) == 3 and all(s["must"] for s in steps)


def test_every_touch_has_its_closing_lines(whole_library: Library) -> None:
    """Each thing that a fix can touch asks for something at closing; every word that faults use for it is known."""
    pen = scribe(whole_library.entries).pen("job.html")
    for what in TOUCHED:
        assert closing_lines(whole_library, pen, what), what
        assert what in CLOSING
    used = {what for fault in whole_library.faults.values() for what in fault.touches}
    assert used <= set(TOUCHED), used - set(TOUCHED)


def test_hostile_words_stay_data(small_library: Library) -> None:
    """No script of the sheet holds a tag, a line end inside a string or anything but JSON, whatever the entries say."""
    library = poisoned_library(small_library, " and ".join(RAW))
    for path, content in job_scripts(library, scribe(library.entries)).items():
        text = content.decode("ascii")
        assert not re.search(r"[<>]/?(?:script|img|svg)", text, re.IGNORECASE), path
    assert "\u2028" not in text


@pytest.mark.skipif(shutil.which("node") is None, reason="no Node on this machine")
def test_scripts_parse(scripts: dict[str, bytes], tmp_path: Any) -> None:
    """Node reads every script that was made."""
    for path, content in scripts.items():
        target = tmp_path / path.replace("/", "-")
        target.write_bytes(content)
        subprocess.run(["node", "--check", str(target)], check=True, capture_output=True)


def test_the_page_names_only_scripts_that_are_there(small_files: dict[str, bytes]) -> None:
    """Every script and sheet that job.html loads is a file of the site."""
    page = small_files["job.html"].decode()
    loaded = re.findall(r'(?:src|href)="(assets/[^"]+)"', page)
    assert len(loaded) > len(SCRIPTS)
    assert [path for path in loaded if path not in small_files] == []
    for anchor, _ in STEPS:
        assert f'<section class="part" id="{anchor}"' in page


def test_the_name_under_which_jobs_are_kept(small_library: Library) -> None:
    """A slug of the shop's title: the same after each build, another for another shop."""
    assert re.fullmatch(r"[a-z0-9-]{1,60}", site_id(small_library))
    assert site_id(Library({})) == "benchlore"


def test_templates_hold_no_script_of_their_own() -> None:
    """No inline script, style or handler in the templates of the sheet."""
    templates = environment()
    for name in (n for n in templates.list_templates() if n.startswith("job") or n == "ranking.html"):
        source, *_ = templates.loader.get_source(templates, name)  # type: ignore[union-attr]
        assert not re.search(r"<script|<style|\son[a-z]+=|style=", source), name
