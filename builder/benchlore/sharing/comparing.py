"""A bundle beside one's own shelves: what is new, what is the same, what differs and how; and what taking it would write."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from benchlore.entries.fields import Part, table_of
from benchlore.entries.kinds import KINDS
from benchlore.meter import READ, Meter, unwatched
from benchlore.problem import Problem
from benchlore.reading import amending
from benchlore.reading.characters import decode
from benchlore.reading.files import entry_files, read_bytes
from benchlore.reading.nodes import Mapping as Record
from benchlore.reading.nodes import Refused, Scalar, compose
from benchlore.reading.shelf import Layer, digest_of
from benchlore.sharing.bundling import Name
from benchlore.sharing.draft import place_of
from benchlore.sharing.house import field_lines, scalar
from benchlore.sharing.meaning import Difference, differences, meaning, shown, value_of
from benchlore.sharing.opening import Bundle, Packed

State = Literal["new", "same", "different"]
Take = Literal["mine", "theirs", "both"]
AMENDS = {"set": "sets", "add": "adds to", "retire": "takes out of"}


class NotTaken(Exception):
    """Absorbing was given up and nothing is changed; the words say why, ``problems`` what the checker found."""

    def __init__(self, words: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(words)
        self.problems = tuple(problems)


@dataclass(frozen=True)
class Standing:
    """Every entry's layers on a stack of shelves, lowest first, and which of them the uppermost shelf has a word on."""

    layers: Mapping[Name, Sequence[Layer]]
    own: frozenset[Name]


@dataclass(frozen=True)
class Item:
    """One entry of a bundle beside one's own. ``takes`` says between what one may choose when it differs."""

    kind: str
    id: str
    state: State
    differences: tuple[Difference, ...] = ()
    takes: tuple[Take, ...] = ()


def standing(shelves: Sequence[Path], meter: Meter | None = None) -> Standing:
    """What stands on ``shelves``, lowest first. Raises NotTaken when one's own shelves are not readable."""
    layers: dict[Name, list[Layer]] = {}
    own: set[Name] = set()
    meter = meter or unwatched()
    files = [(shelf, entry_files(shelf)[0]) for shelf in shelves]
    meter.begin(READ, sum(len(of) for _, of in files))
    for shelf, of in files:
        own.clear()
        for found in of:
            meter.step()
            data = read_bytes(found)
            text, problems = decode(data, found.file)
            try:
                node = compose(text, found.file)
            except Refused as refused:
                problems = [*problems, refused.problem]
            if problems:
                raise NotTaken("Your own shelf has a problem; mend it first.", problems)
            layers.setdefault((found.kind, found.id), []).append(Layer(node, digest_of(data), shelf.name, found.file))
            own.add((found.kind, found.id))
    return Standing(layers, frozenset(own))


def compare(bundle: Bundle, mine: Standing) -> tuple[Item, ...]:
    """Each entry of the bundle beside one's own, in order of kind and id. Findings merge as a set, by what they say."""
    findings = {repr(meaning(stack[-1].node)) for (kind, _), stack in mine.layers.items() if kind == "finding"}
    items = []
    for name, packed in sorted(bundle.entries.items()):
        known = packed.kind == "finding" and repr(meaning(packed.node)) in findings
        items.append(Item(*name, "same") if known else _item(packed, mine, bundle))
    return tuple(items)


def _item(packed: Packed, mine: Standing, bundle: Bundle) -> Item:
    """A whole entry beside the whole one that stands here, an amendment beside one's own amendment."""
    name = (packed.kind, packed.id)
    stack = mine.layers.get(name, ())
    amends = packed.node.get("amends") is not None
    if not stack or (amends and name not in mine.own):
        return Item(*name, "new")
    own = stack[-1].node if amends else amending.merge(packed.kind, stack, []) or stack[-1].node
    found = tuple(differences(own, packed.node, None if amends else Part(KINDS[packed.kind])))
    twin = mine.layers.get((packed.kind, second_id(packed, bundle)))
    if not found or (twin and _untitled(twin[-1].node) == _untitled(packed.node)):
        return Item(*name, "same")
    return Item(*name, "different", found, ("mine", "theirs") if amends else ("mine", "theirs", "both"))


