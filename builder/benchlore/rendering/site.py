"""A library to every file of its site, in pieces: each is made in one go and knows nothing of the others."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial

from benchlore.linking.library import Library
from benchlore.reckoning.compiled import Compiled
from benchlore.rendering import feed, shipped
from benchlore.rendering.forms import FORM_FILES, form_scripts
from benchlore.rendering.history import HAPPENINGS
from benchlore.rendering.job.scripts import job_pieces
from benchlore.rendering.lexicon import NAMES
from benchlore.rendering.pages import FORMER, Plan, environment, page_bytes, plans
from benchlore.rendering.prose import scribe
from benchlore.searching import likeness
from benchlore.searching.documents import documents_of
from benchlore.searching.export import build_index

QUESTIONS = (FORMER, NAMES, HAPPENINGS, *feed.QUESTIONS, *likeness.QUESTIONS)
Files = Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of the site: its name, what makes its files (path to bytes), and the paths that these may have."""

    name: str
    make: Callable[[], Files]
    paths: tuple[str, ...]


def pieces(library: Library, compiled: Mapping[str, Compiled]) -> Iterator[Piece]:
    """Every part of the site but the search index; ``compiled`` are the calculators by id."""
    writer, templates = scribe(library.entries), environment()

    def page(plan: Plan) -> Files:
        library.ask(NAMES)  # any words may hold any name
        return {plan.path: page_bytes(plan, library, writer, templates)}

    def with_names(make: Callable[[], Files]) -> Files:
        library.ask(NAMES)
        return make()

    yield Piece("shipped", shipped.files, tuple(shipped.files()))
    for made in (
        shipped.calculator_pieces(library, compiled),
        job_pieces(library, writer),
        feed.feed_pieces(library, writer),
    ):
        yield from (Piece(f"{paths[0]}", partial(with_names, make), paths) for paths, make in made)
    yield Piece("forms", lambda: form_scripts(library), FORM_FILES)
    yield from (Piece(plan.path, partial(page, plan), (plan.path,)) for plan in plans(library, compiled))


def render(library: Library, compiled: Mapping[str, Compiled] | None = None) -> dict[str, bytes]:
    """Every page, sheet, script and search shard of the site, path to bytes, in memory.

    A calculator that is not in ``compiled`` shows its formulas as they are written.
    """
    files: dict[str, bytes] = {}
    for piece in pieces(library, compiled or {}):
        files |= piece.make()
    return files | dict(build_index(documents_of(library)))
