"""``benchlore bundle`` and ``absorb``: trading shelves with another shop, nothing lost and nothing written unasked."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore import __version__
from benchlore.cli.checking import sound
from benchlore.cli.options import ids, keep, quiet_option, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain, complain_of, count, say
from benchlore.meter import CHECKING, READ, Meter
from benchlore.problem import Problem, did_you_mean

if TYPE_CHECKING:
    from benchlore.linking.library import Library
    from benchlore.sharing.comparing import Item, Standing, Take
    from benchlore.sharing.opening import Bundle

TAKES: tuple[Take, ...] = ("mine", "theirs", "both")
Name = tuple[str, str]
MOST_LISTED = 12


@click.command()
@click.argument("out", metavar="OUT", type=click.Path(dir_okay=False, path_type=Path))
@click.option(
    "--only",
    multiple=True,
    metavar="ID",
    shell_complete=ids(),
    help="Only this entry and what it needs from the same shelf; give it again for more. KIND/ID where two kinds share an id.",
)
@shelf_option
@quiet_option
def bundle(out: Path, only: tuple[str, ...], shelves: tuple[Path, ...], quiet: bool) -> int:
    """Pack your shelf, or chosen entries of it, into one file for another shop.

    The uppermost shelf is packed: never your prices, your people's names or anything that is not an entry. The same
    entries make the same file, byte for byte.

    \b
    Example: benchlore bundle ours.zip
             benchlore bundle heron.zip --only heron-30 --only fault/ribbon-cracked
    """
    from benchlore.sharing.bundling import NothingToPack, write_bundle
    from benchlore.sharing.bundling import bundle as pack

    stacked = stack(shelves)
    if (checked := sound(stacked, "Packing", quiet)) is None:
        complain("Nothing was packed: mend these first.")
        return 1
    try:
        packed = pack(stacked[-1], checked.library, [_name(word, stacked[-1]) for word in only], __version__)
    except NothingToPack as nothing:
        raise click.UsageError(str(nothing)) from None
    _not_over_a_stranger(out)
    write_bundle(out, packed)
    if not quiet:
        _tell_packed(out, checked.library)
    return 0


def _name(word: str, shelf: Path) -> Name:
    """Kind and id of an entry of the shelf that was named by its id, or by KIND/ID."""
    from benchlore.reading.files import entry_files

    kind, slash, id = word.rpartition("/")
    own = [(found.kind, found.id) for found in entry_files(shelf)[0] if found.kind != "shop"]
    met = [name for name in own if name[1] == id and (not slash or name[0] == kind)]
    if not met:
        raise click.UsageError(
            f"--only {word}: no such entry on {shelf}; {did_you_mean(id, {name[1] for name in own})}"
        )
    if len(met) > 1:
        either = " or ".join(f"{kind}/{id}" for kind, id in met)
        raise click.UsageError(f"--only {word}: which one? Write {either}")
    return met[0]


def _not_over_a_stranger(out: Path) -> None:
    """Refuse to write over a file that is no bundle: it was a slip of the finger."""
    from benchlore.sharing.opening import Unfit, open_bundle

    if out.exists():
        try:
            open_bundle(out)
        except Unfit:
            raise click.UsageError(f"{out} is there already and is no bundle; name another file") from None


def _tell_packed(out: Path, library: Library) -> None:
    """What went in, as whoever opens it will see it."""
    from benchlore.sharing.opening import open_bundle

    packed = open_bundle(out)
    say(f"Packed {count(len(packed.entries), 'entry', 'entries')} into {out}.")
    if packed.leans_on:
        below = sorted({entry.shelf for need in packed.leans_on if (entry := library.get(*need)) is not None})
        leaning = count(len(packed.leans_on), "entry", "entries")
        say(f"It leans on {leaning} of the shelf {' and '.join(below)}, which the other shop must have too.")
    if not packed.licence:
        complain("Your shop.yaml names no licence: add one, so that the other shop knows what it may do.")


@click.command()
@click.argument("file", metavar="IN", required=False, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--take",
    "takes",
    multiple=True,
    metavar="mine|theirs|both",
    help="Write, and where an entry differs take this one. ID=mine says it for one entry; give it again for more.",
)
@click.option("--undo", "undoing", is_flag=True, help="Take the last absorbing back, every file as it was.")
@shelf_option
@quiet_option
def absorb(file: Path | None, takes: tuple[str, ...], undoing: bool, shelves: tuple[Path, ...], quiet: bool) -> int:
    """Take another shop's bundle in, on your uppermost shelf.

    Shows what is new, what you have already and what differs, field by field. In a terminal you are asked about each
    entry that differs; elsewhere say --take. Until then nothing is written; and all of it is written or nothing.

    \b
    Example: benchlore absorb theirs.zip
             benchlore absorb theirs.zip --take mine --take hum-steady=theirs
             benchlore absorb --undo
    """
    from benchlore.sharing.comparing import NotTaken
    from benchlore.sharing.opening import Unfit

    if undoing == (file is not None) or (undoing and takes):
        raise click.UsageError("name a bundle, or say --undo alone")
    stacked = stack(shelves)
    try:
        if file is None:
            return _undo(stacked[-1])
        return _take_in(file, stacked, takes, quiet)
    except Unfit as unfit:
        complain(f"{unfit}. Nothing was written.")
    except NotTaken as given_up:
        complain_of(given_up.problems)
        complain(str(given_up))
    return 1


def _named(shelf: Path) -> str:
    """What the shelf's folder is called, also where we stand in it."""
    return shelf.resolve().name


