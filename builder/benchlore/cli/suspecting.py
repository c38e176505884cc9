"""``benchlore suspects``."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore.cli.checking import sound
from benchlore.cli.options import ids, json_option, quiet_option, shelf_option, stack
from benchlore.cli.words import say, say_json
from benchlore.problem import did_you_mean

if TYPE_CHECKING:
    from benchlore.entries.family import Family
    from benchlore.linking.library import Library
    from benchlore.ranking.model import Model
    from benchlore.ranking.suspects import Outcome, Seen


@click.command()
@click.option(
    "--family",
    metavar="ID",
    shell_complete=ids("family"),
    help="The family on the bench; without it, the trade at large.",
)
@click.option(
    "--revision",
    default="",
    metavar="KEY",
    help="Which revision of the family it is; its other revisions' faults count less.",
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
@quiet_option
def suspects(
    family: str | None,
    revision: str,
    symptoms: tuple[str, ...],
    absent: tuple[str, ...],
    passed: tuple[str, ...],
    failed: tuple[str, ...],
    limit: int,
    shelves: tuple[Path, ...],
    as_json: bool,
    quiet: bool,
) -> int:
    """Rank the faults that could be behind what was seen, and say what to check next.

    \b
    Example: benchlore suspects --family heron-30 --symptom hum-steady-low
    """
    from benchlore.ranking.suspects import Seen
    from benchlore.ranking.suspects import suspects as rank

    model = _model(stack(shelves), quiet)
    if model is None:
        return 1
    seen = Seen(tuple(dict.fromkeys(symptoms)), tuple(dict.fromkeys(absent)), passed, failed, revision=revision)
    _all_known(model, family, seen)
    outcome = rank(model, family, seen, limit)
    if as_json:
        say_json(outcome)
    else:
        _tell(outcome, model.library)
    return 0


def _model(stacked: list[Path], quiet: bool) -> Model | None:
    """The model of the shelves; None, said in words, where something is wrong on them."""
    from benchlore.ranking.model import Model

    checked = sound(stacked, "Ranking", quiet)
    return Model(checked.library) if checked else None


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


def _all_known(model: Model, family: str | None, seen: Seen) -> None:
    """Refuse what is in no entry, with the nearest word."""
    library = model.library
    for option, words, known in (
        ("--family", [family] if family else [], library.families),
        ("--symptom", seen.present, library.symptoms),
        ("--absent", seen.absent, library.symptoms),
        ("--passed", seen.passed, model.checks),
        ("--failed", seen.failed, model.checks),
    ):
        _known(option, words, known)
    if seen.revision:
        _known_revision(seen.revision, library.families[family] if family else None)


def _known_revision(revision: str, family: Family | None) -> None:
    if family is None:
        raise click.UsageError(f"--revision {revision}: say of which family, by --family")
    if not family.variants:
        raise click.UsageError(f"--revision {revision}: {family.title} has none in this book")
    _known("--revision", [revision], [variant.key for variant in family.variants])


def _known(option: str, words: Collection[str], known: Collection[str]) -> None:
    for word in words:
        if word not in known:
            raise click.UsageError(f"{option} {word}: there is no such id; {did_you_mean(word, known)}")
