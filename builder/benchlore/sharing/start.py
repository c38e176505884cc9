"""A new shop's book: a shelf that stands on the reference shelf and builds at once."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from benchlore.entries.kinds import FOLDER_OF
from benchlore.sharing.draft import SCHEMAS, draft
from benchlore.sharing.placing import put_folder
from benchlore.sharing.schema import Ids, editor_settings, schema_files

README = """\
# {title}

This is our shop's book. It stands on the reference shelf that comes with Benchlore.

- `benchlore draft fault --id ID` hands you a new entry to fill in (or `family`, `finding`, `tube`, ...).
- `benchlore audit` says what is wrong or missing, with file and line.
- `benchlore build` makes the site; open `site/index.html` from disk. `benchlore preview` does so as you save.
- `benchlore bundle OUT.zip` packs our entries for another shop; `benchlore absorb IN.zip` takes theirs in.
- One file is one entry: its name is its id, its folder its kind. Never write an owner's data here.
"""

IGNORED = "/site/\n/.benchlore-cache/\n/.benchlore-undo.json\n"


def new_shop(title: str, ids: Ids, given: Mapping[str, str] | None = None) -> dict[str, bytes]:
    """The files of a new shop's folder; ``given`` fills in more of ``shop.yaml`` (currency, rate, mains, licence ...).

    ``ids`` are the ids of the reference shelf, for the editor's schemas.
    """
    known = {
        "title": title,
        "summary": "Our own book, on top of the reference shelf.",
        "currency": "EUR",
        "licence": "CC BY 4.0",
        **(given or {}),
    }
    files = {f"{SCHEMAS}/{name}": content for name, content in schema_files(ids).items()}
    files |= {f"{folder}/.gitkeep": b"" for folder in FOLDER_OF.values()}  # git keeps no empty folder
    files |= {
        "shop.yaml": draft("shop", known).encode("utf-8"),
        "README.md": README.format(title=title).encode("utf-8"),
        ".gitignore": IGNORED.encode("utf-8"),
        ".vscode/settings.json": editor_settings(f"./{SCHEMAS}"),
    }
    return files


def start(folder: Path, ids: Ids, title: str | None = None, given: Mapping[str, str] | None = None) -> str:
    """Make a new shop at ``folder`` and return its title (made from the folder's name unless given).

    Raises MachineRefused when something stands there already; then nothing is written.
    """
    title = title or folder.resolve().name.replace("-", " ").replace("_", " ").strip().capitalize() or "Our shop"
    put_folder(folder, new_shop(title, ids, given))
    return title
