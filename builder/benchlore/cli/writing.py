"""``benchlore draft``, ``tidy``, ``start`` and ``schema``: what helps people write entries."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from benchlore.cli.options import ids, keep, quiet_option, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain, complain_of, count, say
from benchlore.entries.fields import Many, table_of
from benchlore.entries.kinds import KINDS
from benchlore.meter import CHECKING
from benchlore.problem import did_you_mean
from benchlore.shelves import NoShelf, default_shelves, reference_shelf

if TYPE_CHECKING:
    from benchlore.linking.library import Library


@click.command()
@click.argument("kind", metavar="KIND", type=click.Choice(list(KINDS)))
@click.option(
    "--id",
    "id_",
    metavar="ID",
    help="Its id: the file's name without .yaml. Default: made from the title; of a finding from day, family and initials.",
)
@click.option(
    "--set",
    "given",
    multiple=True,
    metavar="FIELD=VALUE",
    help="Fill in a field; give it again for more. Lists: a; b; c.",
)
@click.option(
    "--job",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Fill in a finding from a saved job sheet; nothing about the owner is taken.",
)
@click.option(
    "--amend",
    metavar="ID",
    shell_complete=ids(),
    help="Not a new entry: what your shelf says otherwise of this one, which stands on a shelf below.",
)
@click.option(
    "--write",
    is_flag=True,
    help="Put it on the uppermost shelf instead of printing it. Never over an existing file.",
)
@click.option(
    "--ask/--no-ask", default=None, help="Ask for the main fields in the terminal (the default when there is one)."
)
@shelf_option
@quiet_option
def draft(
    kind: str,
    id_: str | None,
    given: tuple[str, ...],
    job: Path | None,
    amend: str | None,
    write: bool,
    ask: bool | None,
    shelves: tuple[Path, ...],
    quiet: bool,
) -> int:
    """Start a new entry: every field explained in a comment, what is known filled in.

    KIND is family, stage, fault, symptom, tube, procedure, calculator, finding, shop, term or fastener. First it names
    what the book says already. In a terminal it asks for the main fields; Enter leaves one open.

    \b
    Example: benchlore draft fault --id hum-steady --set "title=Steady hum" --write
             benchlore draft finding --job 2291.json --write
             benchlore draft fault --amend filter-dried --set "commonness=very common" --write
    """
    from benchlore.sharing.draft import draft as drafted

    known = {**_from_job(kind, job), **dict(_given(kind, word) for word in given)}
    if amend is not None:
        text = _amendment(kind, amend, known, stack(shelves))
    else:
        _similar(shelves, " ".join(v for v in known.values() if isinstance(v, str)), kind, quiet)
        if ask if ask is not None else sys.stdin.isatty():
            known |= _asked(kind, known, lambda title: _similar(shelves, title, kind, quiet))
        text = drafted(kind, known)
    if not write:
        click.echo(text, nl=False)
        return 0
    left = "fill in what says TODO, then run" if "TODO" in text.partition("\n\n")[2] else "then run"
    stacked = stack(shelves)
    id_ = amend or id_ or _named(kind, known, stacked)
    say(f"Wrote {_put(kind, id_, text, stacked[-1])}; {left}: benchlore audit")
    return 0


def _asked(kind: str, known: Mapping[str, Any], titled: Callable[[str], None]) -> dict[str, Any]:
    """What is answered in the terminal, of what is not known yet; ``titled`` hears the title before anything else is asked."""
    from benchlore.sharing.draft import questions

    answers = {}
    for field in questions(kind):
        if field.name not in known:
            answer = click.prompt(f"{field.label} ({field.help})", default="", show_default=False, err=True).strip()
            if answer:
                answers[field.name] = _value(kind, field.name, answer)
                if field.name == "title":
                    titled(answer)
    return answers


def _from_job(kind: str, job: Path | None) -> dict[str, Any]:
    """What a saved job sheet fills in of a finding."""
    from benchlore.sharing.jobfile import NoJob, finding_of

    if job is None:
        return {}
    if kind != "finding":
        raise click.UsageError("--job fills in a finding; write: benchlore draft finding --job FILE")
    try:
        return finding_of(job)
    except NoJob as reason:
        raise click.UsageError(str(reason)) from None


def _amendment(kind: str, id: str, known: Mapping[str, Any], shelves: Sequence[Path]) -> str:
    """What one's own shelf says otherwise of an entry below."""
    from benchlore.reading.files import entry_files, read_bytes
    from benchlore.reading.shelf import digest_of
    from benchlore.sharing.amendment import amendment_draft

    below = {
        found.id: found for shelf in reversed(shelves[:-1]) for found in entry_files(shelf)[0] if found.kind == kind
    }
    if id not in below:
        raise click.UsageError(f"--amend {id}: no shelf below yours has such a {kind}; {did_you_mean(id, below)}")
    return amendment_draft(kind, id, digest_of(read_bytes(below[id])), known)


