"""Puts an entry into house form: fields in the order of their table, one indentation, quotes only where needed, comments kept.

Two people's entries then differ only where their words differ, and git merges them without a clash.
"""

from __future__ import annotations

import io
from collections.abc import Mapping as AnyMapping
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.resolver import VersionedResolver
from ruamel.yaml.scalarstring import FoldedScalarString, LiteralScalarString, PlainScalarString

from benchlore.entries.fields import FieldType, Many, Part, Table, table_of
from benchlore.entries.kinds import FOLDERS, KINDS
from benchlore.place import Place
from benchlore.problem import Problem
from benchlore.reading.characters import decode
from benchlore.reading.nodes import Mapping, Node, Refused, Scalar, Sequence, compose
from benchlore.sharing.house import WIDTH, scalar
from benchlore.sharing.meaning import meaning
from benchlore.writing import in_plain_words, replace_file


def kind_of(path: Path) -> str | None:
    """The kind of an entry's file, told by its folder; None where no entry lives."""
    return "shop" if path.name == "shop.yaml" else FOLDERS.get(path.resolve().parent.name)


def tidy_file(path: Path) -> bool:
    """Rewrite one entry's file in house form; True when that changed it.

    Raises Refused (with the problem) for what cannot be read, MachineRefused when the disk will not; the file is then as it was.
    """
    with in_plain_words(f"tidy {path}"):
        before, after = _before_and_after(path)
        if after != before:
            replace_file(path, after)
        return after != before


def is_tidy(path: Path) -> bool:
    """Is an entry's file in house form already?  Raises as ``tidy_file`` does."""
    with in_plain_words(f"read {path}"):
        before, after = _before_and_after(path)
        return after == before


def _before_and_after(path: Path) -> tuple[bytes, bytes]:
    """A file's bytes, and those of its house form."""
    kind = kind_of(path)
    if kind is None or path.suffix != ".yaml":
        raise _refused(path.as_posix(), "not an entry of a shelf", "name a .yaml file in a folder such as faults/")
    before = path.read_bytes()
    text, problems = decode(before, path.as_posix())
    if problems:
        raise Refused(problems[0])
    return before, tidy(text, kind, path.as_posix()).encode("utf-8")


def tidy(text: str, kind: str, file: str = "entry") -> str:
    """The text of an entry in house form; an amendment keeps its own shape. Raises Refused with the problem."""
    before = compose(text, file)
    kept = _reformatted(text, kind, file)
    after = _in_order(kept, kind, file)
    if meaning(compose(after, file)) != meaning(before):
        raise _refused(file, "cannot be put into house form without changing it", "mend what benchlore audit lists first")
    return after


def _refused(file: str, message: str, hint: str) -> Refused:
    return Refused(Problem(Place(file), "", message, hint))


# First ruamel.yaml: indentation, line lengths, quotes, fields in braces.


class _TextOnly(VersionedResolver):
    """No implicit types: ``012``, ``1:10`` and ``no`` stay what was typed."""

    @property
    def versioned_resolver(self) -> dict[str, list[Any]]:
        return {}


def _reformatted(text: str, kind: str, file: str) -> str:
    """The text through ruamel's round trip, every scalar taken as text."""
    yaml = YAML(typ="rt", pure=True)
    yaml.Resolver = _TextOnly
    yaml.preserve_quotes = True
    yaml.width = 1 << 20  # one value, one line: what two people change then differs in lines of its own
    yaml.indent(mapping=2, sequence=4, offset=2)
    try:
        data = yaml.load(text)
    except YAMLError as error:
        reason = getattr(error, "problem", None) or "not readable"
        raise _refused(file, f"cannot be tidied ({reason})", "mend what benchlore audit lists first") from None
    _plainly(data, _shape_of(kind, data), in_flow=False)
    out = io.StringIO()
    yaml.dump(data, out)
    lines = [line.rstrip() for line in out.getvalue().splitlines()]
    return "\n".join(lines).strip("\n") + "\n"


def _plainly(data: Any, type: FieldType | None, in_flow: bool) -> None:
    """Take needless quotes away, order the fields of records in braces, and open what is too long for one line."""
    if not isinstance(data, dict | list):
        return
    style: Any = data.fa  # type: ignore[union-attr]  # ruamel's own mapping or list
    if style.flow_style() and not in_flow and data.lc.col + _length(data) > WIDTH:  # type: ignore[union-attr]
        style.set_block_style()
    inline = in_flow or bool(style.flow_style())
    if isinstance(data, dict) and inline and (order := _order(type)):
        for name in sorted(data, key=lambda name: order.get(name, len(order))):
            data.move_to_end(name)  # type: ignore[attr-defined]
    for name in list(data) if isinstance(data, dict) else range(len(data)):
        value = data[name]
        if isinstance(value, str) and "Quoted" in value.__class__.__name__:
            if "\n" not in value and scalar(value, inline) == value:
                data[name] = PlainScalarString(value)
        else:
            _plainly(value, _below(type, name), inline)
            if isinstance(value, LiteralScalarString | FoldedScalarString):
                data[name] = value.__class__(value.rstrip("\n") + "\n")


def _length(data: Any) -> int:
    """About how long a value is when it is written on one line."""
    if isinstance(data, dict):
        return sum(len(str(key)) + _length(value) + 4 for key, value in data.items())
    return sum(_length(item) + 2 for item in data) if isinstance(data, list) else len(str(data))


