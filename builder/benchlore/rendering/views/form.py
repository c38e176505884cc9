"""The live part of a calculator's page: its fields, tables of fields, results, and the lines of its working."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from markupsafe import Markup

WIDE = 5
"""Columns from which a table is too wide to stand beside the results."""


@dataclass(frozen=True, slots=True)
class Option:
    """One choice of a field."""

    value: str
    label: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class FieldView:
    """One field of the form."""

    name: str
    id: str
    label: str
    unit: str
    value: str
    limits: str
    help: Markup
    options: tuple[Option, ...]
    tolerance: str


@dataclass(frozen=True, slots=True)
class ColumnView:
    """One column of a table of repeated fields; ``result`` columns are worked out."""

    name: str
    label: str
    unit: str
    result: bool


@dataclass(frozen=True, slots=True)
class CellView:
    """One cell of such a table."""

    name: str
    label: str
    text: str
    result: bool


@dataclass(frozen=True, slots=True)
class FormTable:
    """Repeated fields: a row for each speaker, part or filter section; ``lists`` are its worked-out columns in one piece."""

    name: str
    least: int
    most: int
    columns: tuple[ColumnView, ...]
    rows: tuple[tuple[CellView, ...], ...]
    error_of: tuple[str, ...]
    lists: tuple[ResultView, ...]
    helps: tuple[tuple[str, Markup], ...]


@dataclass(frozen=True, slots=True)
class ResultView:
    """One result, with what it is for the default figures."""

    name: str
    label: str
    help: Markup
    text: str
    si: str
    uncertainty: str
    dominant: str
    mark: str
    verdict: str
    scalar: bool


@dataclass(frozen=True, slots=True)
class FormulaView:
    """One line of the working: as written, and with the figures put in."""

    label: str
    symbols: Markup
    numbers: Markup


@dataclass(frozen=True, slots=True)
class Form:
    """The live part of the page."""

    template: ClassVar[str] = "blocks/form.html"
    id: str
    fields: tuple[FieldView, ...]
    tables: tuple[FormTable, ...]
    tolerances: tuple[FieldView, ...]
    results: tuple[ResultView, ...]

    @property
    def wide(self) -> bool:
        """Whether a table needs the page's whole width, results below it."""
        return any(len(table.columns) > WIDE for table in self.tables)


@dataclass(frozen=True, slots=True)
class Working:
    """The formulas, with figures put in; ``few`` are open from the start."""

    template: ClassVar[str] = "blocks/working.html"
    items: tuple[FormulaView, ...]
    few: bool
