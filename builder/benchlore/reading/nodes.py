"""YAML text to placed nodes, with everything refused that could mean other than it shows.

One pass over the C parser's events builds the nodes, so that an alias bomb, a tag or a second document is met before
anything is composed.  No constructor ever runs: a scalar stays the text that was typed.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from benchlore.place import Place
from benchlore.problem import Problem

DEEPEST = 20
MOST_NODES = 200_000
Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the pure parser reads the same, nine times slower


@dataclass(frozen=True, slots=True)
class Scalar:
    """Text as typed; ``plain`` when it stood without quotes or block marks."""

    text: str
    plain: bool
    place: Place


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list of nodes."""

    items: list[Node]
    place: Place


@dataclass(frozen=True, slots=True)
class Mapping:
    """Keys and nodes in the order written; a repeated key stands twice."""

    pairs: list[tuple[Scalar, Node]]
    place: Place

    def get(self, key: str) -> Node | None:
        """The first node under ``key``."""
        return next((node for name, node in self.pairs if name.text == key), None)


Node = Scalar | Sequence | Mapping


class Refused(Exception):
    """Reading of one file cannot go on; carries the problem."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def compose(text: str, file: str) -> Mapping:
    """The placed nodes of one document that is a mapping.  Raises ``Refused`` with the first thing that stops it."""
    try:
        return _Composer(file).document(iter(yaml.parse(text, Loader=Loader)))
    except yaml.MarkedYAMLError as error:
        raise Refused(_unmerged(text, file) or _worded(error, file)) from None
    except yaml.YAMLError as error:
        raise Refused(
            Problem(Place(file), "", f"not readable as YAML: {error}".replace("\n", " "), "correct the text there")
        ) from None


def _unmerged(text: str, file: str) -> Problem | None:
    """Git's marks of a clash, where they stand in a text that is not readable."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.startswith("<<<<<<< "):
            message = "git could not merge two versions of the lines that begin here"
            hint = "keep what is right of the two, and remove the lines <<<<<<<, ======= and >>>>>>>"
            return Problem(Place(file, number, 1), "", message, hint)
    return None


def _worded(error: yaml.MarkedYAMLError, file: str) -> Problem:
    """A parser's complaint at the place where the slip was made, with a remedy."""
    said = " ".join(filter(None, (error.context, error.problem)))
    escape = "escape" in said
    opened = not escape and ("quoted scalar" in said or "flow" in said)
    mark = (error.context_mark if opened else None) or error.problem_mark or error.context_mark
    place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
    if "mapping values are not allowed" in said:
        return Problem(
            place, "", "a second colon stands in this line", "put quotes round text that holds a colon and a space"
        )
    if escape:
        return Problem(place, "", "no character is written so in double quotes", "use single quotes, where a backslash is just a backslash")
    if "quoted scalar" in said:
        return Problem(place, "", "a quote that opens here is never closed", "close it, or leave the quotes out")
    if "flow" in said:
        return Problem(
            place,
            "",
            "a bracket or brace that opens here is never closed rightly",
            "close it, and put commas between its parts",
        )
    if "\\t" in said or "token" in said:
        return Problem(
            place,
            "",
            "this character cannot begin a value",
            "indent with spaces, and put quotes round text that begins with a special mark",
        )
    return Problem(
        place,
        "",
        f"not readable as YAML ({error.problem or error.context})",
        "look at the indentation of this line and the one above",
    )


@dataclass
class _Composer:
    file: str
    nodes: int = 0
    depth: int = 0
    keys: dict[str, str] = field(default_factory=dict)  # the same few hundred words stand in every entry: keep one copy

    def place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def refuse(self, event: Any, message: str, hint: str) -> Refused:
        return Refused(Problem(self.place(event), "", message, hint))

    def document(self, events: Iterator[Any]) -> Mapping:
        root: Node | None = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                if event.version or event.tags:
                    raise self.refuse(event, "a YAML directive (a line that begins with %)", "remove the line")
                if root is not None:
                    raise self.refuse(
                        event, "a second document in one file", "one file holds one entry: remove what follows '---'"
                    )
            elif isinstance(event, yaml.NodeEvent):
                root = self.node(event, events)
        if root is None:
            raise Refused(Problem(Place(self.file), "", "the file is empty", "write an entry, or remove the file"))
        if not isinstance(root, Mapping):
            raise Refused(
                Problem(
                    root.place,
                    "",
                    "an entry must be fields and values, one 'name: value' a line",
                    "see kb/README.md for an example",
                )
            )
        return root

    def node(self, event: Any, events: Iterator[Any]) -> Node:
        self.guard(event)
        if isinstance(event, yaml.ScalarEvent):
            return self.scalar(event)
        self.depth += 1
        if self.depth > DEEPEST:
            raise self.refuse(event, f"nested deeper than {DEEPEST} levels", "no entry needs that; flatten it")
        made = (
            self.sequence(event, events) if isinstance(event, yaml.SequenceStartEvent) else self.mapping(event, events)
        )
        self.depth -= 1
        return made

    def guard(self, event: Any) -> None:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise self.refuse(event, f"more than {MOST_NODES} values in one file", "split it into several entries")
        if isinstance(event, yaml.AliasEvent):
            raise self.refuse(
                event, f"an alias (*{event.anchor})", "write the value out, or put quotes round text that begins with *"
            )
        if event.anchor:
            raise self.refuse(
                event, f"an anchor (&{event.anchor})", "remove it, or put quotes round text that begins with &"
            )
        if event.tag:
            raise self.refuse(event, f"a tag ({event.tag})", "remove it, or put quotes round text that begins with !")

    def scalar(self, event: Any) -> Scalar:
        text = event.value
        if not text.isascii():
            text = unicodedata.normalize("NFC", _joined(text))
        return Scalar(text, not event.style, self.place(event))

    def sequence(self, event: Any, events: Iterator[Any]) -> Sequence:
        made = Sequence([], self.place(event))
        for inner in events:
            if isinstance(inner, yaml.SequenceEndEvent):
                break
            made.items.append(self.node(inner, events))
        return made

    def mapping(self, event: Any, events: Iterator[Any]) -> Mapping:
        made = Mapping([], self.place(event))
        for inner in events:
            if isinstance(inner, yaml.MappingEndEvent):
                break
            key = self.node(inner, events)
            if not isinstance(key, Scalar):
                raise Refused(
                    Problem(
                        key.place,
                        "",
                        "a field's name must be a word",
                        "put the list or record after a name and a colon",
                    )
                )
            if key.text == "<<":
                raise Refused(Problem(key.place, "", "a merge key (<<)", "write the fields out"))
            name = self.keys.setdefault(key.text, key.text)
            made.pairs.append((Scalar(name, key.plain, key.place), self.node(next(events), events)))
        return made


def _joined(text: str) -> str:
    """Surrogate pairs written as two JSON escapes joined to the character they mean; lone ones stay and are refused later."""
    if not any("\ud800" <= c <= "\udfff" for c in text):
        return text
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")
