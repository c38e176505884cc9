"""``benchlore find``."""

from __future__ import annotations

import shlex
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore.cli.options import ids, json_option, keep, quiet_option, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain_of, count, say, say_json
from benchlore.meter import CHECKING, INDEX, Meter
from benchlore.searching.document import KINDS  # not those of entries: a warm search loads no kind of entry

if TYPE_CHECKING:
    from benchlore.problem import Problem
    from benchlore.searching.document import Documents
    from benchlore.searching.store import Store


class Unsound(Exception):
    """The shelves have these errors; ``store_for`` has said them."""

    def __init__(self, errors: Sequence[Problem]) -> None:
        self.errors = errors


@click.command()
@click.argument("words", nargs=-1, required=True)
@click.option("--kind", type=click.Choice(list(KINDS)), help="Only entries of this kind.")
@click.option(
    "--family",
    metavar="ID",
    shell_complete=ids("family"),
    help="The family on the bench: what belongs to it comes first.",
)
@click.option(
    "--limit", type=click.IntRange(1, 1000), default=10, show_default=True, metavar="N", help="How many results."
)
@shelf_option
@json_option
@quiet_option
def find(
    words: tuple[str, ...],
    kind: str | None,
    family: str | None,
    limit: int,
    shelves: tuple[Path, ...],
    as_json: bool,
    quiet: bool,
) -> int:
    """Look something up, in an owner's words or the bench's.

    \b
    Example: benchlore find it howls when I dig in
    """
    from benchlore.searching.finding import find as look_up

    try:
        store = store_for(stack(shelves), quiet)
    except Unsound:
        return 1
    outcome = look_up(store, " ".join(words), kind=kind, family=family, limit=limit)
    if as_json:
        say_json(outcome.as_json())
        return 0
    for correction in outcome.corrections:
        say(f"showing {correction.shown} for {correction.typed}")
    before, after = ("\033[1m", "\033[0m") if sys.stdout.isatty() and not _no_colour() else ("*", "*")
    for number, result in enumerate(outcome.results, 1):
        say(f"{number:3}. {result.title}  ({result.kind})  {result.url}")
        if result.snippet:
            click.echo("     " + result.marked(before, after), color=True)
    if not outcome.results:
        say("Nothing found. Try fewer or other words, or half a word.")
        if (title := outcome.query[:100]).isprintable():
            say(f"If the book does not have it yet: benchlore draft fault --set {shlex.quote(f'title={title}')}")
    elif outcome.total > len(outcome.results):
        say(f"{count(outcome.total, 'result')} in all; --limit shows more.")
    return 0


def store_for(shelves: list[Path], quiet: bool = False) -> Store:
    """What a search of these shelves needs, from what was kept where nothing has changed.  Raises ``Unsound``."""
    from benchlore.keeping import code_digest
    from benchlore.reading.stamp import stamp_of
    from benchlore.searching.store import store_of

    folder = keep().folder
    stamp = f"{stamp_of(shelves)}-{code_digest()}"
    where = folder / f"find-{_name(shelves)}" if folder else None
    try:
        with waiting("Looking up", quiet, {**CHECKING, INDEX: 100}) as meter:
            return store_of(where, stamp, lambda: _documents(shelves, meter))
    except Unsound as unsound:  # said once the bar is gone
        complain_of(unsound.errors)
        raise


def _no_colour() -> bool:
    import os

    return bool(os.environ.get("NO_COLOR"))


def _name(shelves: list[Path]) -> str:
    """One folder for each stack of shelves, so that two shops do not push each other's index out."""
    import hashlib

    return hashlib.sha256("\0".join(str(s.resolve()) for s in shelves).encode()).hexdigest()[:12]


def _documents(shelves: list[Path], meter: Meter) -> Documents:
    from benchlore.pipeline import check
    from benchlore.searching.documents import documents_of

    checked = check(shelves, keep(), meter=meter)
    if not checked.sound:
        raise Unsound(checked.errors)
    meter.begin(INDEX, 0)
    return documents_of(checked.library)
