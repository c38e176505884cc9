"""``benchlore build`` and ``benchlore audit``."""

from __future__ import annotations

from pathlib import Path

import click

from benchlore.cli.options import json_option, keep, shelf_option, stack
from benchlore.cli.words import complain, complain_of, count, say, say_json
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
@click.option("--jobs", type=click.IntRange(1, 64), default=1, show_default=True, metavar="N", help="Worker processes.")
@click.option("--quiet", is_flag=True, help="Say nothing when all went well.")
def build(shelves: tuple[Path, ...], out: Path, jobs: int, quiet: bool) -> int:
    """Check the entries and, when nothing is wrong, make the site.

    \b
    Example: benchlore build --shelf kb/reference --shelf my-shop --out /media/stick/site
    """
    from benchlore.pipeline import build as run

    built = run(stack(shelves), out, keep())
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


@click.command()
@shelf_option
@json_option
def audit(shelves: tuple[Path, ...], as_json: bool) -> int:
    """List every problem in the entries, with its place and how to mend it.

    \b
    Example: benchlore audit --shelf kb/reference
    """
    from benchlore.pipeline import check

    checked = check(stack(shelves), keep())
    if as_json:
        say_json({"problems": [p.as_json() for p in checked.problems], "entries": checked.counts})
    else:
        complain_of(checked.problems)
        say(_summary(checked.problems, sum(checked.counts.values())))
    return 0 if checked.sound else 1