def _undo(shelf: Path) -> int:
    from benchlore.sharing.absorbing import undo

    paths = undo(shelf)
    say(f"Taken back, {count(len(paths), 'file')} on the shelf {_named(shelf)}:")
    for path in paths:
        say(f"  {'as before' if (shelf / path).exists() else 'gone':9}  {path}")
    return 0


def _take_in(file: Path, stacked: Sequence[Path], takes: tuple[str, ...], quiet: bool) -> int:
    """Open, compare, show, ask, write."""
    from benchlore.sharing.absorbing import absorb as write
    from benchlore.sharing.comparing import compare, standing, to_write
    from benchlore.sharing.opening import open_bundle

    with waiting("Comparing", quiet, {READ: 1}) as meter:
        theirs = open_bundle(file)
        mine = standing(stacked, meter)
        items = compare(theirs, mine)
    _show(theirs, items, mine, quiet)
    if all(item.state == "same" for item in items):
        say("You have all of it already. Nothing was written.")
        return 0
    asking = not takes and sys.stdin.isatty()
    if not takes and not asking:
        differ = any(item.state == "different" for item in items)
        how = "say what to do where they differ: --take mine, theirs or both" if differ else "add --take theirs"
        say(f"Nothing was written. To take it in, {how}.")
        return 0
    chosen = _asked(items) if asking else _told(takes, items)
    files = to_write(theirs, items, mine, lambda item: chosen[item.kind, item.id])
    if not files:
        say("Nothing new to take, and you keep yours. Nothing was written.")
        return 0
    if asking and not click.confirm(
        f"Write {count(len(files), 'file')} on your shelf {_named(stacked[-1])}?", err=True
    ):
        say("Nothing was written.")
        return 0
    with waiting("Absorbing", quiet, CHECKING) as meter:
        changed = write(stacked[-1], files, lambda: _errors(stacked, meter))
    _tell_taken(changed, stacked[-1], quiet)
    return 0


def _errors(stacked: Sequence[Path], meter: Meter) -> list[Problem]:
    from benchlore.pipeline import check

    return list(check(stacked, keep(), meter=meter).errors)


