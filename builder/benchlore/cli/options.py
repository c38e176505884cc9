"""Options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from benchlore.shelves import NoShelf, default_shelves

shelf_option: Any = click.option(
    "--shelf",
    "shelves",
    multiple=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="A shelf to stack, lowest first; may be given again. Default: kb/reference and the shelves beside it, or the shop you stand in.",
)
json_option: Any = click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")


def stack(shelves: tuple[Path, ...]) -> list[Path]:
    """The shelves named, else those of the folder we stand in.  Raises ``click.UsageError``."""
    for shelf in shelves:
        if not shelf.is_dir():
            raise click.UsageError(f"--shelf {shelf}: there is no such folder")
    try:
        return list(shelves) or default_shelves(Path())
    except NoShelf as error:
        raise click.UsageError(str(error)) from None
