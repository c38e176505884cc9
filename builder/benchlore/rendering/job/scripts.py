"""The data of the job sheet as files of the site: ``assets/job/``."""

from __future__ import annotations

import json
from typing import Any

from benchlore.linking.library import Library
from benchlore.ranking.model import Model, export
from benchlore.ranking.printing import core_script
from benchlore.reckoning.script import grammar_script
from benchlore.rendering.job.book import book_data, faults_data
from benchlore.rendering.job.family import family_data
from benchlore.rendering.prose import Scribe

MADE = "// Made by the builder: data of the job sheet.\n"


def job_scripts(library: Library, writer: Scribe) -> dict[str, bytes]:
    """Path to bytes: the model with its printed functions, the book, its faults, and one file for each family.

    What belongs to one family (its prior, what its findings count) travels in that family's file.
    """
    pen = writer.pen("job.html")
    model = export(Model(library))
    priors, counts = model.pop("prior"), model["counts"].pop("families")
    model["prior"] = priors[""]
    files = {
        "assets/js/grammar.js": grammar_script(),
        "assets/job/model.js": core_script() + assignment("model", model),
        "assets/job/book.js": assignment("book", book_data(library, pen)),
        "assets/job/faults.js": assignment("texts", faults_data(library, pen)),
    }
    for id, family in library.families.items():
        data = family_data(library, pen, family) | {"prior": priors[id], "counts": counts.get(id, [0, []])}
        files[f"assets/job/families/{id}.js"] = f"{MADE}Benchlore.job.shelve({_json(id)}, {_json(data)});\n"
    return {path: text.encode("utf-8") for path, text in files.items()}


def assignment(name: str, data: Any) -> str:
    """A script that sets ``Benchlore.job.NAME``."""
    return f"{MADE}((globalThis.Benchlore ??= {{}}).job ??= {{}}).{name} = {_json(data)};\n"


def _json(data: Any) -> str:
    """JSON that no text can break out of, whatever it holds."""
    text = json.dumps(data, allow_nan=False, ensure_ascii=True, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
