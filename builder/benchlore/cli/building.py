"""``benchlore build`` and ``benchlore audit``."""

from __future__ import annotations

from pathlib import Path

import click

from benchlore.cli.options import jobs_option, json_option, keep, quiet_option, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain, complain_of, count, say, say_json
from benchlore.meter import BUILDING, CHECKING
from benchlore.problem import Problem


def _summary(problems: tuple[Problem, ...], entries: int) -> str:
    errors = sum(p.severity == "error" for p in problems)
    warnings = len(problems) - errors
    files = len({p.place.file for p in problems})
    said = count(errors, "problem") + (f" and {count(warnings, 'warning')}" if warnings else "")
    return f"{count(entries, 'entry', 'entries')} read, {said}" + (f" in {count(files, 'file')}" if files else "") + "."


@click.command()
@shelf_option
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("site"),
    show_default=True,
    metavar="DIR",
    help="Where the site goes.",
)
@jobs_option
@quiet_option
def build(shelves: tuple[Path, ...], out: Path, jobs: int, quiet: bool) -> int:
    """Check the entries and, when nothing is wrong, make the site.

    \b
    Example: benchlore build --shelf kb/reference --shelf my-shop --out /media/stick/site
    """
    from benchlore.pipeline import build as run

    stacked = stack(shelves)
    _apart(out, stacked)
    with waiting("Building the site", quiet, BUILDING) as meter:
        built = run(stacked, out, keep(), jobs, meter)
    complain_of(built.checked.problems)
    entries = sum(built.checked.counts.values())
    if built.published is None:
        complain(_summary(built.checked.problems, entries) + " Nothing was written; the site is as it was.")
        return 1
    if not quiet:
        kinds = ", ".join(
            count(n, kind, "families" if kind == "family" else None) for kind, n in built.checked.counts.items() if n
        )
        changed = (
            f"{count(built.published.written, 'file')} written" if built.published.changed else "nothing had changed"
        )
        say(f"Built {kinds} in {built.seconds:.1f} s ({changed}).")
        say(f"Open {(out / 'index.html').resolve()}")
    return 0


def _apart(out: Path, shelves: list[Path]) -> None:
    """Refuse a place where the site and a shelf would lie in each other; a shop's own ``site`` folder is the one exception."""
    place = out.resolve()
    for shelf in (shelf.resolve() for shelf in shelves):
        if place == shelf or place in shelf.parents:
            raise click.UsageError(f"--out {out} holds the shelf {shelf}; the site needs a folder of its own")
        if shelf in place.parents and not (place == shelf / "site" and (shelf / "shop.yaml").is_file()):
            raise click.UsageError(
                f"--out {out} lies on the shelf {shelf}; put the site beside it, such as {shelf.parent / 'site'}"
            )


@click.command()
@shelf_option
@json_option
@quiet_option
def audit(shelves: tuple[Path, ...], as_json: bool, quiet: bool) -> int:
    """List every problem in the entries, with its place and how to mend it.

    \b
    Example: benchlore audit --shelf kb/reference
    """
    from benchlore.pipeline import check

    stacked = stack(shelves)
    with waiting("Auditing", quiet, CHECKING) as meter:
        checked = check(stacked, keep(), meter=meter)
    if as_json:
        say_json({"problems": [p.as_json() for p in checked.problems], "entries": checked.counts})
    else:
        complain_of(checked.problems)
        if not quiet:
            say(_summary(checked.problems, sum(checked.counts.values())))
    return 0 if checked.sound else 1