def amendment(packed: Packed) -> tuple[str, ...]:
    """What an amendment does to the entry below it, in a line each; nothing for a whole entry."""
    if packed.node.get("amends") is None:
        return ()
    lines = []
    for how, words in AMENDS.items():
        part = packed.node.get(how)
        for name, value in part.pairs if isinstance(part, Record) else ():
            whole = how == "retire" and name.text == "entry"
            lines.append(f"{'leaves the whole entry out' if whole else f'{words} {name.text}'}: {shown(value)}")
    why = packed.node.get("why")
    return (*lines, *([f"why: {shown(why)}"] if why is not None else []))


def _untitled(node: Record) -> Any:
    """What an entry says apart from its title and its former ids."""
    return meaning(Record([pair for pair in node.pairs if pair[0].text not in ("title", "was")], node.place))


def second_id(packed: Packed, bundle: Bundle) -> str:
    """The id under which theirs can stand beside mine: ``hum-from-bridge-street``."""
    shop = "-".join(re.findall("[a-z0-9]+", (bundle.shelf or "another").lower())) or "another"
    return f"{packed.id[:40].rstrip('-')}-from-{shop[:12].rstrip('-')}"


def to_write(bundle: Bundle, items: Sequence[Item], mine: Standing, choose: Callable[[Item], Take]) -> dict[str, bytes]:
    """Path on the shelf to content, for all that is new and as chosen for what differs; nothing for the rest.

    Raises NotTaken when a choice cannot be carried out.
    """
    files: dict[str, bytes] = {}
    for item in items:
        packed = bundle.entries[item.kind, item.id]
        take = choose(item) if item.state == "different" else "theirs" if item.state == "new" else "mine"
        if take == "theirs":
            files[packed.path] = _theirs(packed, item, mine, bundle)
        elif take == "both":
            if "both" not in item.takes:
                raise NotTaken(f"{packed.path}: two amendments of one entry cannot stand side by side; take mine or theirs.")
            id = second_id(packed, bundle)
            if (packed.kind, id) in mine.layers:
                raise NotTaken(f"{packed.path}: {id} stands here already; take mine or theirs.")
            files[place_of(packed.kind, id)] = _retitled(packed, bundle)
    return files


def _theirs(packed: Packed, item: Item, mine: Standing, bundle: Bundle) -> bytes:
    """Their text; over an entry of a lower shelf, an amendment that says what they say."""
    name = (packed.kind, packed.id)
    if item.state == "new" or packed.node.get("amends") is not None or (len(mine.layers[name]) == 1 and name in mine.own):
        return packed.data
    table = table_of(KINDS[packed.kind])
    changed = dict.fromkeys(found.where.partition(".")[0].partition("[")[0] for found in item.differences)
    lines = [f"amends: {mine.layers[name][0].digest}", "set:"]
    for field in changed:
        value = packed.node.get(field)
        if value is not None and field in table:
            lines += field_lines(field, value_of(value), table[field].type, indent=2)
    if len(lines) == 2:
        raise NotTaken(f"{packed.path}: theirs only leaves out what the lower shelf says; take mine, or write the amendment.")
    lines.append(f"why: {scalar(f'absorbed from {bundle.shop or bundle.shelf}')}")
    return ("\n".join(lines) + "\n").encode("utf-8")


def _retitled(packed: Packed, bundle: Bundle) -> bytes:
    """Their text under a title of its own and without former ids, since two entries of a kind may not share either."""
    title = packed.node.get("title")
    if packed.kind == "finding" or not isinstance(title, Scalar):
        return packed.data
    lines = packed.data.decode("utf-8").splitlines()
    number = title.place.line - 1
    if not lines[number].startswith("title:") or (number + 1 < len(lines) and lines[number + 1].startswith(" ")):
        raise NotTaken(f"{packed.path}: its title is not on a line of its own; take mine or theirs.")
    suffix = f" (from {bundle.shop or bundle.shelf})"
    lines[number] = f"title: {scalar(title.text.strip()[: 120 - len(suffix[:60])] + suffix[:60])}"
    former = next((key.place.line - 1 for key, _ in packed.node.pairs if key.text == "was"), None)
    if former is not None:
        del lines[former]
        while former < len(lines) and lines[former].startswith((" ", "-")):
            del lines[former]
    return ("\n".join(lines) + "\n").encode("utf-8")