def _named(kind: str, known: Mapping[str, Any], shelves: Sequence[Path]) -> str:
    """An id that no entry of the kind has yet, made from what is known."""
    from benchlore.reading.files import entry_files
    from benchlore.sharing.naming import id_for

    if kind == "shop":
        return kind
    taken = {found.id for shelf in shelves for found in entry_files(shelf)[0] if found.kind == kind}
    id = id_for(kind, known, taken)
    if not id or (kind == "finding" and not (known.get("date") and known.get("family"))):
        needs = "the day and the family" if kind == "finding" else "a title"
        raise click.UsageError(f"--write needs --id, or {needs} to make it from")
    return id


def _put(kind: str, id_: str, text: str, shelf: Path) -> Path:
    from benchlore.sharing.placing import put_entry

    try:
        return put_entry(shelf, kind, id_, text)
    except ValueError as error:
        raise click.UsageError(f"--id: {error}") from None


def _given(kind: str, word: str) -> tuple[str, Any]:
    name, equals, value = word.partition("=")
    table = table_of(KINDS[kind])
    if not equals:
        raise click.UsageError(f"--set {word}: write FIELD=VALUE")
    if name not in table:
        raise click.UsageError(f"--set {name}: a {kind} has no such field; {did_you_mean(name, table)}")
    return name, _value(kind, name, value)


def _value(kind: str, name: str, text: str) -> Any:
    if isinstance(table_of(KINDS[kind])[name].type, Many):
        return [item.strip() for item in text.strip("[] ").replace(";", ",").split(",") if item.strip()]
    return text


def _similar(shelves: tuple[Path, ...], words: str, kind: str, quiet: bool) -> None:
    """Name the entries that may already say it, on standard error, so that what is printed stays an entry."""
    if not words or kind in ("finding", "shop"):  # every job is its own finding
        return
    from benchlore.cli.finding import Unsound, store_for
    from benchlore.searching.finding import find

    try:
        store = store_for(list(shelves) or default_shelves(Path()), quiet)
    except (Unsound, NoShelf):
        return
    results = find(store, words, kind=kind, limit=3).results
    if results:
        complain(f"Already in the book ({kind}), look before you write another:")
        for result in results:
            complain(f"  {result.title}  ({result.id})")


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--check", is_flag=True, help="Change nothing; exit 1 when a file is not in house form.")
@quiet_option
def tidy(files: tuple[Path, ...], check: bool, quiet: bool) -> int:
    """Put entries into house form: fields in order, one indentation, comments kept.

    \b
    Example: benchlore tidy kb/workshop/findings/*.yaml
    """
    from benchlore.reading.nodes import Refused
    from benchlore.sharing.tidy import is_tidy, tidy_file

    changed: list[Path] = []
    refused: list[Refused] = []
    with waiting("Tidying", quiet, {"file by file": 1}) as meter:
        meter.begin("file by file", len(files))
        for file in files:
            try:
                if not is_tidy(file) if check else tidy_file(file):
                    changed.append(file)
            except Refused as refusal:
                refused.append(refusal)
            meter.step()
    for file in changed:
        say(f"{file}: {'not in house form' if check else 'tidied'}")
    complain_of(refusal.problem for refusal in refused)
    if not (changed or refused or quiet):
        say(f"{count(len(files), 'file')} in house form already.")
    return 1 if refused or (check and changed) else 0


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--title", metavar="WORDS", help="What the shop is called; default: made from the folder's name.")
@quiet_option
def start(folder: Path, title: str | None, quiet: bool) -> int:
    """Begin a new shop's book on top of the reference shelf; it builds at once.

    \b
    Example: benchlore start our-shop && cd our-shop && benchlore build
    """
    from benchlore.sharing.start import start as begin

    named = begin(folder, _ids([reference_shelf()], quiet), title)
    if not quiet:
        say(f"{named}: a new book in {folder}. Next: cd {folder}, fill in shop.yaml, then benchlore build")
    return 0


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@shelf_option
@quiet_option
def schema(folder: Path, shelves: tuple[Path, ...], quiet: bool) -> int:
    """Write JSON Schemas of all kinds for your editor.

    \b
    Example: benchlore schema .schemas
    """
    from benchlore.sharing.placing import put_files
    from benchlore.sharing.schema import schema_files

    files = schema_files(_ids(stack(shelves), quiet))
    put_files(folder, files)
    if not quiet:
        say(f"{count(len(files), 'schema')} in {folder}")
    return 0


def _ids(shelves: list[Path], quiet: bool) -> dict[str, list[str]]:
    from benchlore.pipeline import check

    with waiting("Looking through the shelves", quiet, CHECKING) as meter:
        library: Library = check(shelves, keep(), meter=meter).library
    return {kind: list(of) for kind, of in library.entries.items()}
