"""Options that several commands share."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from benchlore.keeping import Keep, usual_folder
from benchlore.shelves import NoShelf, default_shelves
from benchlore.workers import usual_jobs

F = TypeVar("F", bound=Callable[..., Any])


def shelf_option(command: F) -> F:
    """``--shelf DIR``, as often as there are shelves."""
    return click.option(
        "--shelf",
        "shelves",
        multiple=True,
        metavar="DIR",
        type=click.Path(path_type=Path),
        help="A shelf to stack, lowest first; give it again for more. Default: kb/reference and those beside it, or the shop you stand in.",
    )(command)


def json_option(command: F) -> F:
    """``--json``: for other programs."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON document and nothing else.")(command)


def jobs_option(command: F) -> F:
    """``--jobs N``: the site is the same with any number."""
    return click.option(
        "--jobs",
        type=click.IntRange(1, 64),
        default=usual_jobs,
        show_default="2, on one core 1",
        metavar="N",
        help="Processes that share a large piece of work.",
    )(command)


def stack(shelves: tuple[Path, ...]) -> list[Path]:
    """The shelves named, else those of the folder we stand in.  Raises ``click.UsageError``."""
    for shelf in shelves:
        if not shelf.is_dir():
            raise click.UsageError(f"--shelf {shelf}: there is no such folder")
    try:
        return list(shelves) or default_shelves(Path())
    except NoShelf as error:
        raise click.UsageError(str(error)) from None


def quiet_option(command: F) -> F:
    """``--quiet``: no signs of life, no advice."""
    return click.option("--quiet", is_flag=True, help="Say only what went wrong or must be answered; no progress.")(
        command
    )


def ids(kind: str | None = None) -> Callable[[click.Context, click.Parameter, str], list[str]]:
    """For shell completion: the ids of a kind (of all kinds without one) on the shelves of the command, told by their files' names."""

    def known(context: click.Context, _: click.Parameter, begun: str) -> list[str]:
        from benchlore.reading.files import entry_files

        try:
            shelves = list(context.params.get("shelves") or ()) or default_shelves(Path())
            found = {item.id for shelf in shelves for item in entry_files(Path(shelf))[0] if kind in (None, item.kind)}
        except (NoShelf, OSError):
            return []
        return sorted(id for id in found if id.startswith(begun))

    return known


def keep() -> Keep:
    """What this user's machine keeps between runs."""
    return Keep(usual_folder(os.environ, sys.platform))
