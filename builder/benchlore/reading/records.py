"""Placed nodes and a field table to a record, or every problem in them at once."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from benchlore.entries.fields import Amount, Field, FieldType, Many, Part, Ref, Slug, Table, table_of
from benchlore.place import Place
from benchlore.problem import Problem, did_you_mean
from benchlore.reading.nodes import Mapping, Node, Scalar, Sequence
from benchlore.reading.scalars import Wrong, convert, quoted

PIN = re.compile(r"[0-9]{1,2}|cap|top")
NAME = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,39}")
_SUCH_AS = re.compile(r"such as .+$")
MANY = 1000  # problems in one entry, after which no nearest word is looked for: that takes its time
BAD = object()  # stands for a value that has been reported


@dataclass
class Converter:
    """Converts the nodes of one entry; collects its problems and the place of every value."""

    problems: list[Problem] = field(default_factory=list)
    places: dict[str, Place] = field(default_factory=dict)

    def report(self, place: Place, path: str, message: str, hint: str) -> Any:
        self.problems.append(Problem(place, path, message, hint))
        return BAD

    def record(self, node: Mapping, record: type[Any], path: str, extra: dict[str, Any] | None = None) -> Any:
        """An instance of ``record``, or ``BAD`` when anything in it was reported."""
        table = table_of(record)
        values: dict[str, Any] = {}
        for key, child in self.unique(node, path, table):
            name = key.text
            at = f"{path}.{name}" if path else name
            values[name] = self.value(child, table[name].type, at, table[name].example)
        missing = [f for f in table.values() if f.need == "required" and f.name not in values]
        for f in missing:
            at = f"{path}.{f.name}" if path else f.name
            self.report(node.place, at, "missing", _fill_in(f))
        if missing or any(value is BAD for value in values.values()) or len(values) < len(node.pairs):
            return BAD
        return record(**values, **(extra or {}))

    def unique(self, node: Mapping, path: str, known: Iterable[str]) -> list[tuple[Scalar, Node]]:
        """The pairs whose key is known and first of its name; the others are reported."""
        seen: dict[str, Place] = {}
        good = []
        for key, child in node.pairs:
            at = f"{path}.{key.text}" if path else key.text
            if key.text in seen:
                self.report(
                    key.place, at, f"written twice; the first is in line {seen[key.text].line}", "keep one of the two"
                )
            elif key.text not in known:
                hint = (
                    _meant(key.text, child, known)
                    if len(self.problems) < MANY
                    else "mend the first of these, then look again"
                )
                self.report(key.place, path, f"{quoted(key.text)} is not a field here", hint)
            else:
                seen[key.text] = key.place
                good.append((key, child))
        return good

    def value(self, node: Node, type: FieldType, path: str, example: str = "") -> Any:
        """The value of a field of ``type``, or ``BAD``; ``example`` is what the field's own quantity looks like."""
        self.places[path] = node.place
        if isinstance(type, Many):
            return self.many(node, type, path)
        if isinstance(type, Table):
            return self.table(node, type, path)
        if isinstance(type, Part):
            return self.part(node, type, path)
        if not isinstance(node, Scalar):
            return self.report(node.place, path, f"a {_shape(node)} where one value is wanted", "write a single value")
        try:
            return convert(node, type)
        except Wrong as wrong:
            like = isinstance(type, Amount) and example
            hint = _SUCH_AS.sub(f"such as {example}", wrong.hint) if like else wrong.hint
            return self.report(node.place, path, wrong.message, hint)

    def part(self, node: Node, type: Part, path: str) -> Any:
        if isinstance(node, Scalar) and type.shorthand and node.text:
            named = Mapping([(Scalar(type.shorthand, True, node.place), node)], node.place)
            return self.record(named, type.record, path)
        if isinstance(node, Mapping):
            return self.record(node, type.record, path)
        fields = ", ".join(list(table_of(type.record))[:4])
        return self.report(
            node.place,
            path,
            f"a {_shape(node)} where a record is wanted",
            f"write its fields, one a line: {fields} ...",
        )

    def many(self, node: Node, type: Many, path: str) -> Any:
        if not isinstance(node, Sequence):
            return self.report(
                node.place,
                path,
                f"a {_shape(node)} where a list is wanted",
                "begin each item with '- ', or write [one, two]",
            )
        if not type.least <= len(node.items) <= type.most:
            wanted = f"at least {type.least}" if len(node.items) < type.least else f"at most {type.most}"
            return self.report(
                node.place,
                path,
                f"{len(node.items)} item{'' if len(node.items) == 1 else 's'} where {wanted} are wanted",
                "add what is missing, or take the list out if the field is optional",
            )
        values = [self.value(item, type.of, f"{path}[{index}]") for index, item in enumerate(node.items)]
        self.repeated(node, values, type, path)
        return BAD if any(value is BAD for value in values) else tuple(values)

    def repeated(self, node: Sequence, values: list[Any], type: Many, path: str) -> None:
        """Report items that say the same key twice."""
        seen: dict[Any, int] = {}
        for index, value in enumerate(values):
            if isinstance(type.of, Ref | Slug):
                key = value
            elif type.key and value is not BAD:
                key = getattr(value, type.key)
            else:
                continue
            if key is not BAD and key is not None and key in seen:
                line = node.items[seen[key]].place.line
                self.report(
                    node.items[index].place,
                    f"{path}[{index}]",
                    f"{quoted(str(key))} stands here twice; the first is in line {line}",
                    "keep one, or give it another key",
                )
            seen.setdefault(key, index)

    def table(self, node: Node, type: Table, path: str) -> Any:
        if not isinstance(node, Mapping):
            return self.report(
                node.place,
                path,
                f"a {_shape(node)} where names and values are wanted",
                "write them as 'name: value', one a line",
            )
        pattern, wanted = (
            (PIN, "a pin number, or cap") if type.keys == "pin" else (NAME, "a short name of letters, digits and _")
        )
        values: dict[str, Any] = {}
        bad = False
        for key, child in self.unique(node, path, {key.text for key, _ in node.pairs}):
            at = f"{path}.{key.text}"
            if not pattern.fullmatch(key.text):
                self.report(key.place, path, f"{quoted(key.text)} cannot be a name here", f"use {wanted}")
                bad = True
            values[key.text] = self.value(child, type.of, at)
        bad = bad or len(values) < len(node.pairs)
        return BAD if bad or any(value is BAD for value in values.values()) else values


def _meant(word: str, child: Node, known: Iterable[str]) -> str:
    """The nearest field; or, where a text in braces was cut at its comma, how to keep it whole."""
    if " " in word and isinstance(child, Scalar) and not child.text:
        return "a comma inside { } begins a new field: put quotes round the whole text"
    return did_you_mean(word, known)


def _shape(node: Node) -> str:
    return {Scalar: "single value", Sequence: "list", Mapping: "record"}[node.__class__]


def _fill_in(f: Field) -> str:
    example = (
        f" such as {f.example}" if f.example and len(f.example) < 60 and f.example not in ("...", "[]", "{}") else ""
    )
    return f"write {f.name}:{example} ({f.help[0].lower()}{f.help[1:]})"