def _show(theirs: Bundle, items: Sequence[Item], mine: Standing, quiet: bool) -> None:
    """Whose it is, what is new, and where it differs, both places named."""
    from benchlore.sharing.comparing import amendment

    by = f", by {', '.join(theirs.by)}" if theirs.by else ""
    licence = theirs.licence or "no licence named"
    dated = f", newest entry of {theirs.date}" if theirs.date else ""
    say(f"{theirs.shop or theirs.shelf}{by}{dated}, {licence}: {count(len(items), 'entry', 'entries')}.")
    for item in items:
        if item.state == "new" and not quiet:
            lines = amendment(theirs.entries[item.kind, item.id])
            say(f"  {'amends' if lines else 'new':9}  {item.kind} {item.id}{_titled(theirs, item)}")
            for line in lines:
                say(f"               {line}")
        elif item.state == "different":
            say(f"  different  {item.kind} {item.id}{_titled(theirs, item)}")
            for difference in item.differences:
                say(f"               {difference}")
    numbers = {state: sum(item.state == state for item in items) for state in ("new", "same", "different")}
    say(f"{numbers['new']} new, {numbers['same']} the same, {numbers['different']} different.")
    lacking = [need for need in theirs.leans_on if need not in mine.layers and need not in theirs.entries]
    if lacking:
        complain(f"It leans on what you do not have: {_few(lacking)}. Ask the other shop for these too.")
    other = [
        need
        for need, version in theirs.leans_on.items()
        if version and need in mine.layers and mine.layers[need][0].digest != version
    ]
    if other:
        complain(f"It was written against another version of {_few(other)}: read what they say of these with care.")


def _few(names: Sequence[Name]) -> str:
    """Some entries by kind and id, and how many more."""
    listed = ", ".join(f"{kind} {id}" for kind, id in names[:MOST_LISTED])
    return f"{listed} and {len(names) - MOST_LISTED} more" if len(names) > MOST_LISTED else listed


def _titled(theirs: Bundle, item: Item) -> str:
    """Its title, where its text says one."""
    title = theirs.entries[item.kind, item.id].node.get("title")
    text = getattr(title, "text", "").strip()
    return f": {text}" if text else ""


def _asked(items: Sequence[Item]) -> dict[Name, Take]:
    """What a technician answers, entry by entry."""
    chosen: dict[Name, Take] = {}
    for item in items:
        if item.state == "different":
            question = (
                f"{item.kind} {item.id}: keep mine, take theirs{', or keep both' if 'both' in item.takes else ''}?"
            )
            chosen[item.kind, item.id] = click.prompt(question, type=click.Choice(item.takes), default="mine", err=True)
    return chosen


def _told(takes: Sequence[str], items: Sequence[Item]) -> dict[Name, Take]:
    """What ``--take`` says, for one entry or for all the rest."""
    rest: Take | None = None
    single: dict[str, Take] = {}
    for word in takes:
        id, equals, choice = word.rpartition("=")
        take = next((known for known in TAKES if known == choice), None)
        if take is None:
            raise click.UsageError(f"--take {word}: write mine, theirs or both, or ID=mine for one entry")
        if equals:
            single[id] = take
        else:
            rest = take
    different = {
        name: item for item in items if item.state == "different" for name in (item.id, f"{item.kind}/{item.id}")
    }
    if strange := [id for id in single if id not in different]:
        raise click.UsageError(
            f"--take {strange[0]}=...: no entry of that id differs; {did_you_mean(strange[0], different)}"
        )
    chosen: dict[Name, Take] = {}
    for item in different.values():
        take = single.get(f"{item.kind}/{item.id}", single.get(item.id, rest))
        if take is None:
            raise click.UsageError(
                f"{item.kind} {item.id} differs: say --take {item.id}=mine, theirs or both, or --take mine for all the rest"
            )
        chosen[item.kind, item.id] = take
    return chosen


def _tell_taken(changed: Sequence[str], shelf: Path, quiet: bool) -> None:
    if not changed:
        say("Nothing changed: you have all of it already.")
        return
    say(f"Wrote {count(len(changed), 'file')} on your shelf {_named(shelf)}. To take it back: benchlore absorb --undo")
    if not quiet:
        say("Next: benchlore build")
