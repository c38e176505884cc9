"""The page of a calculator: its form, its results with a worked default case, its working, and where it was proven."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from markupsafe import Markup, escape

from benchlore.entries.calculator import Calculator, Worked
from benchlore.rendering.figures import dressed
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.blocks import Block, Bullets, Cell, Item, Row, Section, Table
from benchlore.rendering.views.page import Here, PageView, byline, kicker, section, sections, source_html, sources_section
from benchlore.rendering.views.parts import cells

if TYPE_CHECKING:
    from benchlore.reckoning.compiled import Compiled, InputForm, ResultForm


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
    id: str
    label: str
    text: str
    result: bool


@dataclass(frozen=True, slots=True)
class FormTable:
    """Repeated fields: a row for each speaker, part or filter section."""

    name: str
    least: int
    most: int
    columns: tuple[ColumnView, ...]
    rows: tuple[tuple[CellView, ...], ...]
    error_of: tuple[str, ...]


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


@dataclass(frozen=True, slots=True)
class Working:
    """The formulas, with figures put in."""

    template: ClassVar[str] = "blocks/working.html"
    items: tuple[FormulaView, ...]


def calculator_page(here: Here, calculator: Calculator, compiled: Compiled | None) -> PageView:
    """A sum of the bench; without ``compiled`` the page shows its formulas as they are written."""
    pen = here.pen
    return PageView(
        path=here.path,
        title=calculator.title,
        kind="calculator",
        kicker=kicker("calculator", here, calculator.group),
        lede=pen.paragraphs(calculator.summary),
        other_names=calculator.also_called,
        cautions=here.cautions(calculator.cautions),
        actions=shop_links(here, calculator),
        sections=sections(
            _live(here, calculator, compiled) if compiled else _still(here, calculator),
            _working(compiled) if compiled else None,
            section(Calculator, "worked", "Proven against", *_worked(here, calculator), lede="Worked examples from outside, run at every build."),
            _used_by(here, calculator),
            section(Calculator, "see", "Related sums", here.link_list("see", "calculator", calculator.see)),
            sources_section(here, calculator),
        ),
        byline=byline(here, calculator),
    )


def _live(here: Here, calculator: Calculator, compiled: Compiled) -> Section:
    outcome = compiled.evaluate({})
    single = [f for f in compiled.inputs if f.kind != "list"]
    form = Form(
        id=calculator.id,
        fields=tuple(_field(here, f) for f in single),
        tables=_tables(compiled),
        tolerances=tuple(_field(here, f) for f in compiled.inputs if f.tolerance),
        results=tuple(_result(here, r, outcome) for r in compiled.results),
    )
    return Section("inputs", "Reckon", (form,), others=("results",))  # type: ignore[arg-type]


def _field(here: Here, form: InputForm) -> FieldView:
    limits = [w for w in (f"usual {dressed(form.usual)}" if form.usual else "", _hard(form)) if w]
    return FieldView(
        name=form.name,
        id=f"in-{form.name}",
        label=form.label,
        unit=_unit(form.unit),
        value=form.default or "",
        limits="; ".join(limits),
        help=here.pen.line(form.help),
        options=tuple(Option(value, label, value == form.default) for value, label in form.options),
        tolerance=form.tolerance or "",
    )


def _hard(form: InputForm) -> str:
    if form.least and form.most:
        return f"{dressed(form.least)} to {dressed(form.most)}"
    return f"at least {dressed(form.least)}" if form.least else (f"at most {dressed(form.most)}" if form.most else "")


def _unit(unit: str) -> str:
    return "" if unit == "1" else dressed(f"1 {unit}").removeprefix("1\u00a0")


def _tables(compiled: Compiled) -> tuple[FormTable, ...]:
    names = dict.fromkeys(f.table or f.name for f in compiled.inputs if f.kind == "list")
    return tuple(_table(compiled, name) for name in names)


def _table(compiled: Compiled, table: str) -> FormTable:
    inputs = [f for f in compiled.inputs if f.kind == "list" and (f.table or f.name) == table]
    results = [r for r in compiled.results if r.is_list and r.table == table]
    outcome = compiled.evaluate({})
    columns = [
        *(ColumnView(f.name, f.label, _unit(f.unit), False) for f in inputs),
        *(ColumnView(r.name, r.label, _unit(r.unit), True) for r in results),
    ]
    texts = {f.name: _items(f.default or "") for f in inputs}
    texts |= {r.name: _items(outcome.results[r.name].text) for r in results if r.name in outcome.results}
    count = max((len(texts[f.name]) for f in inputs), default=1)
    rows = tuple(
        tuple(
            CellView(c.name, f"in-{c.name}-{n}", f"{c.label}, row {n}", texts.get(c.name, [])[n - 1 : n][0] if len(texts.get(c.name, [])) >= n else "", c.result)
            for c in columns
        )
        for n in range(1, count + 1)
    )
    first = inputs[0]
    return FormTable(table, first.least_rows, first.most_rows, tuple(columns), rows, tuple(f.name for f in inputs))


def _items(text: str) -> list[str]:
    return [item.strip() for item in text.replace(", ", "; ").split(";") if item.strip()]


def _result(here: Here, form: ResultForm, outcome: object) -> ResultView:
    value = getattr(outcome, "results", {}).get(form.name)
    verdict = value.verdict if value else None
    return ResultView(
        name=form.name,
        label=form.label,
        help=here.pen.line(form.help),
        text=value.text if value else "",
        si=json.dumps(list(value.value) if isinstance(value.value, tuple) else value.value) if value else "",
        uncertainty=(value.uncertainty_text or "") if value else "",
        dominant=(value.dominant or "") if value else "",
        mark=verdict.mark if verdict else "",
        verdict=verdict.words if verdict else "",
        scalar=not form.is_list,
    )


def _working(compiled: Compiled) -> Section:
    lines = tuple(FormulaView(f.label, Markup(f.symbols), Markup(f.numbers)) for f in compiled.formulas)
    return Section("let", "Working", (Working(lines),), others=("solve",))  # type: ignore[arg-type]


def _still(here: Here, calculator: Calculator) -> Section:
    """Inputs and formulas as they are written, for a build without the engine."""
    inputs = tuple(
        Row(Cell(escape(f.label)), cells(name, f.default or "", f.unit), f"inputs-{name}") for name, f in calculator.inputs.items()
    )
    results = tuple(Row(Cell(escape(r.label)), (Cell(Markup("<code>{}</code>").format(r.gives)),), f"results-{name}") for name, r in calculator.results.items())
    lets = tuple(Row(Cell(Markup("<code>{}</code>").format(name)), (Cell(Markup("<code>{}</code>").format(algebra)),), f"let-{name}") for name, algebra in calculator.let.items())
    tables: list[Block] = [Table("What goes in", cells("Input", "Name", "Usual", "Unit"), inputs)]
    if lets:
        tables.append(Table("On the way", cells("Name", "Algebra"), lets))
    return Section("inputs", "The sum", (*tables, Table("What comes out", cells("Result", "Algebra"), results)), others=("results",))


def _worked(here: Here, calculator: Calculator) -> tuple[Block, ...]:
    rows = tuple(_worked_row(here, calculator, n, w) for n, w in enumerate(calculator.worked, 1))
    return (Table("Worked examples", cells("Given", "Gives", "Within", "From"), rows, "stack"),)


def _worked_row(here: Here, calculator: Calculator, number: int, worked: Worked) -> Row:
    given = Markup("; ").join(escape(f"{_label(calculator, n)} {dressed(v)}") for n, v in worked.given.items())
    gives = Markup("; ").join(Markup("{} <b>{}</b>").format(_label(calculator, n), dressed(v)) for n, v in worked.gives.items())
    sources = Markup("; ").join(source_html(here, s) for s in worked.sources)
    note = Markup('<span class="under">{}</span>').format(here.pen.line(worked.note)) if worked.note else Markup()
    return Row(Cell(given), (Cell(gives), Cell(escape(dressed(worked.within or "0.1 %"))), Cell(sources + note)), f"worked-{number}")


def _label(calculator: Calculator, name: str) -> str:
    if name in calculator.inputs:
        return calculator.inputs[name].label.lower()
    return calculator.results[name].label.lower() if name in calculator.results else name.replace("_", " ")


def _used_by(here: Here, calculator: Calculator) -> Section | None:
    pointers = here.library.pointers("calculator", calculator.id)
    names = sorted({(p.kind, p.id) for p in pointers if p.kind in ("stage", "fault", "procedure", "family")})
    items = tuple(Item(here.anchor(kind, id), f"used-by-{kind}-{id}") for kind, id in names)
    return Section("used-by", "Called for by", (Bullets(items),)) if items else None
