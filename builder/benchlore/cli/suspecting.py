"""``benchlore suspects``."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore.cli.options import ids, json_option, keep, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain_of, say, say_json
from benchlore.meter import CHECKING
from benchlore.problem import did_you_mean

if TYPE_CHECKING:
    from benchlore.linking.library import Library
    from benchlore.ranking.suspects import Outcome


@click.command()
@click.option(
    "--family",
    metavar="ID",
    shell_complete=ids("family"),
    help="The family on the bench; without it, the trade at large.",
)
@click.option(
    "--symptom",
    "symptoms",
    multiple=True,
    metavar="ID",
    shell_complete=ids("symptom"),
    help="A symptom that is there; give it again for more.",
)
@click.option(
    "--absent",
    multiple=True,
    metavar="ID",
    shell_complete=ids("symptom"),
    help="A symptom that was looked for and is not there.",
)
@click.option("--passed", multiple=True, metavar="CHECK", help="A check (fault/key) that passed.")
@click.option("--failed", multiple=True, metavar="CHECK", help="A check (fault/key) that failed.")
@click.option(
    "--limit", type=click.IntRange(1, 200), default=10, show_default=True, metavar="N", help="How many suspects."
)
@shelf_option
@json_option
def suspects(
    family: str | None,
    symptoms: tuple[str, ...],
    absent: tuple[str, ...],
    passed: tuple[str, ...],
    failed: tuple[str, ...],
    limit: int,
    shelves: tuple[Path, ...],
    as_json: bool,
) -> int:
    """Rank the faults that could be behind what was seen, and say what to check next.

    \b
    Example: benchlore suspects --family heron-30 --symptom hum-steady-low
    """
    from benchlore.pipeline import check
    from benchlore.ranking.model import Model
    from benchlore.ranking.suspects import Seen
    from benchlore.ranking.suspects import suspects as rank

    stacked = stack(shelves)
    with waiting("Ranking", shares=CHECKING) as meter:
        checked = check(stacked, keep(), meter=meter)
    if not checked.sound:
        complain_of(p for p in checked.problems if p.severity == "error")
        return 1
    library = checked.library
    model = Model(library)
    _known("--family", [family] if family else [], library.families)
    _known("--symptom", symptoms, library.symptoms)
    _known("--absent", absent, library.symptoms)
    _known("--passed", passed, model.checks)
    _known("--failed", failed, model.checks)
    seen = Seen(tuple(dict.fromkeys(symptoms)), tuple(dict.fromkeys(absent)), passed, failed)
    outcome = rank(model, family, seen, limit)
    if as_json:
        say_json(outcome)
    else:
        _tell(outcome, library)
    return 0


def _tell(outcome: Outcome, library: Library) -> None:
    for suspect in outcome["suspects"]:
        say(f"{suspect['probability']:6.1%}  {suspect['title']}  ({suspect['fault']})")
        for reason in suspect["because"]:
            say(f"        {reason}")
    say(f"\nCheck next (about {outcome['expected_minutes']:.0f} minutes until it is found):")
    for number, step in enumerate(outcome["checks"][:8], 1):
        fault, _, key = step["check"].partition("/")
        do = next(c.do for c in library.faults[fault].checks if c.key == key)
        say(f"{number:3}. {do}  ({step['minutes']:.0f} min, finds it with {step['gain']:.0%}; {step['check']})")


def _known(option: str, words: Collection[str], known: Collection[str]) -> None:
    for word in words:
        if word not in known:
            raise click.UsageError(f"{option} {word}: there is no such id; {did_you_mean(word, known)}")
