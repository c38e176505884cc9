"""``benchlore export``."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from benchlore.cli.checking import sound
from benchlore.cli.options import quiet_option, shelf_option, stack
from benchlore.cli.words import say_json
from benchlore.entries.kinds import KINDS


@click.command()
@click.argument("kind", metavar="KIND", type=click.Choice(list(KINDS)))
@click.option(
    "--format", "form", type=click.Choice(["csv", "json"]), default="csv", show_default=True, help="Form of the table."
)
@shelf_option
@quiet_option
def export(kind: str, form: str, shelves: tuple[Path, ...], quiet: bool) -> int:
    """Write all entries of a kind as a table; headers name the units.

    KIND is family, stage, fault, symptom, tube, procedure, calculator, finding, shop, term or fastener.

    \b
    Example: benchlore export finding --format csv > findings.csv
    """
    from benchlore.sharing.export import as_csv, columns, rows

    stacked = stack(shelves)
    if (checked := sound(stacked, "Exporting", quiet)) is None:
        return 1
    entries = checked.library.entries[kind]
    if form == "json":
        say_json({"kind": kind, "columns": columns(kind), "rows": rows(kind, entries)})
    else:
        sys.stdout.write(as_csv(kind, entries))
    return 0
