"""The data of the job sheet as files of the site: ``assets/job/``."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from benchlore.linking.library import Library
from benchlore.ranking.printing import core_script
from benchlore.ranking.questions import MODEL, OF_FAMILY
from benchlore.rendering.job.book import book_data, faults_data
from benchlore.rendering.job.family import family_data
from benchlore.rendering.prose import Scribe
from benchlore.rendering.shipped import Made

MADE = "// Made by the builder: data of the job sheet.\n"


def job_pieces(library: Library, writer: Scribe) -> Iterator[Made]:
    """The model with its printed functions, the book, its faults, and one file for each family.

    What belongs to one family (its prior, what its findings count) travels in that family's file.
    """
    yield _made("model", lambda: core_script() + assignment("model", library.ask(MODEL)))
    yield _made("book", lambda: assignment("book", book_data(library, writer.pen("job.html"))))
    yield _made("faults", lambda: assignment("texts", faults_data(library, writer.pen("job.html"))))
    for id in library.families:
        yield _made(f"families/{id}", partial(_family, library, writer, id))


def _made(name: str, text: Callable[[], str]) -> Made:
    path = f"assets/job/{name}.js"
    return (path,), lambda: {path: text().encode("utf-8")}


def job_scripts(library: Library, writer: Scribe) -> dict[str, bytes]:
    """All of them at once, path to bytes."""
    return {path: content for _, make in job_pieces(library, writer) for path, content in make().items()}


def _family(library: Library, writer: Scribe, id: str) -> str:
    prior, counts = library.ask(OF_FAMILY, id)
    data = family_data(library, writer.pen("job.html"), library.families[id]) | {"prior": prior, "counts": counts}
    return f"{MADE}Benchlore.job.shelve({_json(id)}, {_json(data)});\n"


def assignment(name: str, data: Any) -> str:
    """A script that sets ``Benchlore.job.NAME``."""
    return f"{MADE}((globalThis.Benchlore ??= {{}}).job ??= {{}}).{name} = {_json(data)};\n"


def _json(data: Any) -> str:
    """JSON that no text can break out of, whatever it holds."""
    text = json.dumps(data, allow_nan=False, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
