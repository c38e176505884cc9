"""YAML text to placed nodes, with everything refused that could mean other than it shows.

One pass over the C parser's events builds the nodes, so that an alias bomb, a tag or a second document is met before
anything is composed.  No constructor ever runs: a scalar stays the text that was typed.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Any, NamedTuple

import yaml

from benchlore.place import Place
from benchlore.problem import Problem

DEEPEST = 20
MOST_NODES = 200_000
Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # the pure parser reads the same, nine times slower


class Scalar(NamedTuple):
    """Text as typed; ``plain`` when it stood without quotes or block marks."""

    text: str
    plain: bool
    place: Place


class Sequence(NamedTuple):
    """A list of nodes."""

    items: list[Node]
    place: Place


class Mapping(NamedTuple):
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
        return _Composer(file).document(Loader(text).get_event)
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
        return Problem(
            place,
            "",
            "no character is written so in double quotes",
            "use single quotes, where a backslash is just a backslash",
        )
    if "quoted scalar" in said:
        return Problem(place, "", "a quote that opens here is never closed", "close it, or leave the quotes out")
    if "flow" in said:
        return Problem(
            place,
            "",
            "a bracket or brace that opens here is never closed rightly",
            "close it, and put commas between its parts",
        )
    if "tab character" in said or "token" in said:
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


class _Composer:
    """Builds the nodes of one file while its events come in."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.keys: dict[str, str] = {}  # the same few hundred words stand in every entry: keep one copy
        self.root: Node | None = None
        self.open: list[Sequence | Mapping] = []
        self.key: list[Scalar | None] = []  # for each open node the key whose value is to come

    def place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def refuse(self, event: Any, message: str, hint: str) -> Refused:
        return Refused(Problem(self.place(event), "", message, hint))

    def document(self, next_event: Callable[[], Any]) -> Mapping:
        """Take events until the stream ends; the document's nodes."""
        nodes = 0
        while not isinstance(event := next_event(), yaml.StreamEndEvent):
            if isinstance(event, yaml.NodeEvent):
                nodes += 1
                if nodes > MOST_NODES:
                    raise self.refuse(
                        event, f"more than {MOST_NODES} values in one file", "split it into several entries"
                    )
                self.node(event)
            elif isinstance(event, yaml.CollectionEndEvent):
                self.open.pop()
                self.key.pop()
            elif isinstance(event, yaml.DocumentStartEvent):
                self.starts(event)
        if self.root is None:
            raise Refused(Problem(Place(self.file), "", "the file is empty", "write an entry, or remove the file"))
        if not isinstance(self.root, Mapping):
            message = "an entry must be fields and values, one 'name: value' a line"
            raise Refused(Problem(self.root.place, "", message, "see kb/README.md for an example"))
        return self.root

    def starts(self, event: Any) -> None:
        if event.version or event.tags:
            raise self.refuse(event, "a YAML directive (a line that begins with %)", "remove the line")
        if self.root is not None:
            raise self.refuse(
                event, "a second document in one file", "one file holds one entry: remove what follows '---'"
            )

    def node(self, event: Any) -> None:
        """Make a node of the event and put it where it belongs."""
        if event.anchor or getattr(event, "tag", None):
            raise self.unwanted(event)
        if isinstance(event, yaml.ScalarEvent):
            text = event.value
            self.put(Scalar(text if text.isascii() else _normal(text), not event.style, self.place(event)))
            return
        made: Sequence | Mapping = (Sequence if isinstance(event, yaml.SequenceStartEvent) else Mapping)(
            [], self.place(event)
        )
        self.put(made)
        self.open.append(made)
        self.key.append(None)
        if len(self.open) > DEEPEST:
            raise self.refuse(event, f"nested deeper than {DEEPEST} levels", "no entry needs that; flatten it")

    def unwanted(self, event: Any) -> Refused:
        if isinstance(event, yaml.AliasEvent):
            hint = "write the value out, or put quotes round text that begins with *"
            return self.refuse(event, f"an alias (*{event.anchor})", hint)
        if event.anchor:
            return self.refuse(
                event, f"an anchor (&{event.anchor})", "remove it, or put quotes round text that begins with &"
            )
        return self.refuse(event, f"a tag ({event.tag})", "remove it, or put quotes round text that begins with !")

    def put(self, node: Node) -> None:
        if not self.open:
            self.root = node
        elif isinstance(within := self.open[-1], Sequence):
            within.items.append(node)
        elif (key := self.key[-1]) is None:
            self.key[-1] = self.named(node)
        else:
            within.pairs.append((key, node))
            self.key[-1] = None

    def named(self, node: Node) -> Scalar:
        """A node as a field's name."""
        if not isinstance(node, Scalar):
            message = "a field's name must be a word"
            raise Refused(Problem(node.place, "", message, "put the list or record after a name and a colon"))
        if node.text == "<<":
            raise Refused(Problem(node.place, "", "a merge key (<<)", "write the fields out"))
        return Scalar(self.keys.setdefault(node.text, node.text), node.plain, node.place)


def _normal(text: str) -> str:
    return unicodedata.normalize("NFC", _joined(text))


def _joined(text: str) -> str:
    """Surrogate pairs written as two JSON escapes joined to the character they mean; lone ones stay and are refused later."""
    if not any("\ud800" <= c <= "\udfff" for c in text):
        return text
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")
