"""``benchlore reckon``."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore.cli.checking import sound
from benchlore.cli.options import ids, json_option, keep, quiet_option, shelf_option, stack
from benchlore.cli.words import complain, say, say_json
from benchlore.problem import did_you_mean

if TYPE_CHECKING:
    from benchlore.reckoning.book import Sums
    from benchlore.reckoning.compiled import Compiled
    from benchlore.reckoning.outcome import Outcome

MARKS = {"good": "[ok]", "mind": "[mind]", "stop": "[STOP]", "note": "[note]"}


@click.command()
@click.argument("calculator", required=False, shell_complete=ids("calculator"))
@click.argument("inputs", nargs=-1, metavar="[NAME=QUANTITY]...")
@shelf_option
@json_option
@quiet_option
def reckon(
    calculator: str | None, inputs: tuple[str, ...], shelves: tuple[Path, ...], as_json: bool, quiet: bool
) -> int:
    """Do a sum of the bench; inputs left out keep their default. Without a name, list the sums.

    \b
    Example: benchlore reckon idle-dissipation tube=6v6gt plate_volts=345V sense_volts=38mV
    """
    sums = sums_of(stack(shelves), quiet)
    if sums is None:
        return 1
    if calculator is None:
        _list(sums, as_json)
        return 0
    if calculator not in sums:
        raise click.UsageError(f"there is no sum {calculator}; {did_you_mean(calculator, sums)}")
    given = dict(_pair(word) for word in inputs)
    outcome = sums[calculator].evaluate(given)
    if as_json:
        say_json(outcome.as_json())
    else:
        _tell(sums[calculator], outcome)
    for name, sentence in outcome.problems.items():
        complain(f"{name + ': ' if name else ''}{sentence}")
    return 2 if outcome.problems else 0


def sums_of(shelves: list[Path], quiet: bool = False) -> Sums | None:
    """The sums of some shelves, from what was kept where nothing has changed; None, with the problems said, where they are unsound."""
    from benchlore.keeping import code_digest
    from benchlore.reading.stamp import stamp_of
    from benchlore.reckoning.compiled import Compiled

    kept, key = keep(), f"{stamp_of(shelves)}-{code_digest()}"[:97]
    data = kept.get("sums", key)
    if data is not None:
        return {id: Compiled.from_data(one) for id, one in data.items()}

    if (checked := sound(shelves, "Reckoning", quiet)) is None:
        return None
    kept.put("sums", key, {id: one.to_data() for id, one in checked.sums.items()})
    return checked.sums


def _pair(word: str) -> tuple[str, str]:
    name, equals, value = word.partition("=")
    if not equals:
        raise click.UsageError(f"{word}: write NAME=QUANTITY, such as plate_volts=345V")
    return name, value


def _list(sums: Sums, as_json: bool) -> None:
    if as_json:
        say_json(
            {
                "calculators": [
                    {"id": s.id, "title": s.title, "inputs": [i.name for i in s.inputs]} for s in sums.values()
                ]
            }
        )
        return
    width = max(map(len, sums), default=0)
    for one in sums.values():
        say(f"{one.id:{width}}  {one.title}")


def _tell(compiled: Compiled, outcome: Outcome) -> None:
    say(compiled.title)
    for form in compiled.inputs:
        told = outcome.said(form.name)
        if told:
            say(f"  {form.label}: {told}   ({form.name})")
    for result in compiled.results:
        value = outcome.results.get(result.name)
        if value is None:
            continue
        spread = f" {value.uncertainty_text}" if value.uncertainty_text else ""
        say(f"\n{result.label}: {value.text}{spread}")
        if value.dominant_text:
            say(f"    {value.dominant_text}")
        if value.verdict:
            say(f"    {MARKS[value.verdict.mark]} {value.verdict.words}")
    for caution in outcome.cautions:
        say(f"\n! {caution}")
