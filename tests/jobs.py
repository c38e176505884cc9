"""The job sheet in a browser, worked as a technician would: by labels and words, not by its insides."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any


class Sheet:
    """An open job sheet."""

    def __init__(self, page: Any, site: Path, query: str = "") -> None:
        self.page = page
        self.site = site
        page.set_default_timeout(10_000)
        self.open(query)

    def open(self, query: str = "") -> None:
        """Open the sheet from disk and wait until a job stands on it."""
        self.page.goto(f"{self.site.as_uri()}/job.html{query}")
        self.ready()

    def ready(self) -> None:
        """Wait until a job stands on the page and its family's data has come."""
        self.page.wait_for_selector("[data-job=ready]", state="attached")
        self.page.wait_for_function(
            "() => { const J = Benchlore.job, id = J.record.get('family');"
            " return !J.known.families.has(id) || J.known.family() !== null; }"
        )
        self.settle()

    def settle(self) -> None:
        """Wait for the sections to follow what was typed."""
        self.page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")

    # -- intake
    def take_in(self, family: str, complaint: str = "", asked: str = "", **fields: str) -> None:
        """Choose the family by typing part of its name, and write the ticket down."""
        self.page.get_by_role("textbox", name="Family").fill(family)
        self.settle()
        if self.value("family") == "":  # a whole name is taken at once; a part of it is offered
            self.page.locator("[data-family-offers] button").first.click()
        self.ready()
        for label, text in {"The complaint": complaint, "What was asked for": asked}.items():
            if text:
                self.page.get_by_label(label).fill(text)
        for key, text in fields.items():
            self.fill(key.replace("_", "-"), text)
        self.settle()

    def sign(self, words: str) -> None:
        """Take a sign that is offered for the complaint."""
        self.page.locator("[data-sign-offers] button", has_text=words).click()
        self.settle()

    def fill(self, key: str, text: str) -> None:
        """Type into the field of that key, and leave it."""
        field = self.page.locator(f'[data-field="{key}"]')
        field.fill(text)
        field.blur()
        self.settle()

    def value(self, key: str) -> str:
        """What the job holds under that key."""
        return str(self.page.evaluate("(key) => Benchlore.job.record.get(key)", key))

    def tick(self, key: str) -> None:
        """Tick a box."""
        self.page.locator(f'input[data-field="{key}"]').check()
        self.settle()

    # -- bench
    def make_safe(self) -> None:
        """Tick every step of making safe."""
        for box in self.page.locator(".job-safe input[type=checkbox]").all():
            box.check()
        self.settle()

    def next_check(self) -> str:
        """The check that is asked for now, in words; empty when none is."""
        title = self.page.locator("[data-check-title]")
        return str(title.inner_text()) if title.count() else ""

    def next_id(self) -> str:
        """The id of the check that is asked for now."""
        key = self.page.locator("[data-check-next] input[data-field^='check-note/']").get_attribute("data-field")
        return str(key).removeprefix("check-note/")

    def result(self, word: str) -> None:
        """Press Pass, Fail or Not done."""
        self.page.locator("[data-check-next]").get_by_role("button", name=word).click()
        self.settle()

    def shares(self) -> dict[str, float]:
        """Every candidate with its probability, as the page reckons them; '' is what is not in this book."""
        return {
            str(row["id"]): float(row["share"])
            for row in self.page.evaluate(
                "() => Benchlore.job.reckon.outcome().ranked.map(({ id, share }) => ({ id, share }))"
            )
        }

    def top(self) -> str:
        """The first suspect's title as the list shows it."""
        return str(self.page.locator("[data-suspects-list] .suspect-head > :first-child").first.inner_text())

    # -- closing, hand-over
    def close_all(self) -> None:
        """Tick every line of the closing-up list."""
        for box in self.page.locator("[data-closing-lists] input[type=checkbox]").all():
            box.check()
        self.settle()

    def readiness(self) -> str:
        """What the sheet says about handing over."""
        return str(self.page.locator("[data-ready]").inner_text())

    def finding(self) -> tuple[str, str]:
        """Id and text of the finding."""
        made = self.page.evaluate("() => Benchlore.job.handover.finding()")
        assert made["missing"] == [] and made["refused"] == [], made
        assert self.page.locator("[data-finding]").inner_text().strip() == made["text"].strip()
        return made["id"], made["text"]

    def save_finding(self, shelf: Path) -> Path:
        """Save the finding by its button and put it on a shelf, unchanged."""
        with self.page.expect_download() as caught:
            self.page.get_by_role("button", name="Save the finding").click()
        (shelf / "findings").mkdir(parents=True, exist_ok=True)
        target = shelf / "findings" / caught.value.suggested_filename
        caught.value.save_as(target)
        return target

    def save_job(self, folder: Path) -> Path:
        """Save the job to a file by its button."""
        with self.page.expect_download() as caught:
            self.page.get_by_role("button", name="Save to a file").first.click()
        target = folder / caught.value.suggested_filename
        caught.value.save_as(target)
        return target

    def load(self, name: str, content: str | bytes) -> None:
        """Load a job file."""
        data = content.encode() if isinstance(content, str) else content
        self.page.set_input_files("#job-file", {"name": name, "mimeType": "application/json", "buffer": data})
        self.page.wait_for_timeout(150)
        self.ready()

    def notices(self) -> str:
        """The strips of words above the sheet."""
        return str(self.page.locator("[data-notices]").inner_text())


def job_file(fields: dict[str, str], **changes: Any) -> str:
    """The text of a job file with these fields."""
    data = {
        "what": "benchlore job",
        "version": 1,
        "rev": 1,
        "id": "jfromfile1",
        "made": "2026-01-02T03:04:05Z",
        "changed": "2026-01-02T03:04:05Z",
        "book": "x",
        "fields": fields,
    }
    return json.dumps(data | changes)
