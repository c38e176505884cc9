"""The page of forms: what each of them is for; the forms themselves are made by its scripts from the field tables."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from benchlore.entries.kinds import FOLDER_OF
from benchlore.rendering.forms import SCRIPTS
from benchlore.rendering.views.page import Here, PageView

WORDS = {
    "finding": ("A finding", "What one job turned out to be. Never anything about the owner."),
    "fault": ("A fault", "A cause of trouble, with the checks that prove it, the fix, and the proof of the fix."),
    "family": (
        "A family",
        "Amps that share circuit and build. The longest form: have the chassis, the meter and an hour.",
    ),
}


@dataclass(frozen=True, slots=True)
class FormView:
    """One form: its kind, its words, the folder its file goes to, and where its fields are explained."""

    kind: str
    title: str
    words: str
    folder: str
    fields: str


def add_page(here: Here) -> PageView:
    """Forms for what the bench adds most."""
    forms = tuple(
        FormView(kind, title, words, FOLDER_OF[kind], here.to(f"fields.html#{kind}"))
        for kind, (title, words) in WORDS.items()
    )
    lede = Markup(
        "<p>Fill in a form, and this page writes the file. It checks as you type by the builder's own rules; "
        "nothing is sent anywhere, and what you type stays on this machine.</p>"
    )
    scripts = tuple(f"assets/js/{name}.js" for name in SCRIPTS)
    return PageView(here.path, "Add to the book", "add", lede=lede, extra=forms, template="add.html", scripts=scripts)
