"""The job sheet: one page on which a job is worked, from the complaint to the finding; without scripts, a blank form on paper."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from benchlore.rendering.job import words
from benchlore.rendering.job.book import SUMS, safe_steps
from benchlore.rendering.shipped import has_script
from benchlore.rendering.views.blocks import CautionView, Link
from benchlore.rendering.views.page import Here, PageView

SCRIPTS = (
    "dom",
    "file",
    "store",
    "record",
    "book",
    "fields",
    "reckon",
    "suspects",
    "family",
    "signs",
    "intake",
    "safe",
    "bench",
    "checks",
    "pattern",
    "measured",
    "idle",
    "work",
    "closing",
    "yaml",
    "handover",
    "jobs",
    "print",
    "start",
)
"""Scripts of the sheet, one duty each, in the order in which they are loaded."""

STEPS = (
    ("intake", "Intake"),
    ("bench", "On the bench"),
    ("measured", "Measured"),
    ("work", "Work done"),
    ("closing", "Closing up"),
    ("hand-over", "Hand-over"),
)


@dataclass(frozen=True, slots=True)
class JobSheet:
    """What the template of the sheet shows: the steps, the lines that need no family, the shop's initials."""

    steps: tuple[Link, ...]
    safe: tuple[dict[str, Any], ...]
    safe_url: str
    looking: tuple[tuple[str, str], ...]
    touched: tuple[tuple[str, str], ...]
    always: tuple[tuple[str, str], ...]
    technicians: tuple[str, ...]
    currency: str
    mains: str
    ranking: str
    known_good: Link | None
    earth: Link | None


def job_page(here: Here) -> PageView:
    """The job sheet of this book."""
    library, shop = here.library, here.library.shop
    return PageView(
        here.path,
        "Job sheet",
        "job",
        cautions=(
            CautionView(
                "high voltage",
                Markup(
                    "Plug out, discharged and proved dead with a meter before a hand goes in, and again after every spell with power on. "
                    "Local codes and licensed practice come first."
                ),
            ),
        ),
        template="job.html",
        scripts=_scripts(here),
        extra=JobSheet(
            steps=tuple(Link(heading, f"#{anchor}", tag=str(n)) for n, (anchor, heading) in enumerate(STEPS, 1)),
            safe=tuple(safe_steps(library, here.pen)),
            safe_url=here.pen.url("procedure", "making-safe") if "making-safe" in library.procedures else "",
            looking=words.LOOKING,
            touched=tuple(words.TOUCHED.items()),
            always=words.ALWAYS,
            technicians=tuple(t.initials for t in shop.technicians) if shop else (),
            currency=shop.currency if shop else "",
            mains=shop.mains.text if shop and shop.mains else "",
            ranking=here.to("suspects.html"),
            known_good=_procedure(here, "comparing-known-good"),
            earth=_procedure(here, "earth-and-insulation"),
        ),
    )


def _procedure(here: Here, id: str) -> Link | None:
    return here.link("procedure", id) if here.library.get("procedure", id) else None


def _scripts(here: Here) -> tuple[str, ...]:
    """The grammar and the sums that the sheet calls, its data, then its own scripts."""
    sums = [f"assets/calculators/{id}.js" for id in SUMS if id in here.library.calculators]
    return (
        *(f"assets/js/{name}.js" for name in ("grammar", "quantity", "reckon", "answer", "naming")),
        *sums,
        *(f"assets/job/{name}.js" for name in ("model", "book", "faults")),
        *(f"assets/js/job-{name}.js" for name in SCRIPTS if has_script(f"job-{name}.js")),
    )
