"""A library to the pages of the site: which pages there are, and each of them as bytes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined, TemplateError

from benchlore.addresses import LISTED, PLURALS, closing_of, page_of
from benchlore.linking.library import Library
from benchlore.reckoning.compiled import Compiled
from benchlore.rendering import shipped
from benchlore.rendering.prose import Scribe
from benchlore.rendering.views import lists, standing
from benchlore.rendering.views.add import add_page
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.calculator import calculator_page
from benchlore.rendering.views.changes import changes_page
from benchlore.rendering.views.closing import closing_page
from benchlore.rendering.views.family import family_page
from benchlore.rendering.views.fault import fault_page
from benchlore.rendering.views.fields_page import fields_page
from benchlore.rendering.views.findings import finding_pages, findings_page, year_page
from benchlore.rendering.views.home import home_page
from benchlore.rendering.views.job import job_page
from benchlore.rendering.views.page import KIND_WORDS, Here, PageView
from benchlore.rendering.views.procedure import procedure_page
from benchlore.rendering.views.ranking import ranking_page
from benchlore.rendering.views.retired import retired_page, with_left_out
from benchlore.rendering.views.shop import safety_page, shop_page
from benchlore.rendering.views.stage import stage_page
from benchlore.rendering.views.symptom import symptom_page
from benchlore.rendering.views.tube import tube_page
from benchlore.rendering.views.whose import with_words
from benchlore.works import Question

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; form-action 'none'; "
    "base-uri 'none'; require-trusted-types-for 'script'; trusted-types benchlore-shard benchlore-job"
)
_ENTRY_PAGES: Mapping[str, Callable[[Here, Any], PageView]] = {
    "family": family_page,
    "stage": stage_page,
    "fault": fault_page,
    "symptom": symptom_page,
    "tube": tube_page,
}
_LIST_PAGES: tuple[tuple[str, str, Callable[[Here], PageView]], ...] = (
    ("families.html", "family", lists.families_page),
    ("symptoms.html", "symptom", lists.symptoms_page),
    ("faults.html", "fault", lists.faults_page),
    ("stages.html", "stage", lists.stages_page),
    ("tubes.html", "tube", lists.tubes_page),
    ("procedures.html", "procedure", lists.procedures_page),
    ("calculators.html", "calculator", lists.calculators_page),
    ("findings.html", "finding", findings_page),
    ("fasteners.html", "fastener", standing.fasteners_page),
    ("glossary.html", "term", standing.glossary_page),
)
_WAYS = ("family", "symptom", "fault", "tube", "procedure", "calculator", "term")


@dataclass(frozen=True, slots=True)
class Plan:
    """A page to be written: its path, what it is about, and the view that makes it."""

    path: str
    about: tuple[tuple[str, str], ...]
    view: Callable[[Here], PageView]


@dataclass(frozen=True, slots=True)
class Frame:
    """What surrounds a page: its sheets and scripts, the ways through the book."""

    title: str
    policy: str
    root: str
    home: str
    icon: str
    safety: str
    family: str
    search: bool
    sheets: tuple[str, ...]
    scripts: tuple[str, ...]
    nav: tuple[Link, ...]
    foot: tuple[Link, ...]


class PageProblem(Exception):
    """A template and its view do not fit together: a mistake in the builder, never in an entry."""


def plans(library: Library, compiled: Mapping[str, Compiled]) -> Iterator[Plan]:
    """Every page of the site, in a fixed order."""
    yield Plan("index.html", (), home_page)
    for kind, view in _ENTRY_PAGES.items():
        for id in library.entries.get(kind, {}):
            yield _plan(page_of(kind, id), kind, id, view)
    for id in library.procedures:
        yield _plan(page_of("procedure", id), "procedure", id, procedure_page, lambda _: compiled)
    for id in library.calculators:
        yield _plan(page_of("calculator", id), "calculator", id, calculator_page, compiled.get)
    for id in library.families:
        yield _plan(closing_of(id), "family", id, closing_page)
    left_out = {kind for kind, _ in library.retired}
    for path, kind, list_view in _LIST_PAGES:
        if library.entries.get(kind) or kind in left_out:
            yield Plan(path, (), partial(with_left_out, kind, list_view))
    for path in finding_pages(library):
        yield Plan(path, (), year_page)
    if library.entries.get("shop"):
        yield _plan(LISTED["shop"], "shop", "shop", shop_page)
    yield Plan("job.html", (), job_page)
    yield Plan("suspects.html", (), ranking_page)
    yield Plan("safety.html", (), safety_page)
    yield Plan("changes.html", (), changes_page)
    yield Plan("add.html", (), add_page)
    yield Plan("fields.html", (), fields_page)
    for kind, id, former in library.ask(FORMER):
        yield Plan(page_of(kind, former), (), partial(_pointer_page, kind, id))
    for kind, id in library.retired:
        if kind in PLURALS:
            yield Plan(page_of(kind, id), (), partial(retired_page, kind, id))


def _plan(
    path: str, kind: str, id: str, view: Callable[..., PageView], further: Callable[[str], Any] | None = None
) -> Plan:
    """A page about an entry, which is not looked at before the page is made; ``further`` gives what the view takes besides."""

    def made(here: Here) -> PageView:
        return view(here, here.library.entries[kind][id], *([] if further is None else [further(id)]))

    return Plan(path, ((kind, id),), made)


def _former(library: Library, _: str) -> list[list[str]]:
    """Kind, id and former id of every entry that has a page of its own and was called otherwise."""
    of_kinds = ((kind, library.entries.get(kind, {})) for kind in PLURALS)
    return [[kind, id, former] for kind, of in of_kinds for id, entry in of.items() for former in entry.was]


FORMER = Question("former-ids", _former)


def _pointer_page(kind: str, id: str, here: Here) -> PageView:
    """A page at a former address, pointing on."""
    link = here.link(kind, id)
    return PageView(here.path, link.words, "pointer", template="pointer.html", extra=link)


def page_bytes(plan: Plan, library: Library, writer: Scribe, templates: Environment) -> bytes:
    """One page as it is written to disk."""
    here = Here(library, writer.pen(plan.path, plan.about), plan.path)
    page = plan.view(here)
    entry = library.get(*plan.about[0]) if plan.about else None
    if entry is not None and page.template != "closing.html":
        page = with_words(here, entry, page)
    try:
        text = templates.get_template(page.template).render(page=page, frame=frame(here, page, plan))
    except TemplateError as error:
        raise PageProblem(f"{plan.path}: {_template_place(error)}: {error}") from error
    return text.encode("utf-8")


def frame(here: Here, page: PageView, plan: Plan) -> Frame:
    """What surrounds the page at ``plan.path``."""
    family = next((id for kind, id in plan.about if kind == "family"), "")
    title = page.title if page.kind == "home" else f"{page.title} · Benchlore"
    return Frame(
        title=title,
        policy=POLICY,
        root="../" * plan.path.count("/"),
        home=here.to("index.html"),
        icon=here.to("assets/mark.svg"),
        safety=here.to("safety.html"),
        family=family,
        search=shipped.has_script("search.js"),
        sheets=tuple(here.to(sheet) for sheet in shipped.SHEETS),
        scripts=tuple(here.to(script) for script in (*shipped.scripts_everywhere(), *page.scripts)),
        nav=(
            Link("Job sheet", here.to("job.html"), tag="here" if page.kind == "job" else ""),
            *_ways(here, _WAYS, page.kind),
        ),
        foot=(
            *_ways(here, KIND_WORDS, page.kind),
            Link("Job sheet", here.to("job.html")),
            Link("What changed", here.to("changes.html")),
            Link("Add to the book", here.to("add.html")),
            Link("Safety", here.to("safety.html")),
            Link("Fields of entries", here.to("fields.html")),
        ),
    )


def _ways(here: Here, kinds: Iterable[str], current: str) -> Iterator[Link]:
    """Links to the lists that exist; the one the page belongs to is marked."""
    for kind in kinds:
        if here.library.entries.get(kind):
            target = f"{PLURALS[kind]}.html" if kind in PLURALS else LISTED[kind]
            yield Link(KIND_WORDS[kind][1], here.to(target), tag="here" if kind == current else "")


@cache
def environment() -> Environment:
    """The templates: escaped by default, strict about missing names; compiled once in a process."""
    return Environment(
        loader=FileSystemLoader(Path(__file__).parent / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )


def _template_place(error: BaseException) -> str:
    """The template and line in which a page failed; Jinja names them only in the last frame of the traceback."""
    place, trace = "templates", error.__traceback__
    while trace is not None:
        name = trace.tb_frame.f_code.co_filename
        if "templates" in name:
            place = f"{Path(name).name}:{trace.tb_lineno}"
        trace = trace.tb_next
    return place
