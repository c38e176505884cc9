"""The page of a calculator: its form, its results with a worked default case, its working, and where it was proven."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence

from markupsafe import Markup, escape

from benchlore.entries.calculator import Calculator, Worked
from benchlore.quantity import dimension_of, engineering
from benchlore.quantity import shown as figure
from benchlore.reckoning.compiled import Compiled
from benchlore.reckoning.forms import InputForm, ResultForm, items_of
from benchlore.reckoning.outcome import Outcome
from benchlore.rendering.figures import dressed
from benchlore.rendering.shipped import scripts_of_sum
from benchlore.rendering.views.blocks import Block, Cell, Item, Prose, Row, Section, Table
from benchlore.rendering.views.drawings import sum_drawing
from benchlore.rendering.views.form import (
    CellView,
    ColumnView,
    FieldView,
    Form,
    FormTable,
    FormulaView,
    Option,
    ResultView,
    Working,
)
from benchlore.rendering.views.outward import shop_links
from benchlore.rendering.views.page import (
    Here,
    PageView,
    byline,
    kicker,
    many,
    section,
    sections,
    source_html,
    sources_section,
)
from benchlore.rendering.views.parts import cells
from benchlore.units import symbol

_MINUS = re.compile(r"(?<![0-9A-Za-z])-(?=[0-9.])")
_PREFIXED = ("resistance", "capacitance", "inductance", "frequency")
HOW_TYPED = Markup(
    "<p>Type figures as the trade writes them: <code>4k7</code>, <code>68k</code>, <code>0.022u</code>, <code>32 mA</code>, <code>-38 V</code>. "
    "A plain number is read in the unit beside the field.</p>"
)


def calculator_page(here: Here, calculator: Calculator, compiled: Compiled | None) -> PageView:
    """A sum of the bench; without ``compiled`` the page shows its formulas as they are written."""
    pen = here.pen
    drawing = sum_drawing(calculator, compiled) if compiled else None
    first, _, rest = calculator.summary.strip().partition("\n\n")
    return PageView(
        path=here.path,
        title=calculator.title,
        kind="calculator",
        kicker=kicker("calculator", here, calculator.group),
        lede=pen.paragraphs(first),
        other_names=calculator.also_called,
        asked=calculator.asked,
        cautions=here.cautions(calculator.cautions),
        actions=shop_links(here, calculator),
        sections=sections(
            _live(here, calculator, compiled) if compiled else _still(here, calculator),
            Section("drawing", "Drawing", (drawing,)) if drawing else None,
            Section("more", "When to use it, and what it cannot tell", (Prose(pen.paragraphs(rest)),))
            if rest.strip()
            else None,
            _working(compiled) if compiled else None,
            section(
                Calculator,
                "worked",
                "Proven against",
                *_worked(here, calculator),
                lede="Worked examples from outside, run at every build.",
            ),
            _used_by(here, calculator),
            section(Calculator, "see", "Related sums", here.link_list("see", "calculator", calculator.see)),
            sources_section(here, calculator),
        ),
        byline=byline(here, calculator),
        scripts=scripts_of_sum(calculator.id, drawn=drawing is not None) if compiled else (),
    )


def _live(here: Here, calculator: Calculator, compiled: Compiled) -> Section:
    outcome = compiled.evaluate({})
    single = [f for f in compiled.inputs if f.kind != "list"]
    form = Form(
        id=calculator.id,
        fields=tuple(_field(here, f) for f in single),
        tables=_tables(here, compiled, outcome),
        tolerances=tuple(_field(here, f) for f in compiled.inputs if f.tolerance),
        results=tuple(_result(here, r, outcome) for r in compiled.results if not (r.is_list and r.table)),
    )
    return Section("inputs", "Reckon", (Prose(HOW_TYPED), form))


def _field(here: Here, form: InputForm) -> FieldView:
    return FieldView(
        name=form.name,
        id=f"inputs-{form.name}",
        label=form.label,
        unit=symbol(form.unit),
        value=form.default,
        limits=f"usual {dressed(form.usual)}" if form.usual else _hard(form),
        help=here.pen.line(form.help),
        options=tuple(Option(o.value, o.label, o.value == form.default) for o in form.options),
        tolerance=form.tolerance or "",
    )


def _hard(form: InputForm) -> str:
    """The hard limits in words, where the field takes a number."""
    if form.options or (form.least is None and form.most is None):
        return ""
    least, most = (_limit(value, form.unit) for value in (form.least, form.most))
    return f"{least} to {most}" if least and most else (f"at least {least}" if least else f"at most {most}")


def _limit(value: float | None, unit: str) -> str:
    """A limit with a fitting prefix where its dimension has them."""
    if value is None:
        return ""
    dimension = dimension_of(unit)
    return engineering(value, dimension) if dimension in _PREFIXED else figure(value, unit)


def _tables(here: Here, compiled: Compiled, outcome: Outcome) -> tuple[FormTable, ...]:
    names = dict.fromkeys(f.table or f.name for f in compiled.inputs if f.kind == "list")
    return tuple(_table(here, compiled, outcome, name) for name in names)


def _table(here: Here, compiled: Compiled, outcome: Outcome, table: str) -> FormTable:
    """Lists of the same table side by side, with the results that belong to their rows."""
    inputs = [f for f in compiled.inputs if f.kind == "list" and (f.table or f.name) == table]
    results = [r for r in compiled.results if r.is_list and r.table == table]
    texts: dict[str, Sequence[str]] = {f.name: items_of(f.default) for f in inputs}
    texts |= {r.name: outcome.results[r.name].items for r in results if r.name in outcome.results}
    columns = [
        *(ColumnView(f.name, f.label, symbol(f.unit), False) for f in inputs),
        *(ColumnView(r.name, r.label, symbol(r.unit), True) for r in results),
    ]
    count = max(len(texts[f.name]) for f in inputs)
    rows = tuple(tuple(_cell(c, n, texts.get(c.name, ())) for c in columns) for n in range(count))
    lists = tuple(_result(here, r, outcome) for r in results)
    names = tuple(f.name for f in inputs)
    helps = tuple((f.label, here.pen.line(f.help)) for f in inputs if f.help)
    return FormTable(table, inputs[0].least_rows, inputs[0].most_rows, tuple(columns), rows, names, lists, helps)


def _cell(column: ColumnView, row: int, texts: Sequence[str]) -> CellView:
    text = texts[row] if row < len(texts) else ""
    return CellView(
        column.name, f"{column.label}, row {row + 1}", _signed(text) if column.result else text, column.result
    )


def _signed(text: str) -> str:
    """A result's text with minus signs that are as long as a plus; the scripts do the same."""
    return _MINUS.sub("\u2212", text)


