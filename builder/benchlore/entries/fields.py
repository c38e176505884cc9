"""The words in which a kind of entry is described: one table serves every reader of it.

A kind is a frozen dataclass whose fields are made by ``spec``.  The checker, the JSON Schema, ``draft``, the
forms on the site and the reference page of fields are all made from these tables; nothing states a field twice.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

Need = Literal["required", "asked", "optional"]


@dataclass(frozen=True)
class Text:
    """One line of words; inline Markdown and mentions such as ``[words](fault:id)`` are allowed."""

    longest: int = 400


@dataclass(frozen=True)
class Prose:
    """Paragraphs in Markdown (no raw HTML, no pictures)."""

    longest: int = 20_000


@dataclass(frozen=True)
class Code:
    """Words that are kept letter by letter: a formula, a URI template, a part code."""

    longest: int = 600


@dataclass(frozen=True)
class Choice:
    """One word or phrase of a closed list."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class Flag:
    """``yes`` or ``no``."""


@dataclass(frozen=True)
class Whole:
    """A whole number in ASCII digits, within limits."""

    least: int = 0
    most: int = 1_000_000


@dataclass(frozen=True)
class Real:
    """A plain finite number without a unit, within limits."""

    least: float = -1e12
    most: float = 1e12


@dataclass(frozen=True)
class Amount:
    """A quantity: number and unit in one value, of the dimension named (a key of ``quantity.DIMENSIONS``).

    ``least`` and ``most`` are in the SI unit of the dimension. ``range_ok`` allows ``95..115 %``;
    ``unknown_ok`` allows the word ``unknown``.
    """

    dimension: str
    least: float = -1e12
    most: float = 1e12
    range_ok: bool = False
    unknown_ok: bool = True


@dataclass(frozen=True)
class Date:
    """A day as ``2025-03-14``."""


@dataclass(frozen=True)
class Slug:
    """A short key in small letters, digits and hyphens, unique in its list."""


@dataclass(frozen=True)
class Ref:
    """The id of another entry of the kind named."""

    kind: str


@dataclass(frozen=True)
class Many:
    """A list. ``key`` names the field by which two records of it are the same one (for amendments)."""

    of: FieldType
    least: int = 0
    most: int = 500
    key: str | None = None


@dataclass(frozen=True)
class Table:
    """A mapping from short keys to values, for pins and named parts of a calculator."""

    of: FieldType
    keys: Literal["pin", "name"] = "name"


@dataclass(frozen=True)
class Part:
    """A record inside an entry. ``shorthand`` names the field that a bare text stands for."""

    record: type[Any]
    shorthand: str | None = None


FieldType = Text | Prose | Code | Choice | Flag | Whole | Real | Amount | Date | Slug | Ref | Many | Table | Part


@dataclass(frozen=True)
class Field:
    """One field of a record: what it is called, what it holds and why it is asked for."""

    name: str
    type: FieldType
    help: str
    need: Need
    example: str
    label: str

    @property
    def anchor(self) -> str:
        """The anchor of this field's section on a page."""
        return self.name.replace("_", "-")


def spec(
    type: FieldType, help: str, *, need: Need = "optional", example: str = "", label: str = "", empty: Any = None
) -> Any:
    """A dataclass field that carries its own description; lists default to empty, all else to None."""
    table = {"type": type, "help": help, "need": need, "example": example, "label": label}
    if isinstance(type, Many):
        return dataclasses.field(default=(), metadata=table)
    if isinstance(type, Table):
        return dataclasses.field(default_factory=dict, metadata=table)
    return dataclasses.field(default=empty, metadata=table)


def table_of(record: type[Any]) -> Mapping[str, Field]:
    """The field table of a record class, in the order in which its fields are written."""
    table = _TABLES.get(record)
    if table is None:
        table = {
            f.name: Field(
                name=f.name,
                type=f.metadata["type"],
                help=f.metadata["help"],
                need=f.metadata["need"],
                example=f.metadata["example"],
                label=f.metadata["label"] or f.name.replace("_", " ").capitalize(),
            )
            for f in dataclasses.fields(record)
            if "type" in f.metadata
        }
        _TABLES[record] = table
    return table


_TABLES: dict[type[Any], Mapping[str, Field]] = {}  # a memo of what the classes already say, never written to otherwise
