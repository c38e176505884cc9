"""An upper shelf's word on a lower shelf's entry, field by field, before either becomes a record.

Merging works on placed nodes, so that every value still knows the file in which it stands, and the page can say whose word it is.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Sequence as Seq
from typing import Any

from benchlore.entries.common import Amended, Retired
from benchlore.entries.fields import Field, Many, table_of
from benchlore.entries.kinds import KINDS
from benchlore.problem import Problem, Severity, did_you_mean
from benchlore.reading.nodes import Mapping, Node, Scalar, Sequence
from benchlore.reading.scalars import NULLS, TO_DO

AMENDMENT = ("amends", "set", "add", "retire", "why")


def merge(kind: str, stack: Seq[Any], problems: list[Problem]) -> Mapping | None:
    """The nodes of an entry with all amendments applied.

    ``stack`` holds layers (node, digest, shelf, file), lowest first.  An amendment's file holds ``amends`` (the digest of the
    text it was written against, or ``yes``) and any of ``set`` (field: new value), ``add`` (list field: more items) and
    ``retire`` (list field: keys of items to leave out; or ``entry: reason``), with ``why``.
    """
    base, *upper = stack
    if base.node.get("amends") is not None:
        remedy = "remove the line and write a whole entry, or correct the file's name"
        _say(problems, base.node, "amends", f"no lower shelf has this {kind} to amend", remedy)
        return None
    node: Mapping = base.node
    below = base
    for layer in upper:
        if not _amends(layer, base, below, kind, problems):
            return None
        step = _apply(node, layer.node, kind, problems)
        if step is None:
            return None
        node, below = step, layer
    return node


def retirement(kind: str, id: str, stack: Seq[Any]) -> Retired | None:
    """Who leaves the whole entry out, and why; None where nobody does.  The stack is one that merged."""
    for layer in stack[1:]:
        part = layer.node.get("retire")
        reason = part.get("entry") if isinstance(part, Mapping) else None
        if isinstance(reason, Scalar):
            title = stack[0].node.get("title")
            words = title.text.strip() if isinstance(title, Scalar) else id
            return Retired(kind, id, words, layer.shelf, reason.text.strip())
    return None


def _amends(layer: Any, base: Any, below: Any, kind: str, problems: list[Problem]) -> bool:
    """Does the layer say that it amends?  Warns where the text that it was written against has changed since."""
    amends = layer.node.get("amends")
    if amends is None:
        remedy = "rename it, or begin it with 'amends: yes' and say only what differs"
        _say(problems, layer.node, "", f"this {kind} stands on a lower shelf too ({below.file})", remedy)
        return False
    if isinstance(amends, Scalar) and amends.text not in ("yes", base.digest):
        remedy = f"read it again, then write amends: {base.digest}"
        problems.append(
            Problem(amends.place, "amends", f"{base.file} has changed since this was written", remedy, "warning")
        )
    return True


def _say(problems: list[Problem], node: Mapping, where: str, message: str, hint: str) -> None:
    problems.append(Problem(node.place, where, message, hint))


def _apply(base: Mapping, change: Mapping, kind: str, problems: list[Problem]) -> Mapping | None:
    table = table_of(KINDS[kind])
    known = sum(problem.severity == "error" for problem in problems)
    pairs = {key.text: (key, node) for key, node in base.pairs}
    for key, node in change.pairs:
        if key.text not in AMENDMENT:
            hint = f"put it under set: {key.text}: ..." if key.text in table else did_you_mean(key.text, AMENDMENT)
            problems.append(Problem(key.place, key.text, "not a part of an amendment", hint))
        elif key.text == "why":
            if not isinstance(node, Scalar) or node.text.strip() == TO_DO:
                problems.append(
                    Problem(node.place, "why", "still to be written", "say in a sentence why your bench knows better")
                )
        elif key.text in ("set", "add", "retire"):
            if not isinstance(node, Mapping):
                _say(problems, change, key.text, "must hold fields and values", "write the fields under it, one a line")
                continue
            for name, value in node.pairs:
                if key.text == "retire" and name.text == "entry":
                    _reasoned(change, name, value, problems)
                elif name.text not in table:
                    problems.append(
                        Problem(
                            name.place,
                            key.text,
                            f'"{name.text}" is not a field of a {kind}',
                            did_you_mean(name.text, table),
                        )
                    )
                else:
                    _field(pairs, key.text, name, value, table[name.text], problems)
                    if key.text == "retire":
                        _reasoned(change, name, value, problems)
    if sum(problem.severity == "error" for problem in problems) > known:
        return None
    return Mapping(list(pairs.values()), base.place)


def _reasoned(change: Mapping, name: Scalar, value: Node, problems: list[Problem]) -> None:
    """What is left out is left out for a reason: that of the whole entry stands beside ``entry``; items without one are a warning."""
    said: Node | None
    severity: Severity
    if name.text == "entry":
        said, severity = value, "error"
        remedy = "write why the shop leaves it out, such as entry: never met on our coast"
    else:
        said, severity = change.get("why"), "warning"
        remedy = "add a line, such as why: never met on our coast"
    if (
        not isinstance(said, Scalar)
        or not said.text.strip()
        or (said.plain and said.text in (*NULLS, TO_DO, "yes", "no"))
    ):
        problems.append(Problem(name.place, f"retire.{name.text}", "says no reason", remedy, severity))


def _field(
    pairs: dict[str, tuple[Scalar, Node]], how: str, name: Scalar, value: Node, f: Field, problems: list[Problem]
) -> None:
    if how == "set":
        pairs[name.text] = (name, value)
        return
    if not isinstance(f.type, Many) or not isinstance(value, Sequence):
        problems.append(
            Problem(
                name.place,
                f"{how}.{name.text}",
                "is not a list",
                "use 'set' for a single value; for a list write its items",
            )
        )
        return
    old = pairs.get(name.text, (name, Sequence([], value.place)))[1]
    items = list(old.items) if isinstance(old, Sequence) else []
    key = f.type.key
    if how == "add":
        new = {_key(item, key) for item in value.items}
        items = [item for item in items if _key(item, key) not in new or _key(item, key) is None] + value.items
    else:
        gone = {_key(item, key) for item in value.items}
        missing = gone - {_key(item, key) for item in items}
        for item in value.items:
            if _key(item, key) in missing:
                problems.append(
                    Problem(
                        item.place,
                        f"retire.{name.text}",
                        "the lower shelf has no such item",
                        "correct the key, or remove the line",
                    )
                )
        items = [item for item in items if _key(item, key) not in gone]
    pairs[name.text] = (name, Sequence(items, value.place if how == "add" else old.place))


def words_of(layer: Any) -> Iterator[Amended]:
    """What an amendment that has been applied says, field by field, in the order of its text."""
    why = layer.node.get("why")
    reason = why.text if isinstance(why, Scalar) else ""
    for key, node in layer.node.pairs:
        if key.text in ("set", "add", "retire"):
            for name, value in node.pairs:
                listed = value.items if key.text != "set" and isinstance(value, Sequence) else ()
                items = tuple(found for item in listed if (found := _named(item)))
                yield Amended(name.text, key.text, layer.shelf, items, reason)


def _named(item: Node) -> str:
    """What to call an item of a list: its text, or the first text of its record, which is its key."""
    if isinstance(item, Mapping):
        return next((value.text for _, value in item.pairs if isinstance(value, Scalar)), "")
    return item.text if isinstance(item, Scalar) else ""


def _key(item: Node, key: str | None) -> str | None:
    """What makes two items of a list the same one: the text itself, or the record's key field."""
    if isinstance(item, Scalar):
        return item.text
    if isinstance(item, Mapping) and key:
        found = item.get(key)
        return found.text if isinstance(found, Scalar) else None
    return None