# Then line by line, since ruamel keeps a comment with the field above it: the order of fields.


def _in_order(text: str, kind: str, file: str) -> str:
    """The text with the fields of every record in the order of its table; a comment stays with the field below it."""
    lines = text.splitlines()
    root = compose(text, file)
    type = _shape_of(kind, {key.text for key, _ in root.pairs})
    start = _header(lines, root.place.line - 1)
    stop = _above(lines, len(lines), 0)
    body = _block(lines, root, type, start, stop)
    if start and not lines[start - 1].strip() and not body[0]:
        del body[0]
    return "\n".join([*lines[:start], *body, *lines[stop:]]).rstrip("\n") + "\n"


def _block(lines: list[str], node: Node, type: FieldType | None, start: int, stop: int) -> list[str]:
    """The lines of the record or list that stands in ``lines[start:stop]``, with all in it in order."""
    if isinstance(node, Sequence):
        starts = [item.place.line - 1 for item in node.items]
        column = node.place.column - 1
        parts = [_item(lines, item, _below(type, n), first, stop_of)
                 for n, (item, first, stop_of) in enumerate(zip(node.items, starts, _stops(lines, starts, column, stop), strict=True))]  # fmt: skip
        ranked = range(len(parts))
    elif isinstance(node, Mapping):
        starts = [key.place.line - 1 for key, _ in node.pairs]
        column = node.pairs[0][0].place.column - 1
        parts = [[lines[first], *_value(lines, child, _below(type, key.text), first + 1, stop_of)]
                 for (key, child), first, stop_of in zip(node.pairs, starts, _stops(lines, starts, column, stop), strict=True)]  # fmt: skip
        order = _order(type)
        names = [key.text for key, _ in node.pairs]
        ranked = sorted(range(len(parts)), key=lambda n: order.get(names[n], len(order)))  # type: ignore[assignment]
    else:
        return lines[start:stop]
    heads = [start, *(_above(lines, first, column) for first in starts[1:])]
    return [line for n in ranked for line in (*_comments(lines[heads[n] : starts[n]], column), *parts[n])]


def _stops(lines: list[str], starts: list[int], column: int, stop: int) -> list[int]:
    """Where each part ends: before the comments of the next one."""
    return [*(_above(lines, first, column) for first in starts[1:]), stop]


def _value(lines: list[str], node: Node, type: FieldType | None, start: int, stop: int) -> list[str]:
    """What follows a field's own line: a block of its own, or lines that stay as they are."""
    inner = not isinstance(node, Scalar) and start < node.place.line <= stop
    return _block(lines, node, type, start, stop) if inner else lines[start:stop]


def _item(lines: list[str], node: Node, type: FieldType | None, start: int, stop: int) -> list[str]:
    """One item of a list: its dash goes to whichever field comes first."""
    if not isinstance(node, Mapping) or not node.pairs or lines[start][node.place.column - 1] == "{":
        return lines[start:stop]
    dash = lines[start][: node.place.column - 1]
    without = [*lines[:start], " " * len(dash) + lines[start][len(dash) :], *lines[start + 1 :]]
    made = _block(without, node, type, start, stop)
    first = next(n for n, line in enumerate(made) if line.strip() and not line.lstrip().startswith("#"))
    made[first] = dash + made[first][len(dash) :]
    indent = " " * dash.index("-")
    return [*(indent + line.strip() if line.strip() else "" for line in made[:first]), *made[first:]]


def _comments(lines: list[str], column: int) -> list[str]:
    """The comments above a field, at its own indentation; empty lines stay only where there are comments, and singly."""
    if not any(line.strip() for line in lines):
        return []
    made = [" " * column + line.strip() if line.strip() else "" for line in lines]
    return [line for n, line in enumerate(made) if line or n == 0 or made[n - 1]]


def _above(lines: list[str], line: int, column: int) -> int:
    """The first of the comment and empty lines directly above ``line`` that belong to a block at ``column``."""
    start = line
    while start and (not lines[start - 1].strip() or _is_comment(lines[start - 1], column)):
        start -= 1
    return start


def _is_comment(line: str, column: int) -> bool:
    """A comment, and not the text of a block above, which is indented further."""
    return line.lstrip().startswith("#") and len(line) - len(line.lstrip()) <= column


def _header(lines: list[str], first: int) -> int:
    """Where the comments of the file itself end and those of its first field begin: after the last empty line."""
    empty = [number for number in range(first) if not lines[number].strip()]
    marks = [number for number in range(first) if "yaml-language-server" in lines[number]]
    return max([0, *(number + 1 for number in empty + marks)])


# What the field tables say of a place in the text.


def _shape_of(kind: str, names: Any) -> FieldType | None:
    """The record of an entry; an amendment has none, and keeps its order."""
    return None if "amends" in names else Part(KINDS[kind])


def _below(type: FieldType | None, name: str | int) -> FieldType | None:
    """The type of a field of a record, or of what a table or a list holds."""
    if isinstance(type, Part) and (field := table_of(type.record).get(str(name))) is not None:
        return field.type
    return type.of if isinstance(type, Table | Many) else None


def _order(type: FieldType | None) -> AnyMapping[str, int]:
    """The rank of each field of a record; empty for anything else."""
    return {name: rank for rank, name in enumerate(table_of(type.record))} if isinstance(type, Part) else {}
