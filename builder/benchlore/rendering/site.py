"""A library to every file of its site."""

from __future__ import annotations

from collections.abc import Mapping

from benchlore.linking.library import Library
from benchlore.reckoning.compiled import Compiled
from benchlore.rendering import shipped
from benchlore.rendering.feed import feed_files
from benchlore.rendering.forms import form_scripts
from benchlore.rendering.job.scripts import job_scripts
from benchlore.rendering.pages import environment, page_bytes, plans
from benchlore.rendering.prose import scribe
from benchlore.searching.documents import documents_of
from benchlore.searching.export import build_index


def render(library: Library, compiled: Mapping[str, Compiled] | None = None) -> dict[str, bytes]:
    """Every page, sheet, script and search shard of the site, path to bytes; ``compiled`` are the calculators by id.

    A calculator that is not in ``compiled`` shows its formulas as they are written.
    """
    known = compiled or {}
    writer, templates = scribe(library.entries), environment()
    pages = {plan.path: page_bytes(plan, library, writer, templates) for plan in plans(library, known)}
    index = build_index(documents_of(library))
    made = {**job_scripts(library, writer), **form_scripts(library), **feed_files(library, writer)}
    return {**shipped.files(), **shipped.calculator_scripts(known), **made, **index, **pages}