def _result(here: Here, form: ResultForm, outcome: Outcome) -> ResultView:
    value = outcome.results[form.name]
    verdict = value.verdict
    return ResultView(
        name=form.name,
        label=form.label,
        help=here.pen.line(form.help),
        text=_signed(value.text),
        si=json.dumps(value.value, allow_nan=False),
        uncertainty=value.uncertainty_text,
        dominant=value.dominant_text,
        mark=verdict.mark if verdict else "",
        verdict=_signed(verdict.words) if verdict else "",
        scalar=not form.is_list,
    )


def _working(compiled: Compiled) -> Section:
    lines = tuple(
        FormulaView(
            "" if f.label.lower() == f.name.replace("_", " ") else f.label, Markup(f.symbols), Markup(f.numbers)
        )
        for f in compiled.formulas
    )
    return Section("working", "Working", (Working(lines, len(lines) <= 6),))


def _still(here: Here, calculator: Calculator) -> Section:
    """Inputs and formulas as they are written, for a build without the engine."""
    inputs = tuple(
        Row(Cell(escape(f.label)), cells(name, f.default or "", f.unit), f"inputs-{name}")
        for name, f in calculator.inputs.items()
    )
    results = tuple(
        Row(Cell(escape(r.label)), (Cell(Markup("<code>{}</code>").format(r.gives)),), f"results-{name}")
        for name, r in calculator.results.items()
    )
    lets = tuple(
        Row(
            Cell(Markup("<code>{}</code>").format(name)),
            (Cell(Markup("<code>{}</code>").format(algebra)),),
            f"let-{name}",
        )
        for name, algebra in calculator.let.items()
    )
    tables: list[Block] = [Table("What goes in", cells("Input", "Name", "Usual", "Unit"), inputs)]
    if lets:
        tables.append(Table("On the way", cells("Name", "Algebra"), lets))
    return Section("inputs", "The sum", (*tables, Table("What comes out", cells("Result", "Algebra"), results)))


def _worked(here: Here, calculator: Calculator) -> tuple[Block, ...]:
    rows = tuple(_worked_row(here, calculator, n, w) for n, w in enumerate(calculator.worked, 1))
    return (Table("Worked examples", cells("Example", "Given", "Gives", "Within", "From"), rows, "stack"),)


def _worked_row(here: Here, calculator: Calculator, number: int, worked: Worked) -> Row:
    given = Markup("; ").join(
        escape(f"{_label(calculator, n)} {_typed(here, calculator, n, v)}") for n, v in worked.given.items()
    )
    gives = Markup("; ").join(
        Markup("{} <b>{}</b>").format(_label(calculator, n), dressed(v)) for n, v in worked.gives.items()
    )
    sources = Markup("; ").join(source_html(here, s) for s in worked.sources)
    note = Markup('<span class="under">{}</span>').format(here.pen.line(worked.note)) if worked.note else Markup()
    return Row(
        Cell(escape(number)),
        (Cell(given), Cell(gives), Cell(escape(dressed(worked.within or "0.1 %"))), Cell(sources + note)),
        f"worked-{number}",
    )


def _typed(here: Here, calculator: Calculator, name: str, value: str) -> str:
    """A given value in words: an entry by its title, a choice by its label, a figure in dress."""
    field = calculator.inputs.get(name)
    entry = here.library.get(field.kind, value) if field and field.kind in ("tube", "fastener") else None
    if entry is not None:
        return entry.title
    return field.choices[value] if field and value in field.choices else dressed(value)


def _label(calculator: Calculator, name: str) -> str:
    if name in calculator.inputs:
        return calculator.inputs[name].label.lower()
    return calculator.results[name].label.lower() if name in calculator.results else name.replace("_", " ")


def _used_by(here: Here, calculator: Calculator) -> Section | None:
    pointers = here.library.pointers("calculator", calculator.id)
    names = sorted({(p.kind, p.id) for p in pointers if p.kind in ("stage", "fault", "procedure", "family")})
    items = tuple(Item(here.anchor(kind, id), f"used-by-{kind}-{id}") for kind, id in names)
    return Section("used-by", "Called for by", (many(items),)) if items else None
