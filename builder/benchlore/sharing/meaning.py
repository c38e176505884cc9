"""What an entry's text says, apart from how it is written; and where two texts say different things."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from benchlore.entries.fields import FieldType, Many, Part, Table, table_of
from benchlore.place import Place
from benchlore.reading.nodes import Mapping, Node, Scalar, Sequence
from benchlore.reading.scalars import NULLS

NOT_THERE = "(not there)"


@dataclass(frozen=True)
class Difference:
    """One field that two versions of an entry fill differently, with both places; a place is None where the field is missing."""

    where: str
    mine: str
    theirs: str
    mine_at: Place | None
    theirs_at: Place | None

    def __str__(self) -> str:
        mine = f" ({self.mine_at})" if self.mine_at else ""
        theirs = f" ({self.theirs_at})" if self.theirs_at else ""
        return f"{self.where}: mine {self.mine}{mine}; theirs {self.theirs}{theirs}"


def meaning(node: Node) -> Any:
    """What a node says, whatever the order of its fields; two nodes of equal meaning read alike."""
    if isinstance(node, Scalar):
        return (node.text.strip(), node.plain and node.text in NULLS)
    if isinstance(node, Sequence):
        return [meaning(item) for item in node.items]
    return sorted((key.text, repr(meaning(child))) for key, child in node.pairs)


def value_of(node: Node) -> Any:
    """The node as texts, lists and mappings, as JSON would hold it."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [value_of(item) for item in node.items]
    return {key.text: value_of(child) for key, child in node.pairs}


def differences(mine: Node, theirs: Node, type: FieldType | None, where: str = "") -> Iterator[Difference]:
    """Every field in which two nodes differ, the deepest that can be named; lists of records are matched by their key."""
    if meaning(mine) == meaning(theirs):
        return
    ours, others = _parts(mine, type), _parts(theirs, type)
    if ours is None or others is None or not (set(ours) & set(others)):
        yield Difference(where, shown(mine), shown(theirs), mine.place, theirs.place)
        return
    for name in [*ours, *(name for name in others if name not in ours)]:
        at = name if not where else f"{where}{name}" if name.startswith("[") else f"{where}.{name}"
        one, other = ours.get(name), others.get(name)
        if one is not None and other is not None:
            yield from differences(one, other, _below(type, name), at)
        elif one is not None:
            yield Difference(at, shown(one), NOT_THERE, one.place, None)
        elif other is not None:
            yield Difference(at, NOT_THERE, shown(other), None, other.place)


def _parts(node: Node, type: FieldType | None) -> dict[str, Node] | None:
    """A record's fields by name, or a list's records by their key; None for what has no named parts."""
    if isinstance(node, Mapping):
        return {key.text: child for key, child in node.pairs}
    if isinstance(node, Sequence) and isinstance(type, Many) and isinstance(type.of, Part):
        name = type.key or ("key" if "key" in table_of(type.of.record) else None)
        keys = [key.text for item in node.items if name and isinstance(key := _field(item, name), Scalar)]
        if len(set(keys)) == len(node.items):
            return {f"[{key}]": item for key, item in zip(keys, node.items, strict=True)}
    return None


def _field(node: Node, name: str) -> Node | None:
    return node.get(name) if isinstance(node, Mapping) else None


def _below(type: FieldType | None, name: str) -> FieldType | None:
    """The type of a part: a record's field, a list's record, what a table holds."""
    if isinstance(type, Part):
        field = table_of(type.record).get(name)
        return field.type if field else None
    return type.of if isinstance(type, Many | Table) else None


def shown(node: Node) -> str:
    """A value on one line, cut when long."""
    value = value_of(node)
    if isinstance(value, dict):
        value = ", ".join(f"{name} {item}" for name, item in value.items())
    elif isinstance(value, list):
        value = ", ".join(str(item) for item in value) or "(empty)"
    line = "".join(c if c.isprintable() else "?" for c in " ".join(str(value).split()))
    return f'"{line[:70]}{"..." if len(line) > 70 else ""}"'
