"""Links to calculators that arrive filled in with a family's own figures."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from benchlore.auditing.heaters_fit import heater_currents
from benchlore.entries.calculator import Calculator, Input
from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.quantity import Quantity, QuantityProblem, read_input
from benchlore.reckoning.constants import offers
from benchlore.reckoning.forms import MOST_ROWS, items_of
from benchlore.rendering.figures import dressed
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import Here

_STEP = re.compile(r"([a-z_]+)(?:\[([^\[\]]*)\])?(?:\.|$)")
_NAMING = ("role", "key", "node", "position", "label", "part", "job")
_ENTRIES = ("tube", "fastener", "wire")


@dataclass(frozen=True, slots=True)
class Filled:
    """A calculator with this family's figures: the fragment of its address, and each figure with the label of its field."""

    calculator: Calculator
    fragment: str
    figures: tuple[tuple[str, str], ...]


def filled(calculator: Calculator, family: Family, library: Library) -> Filled | None:
    """The calculator filled in from the family.

    None where no figure of it is known, where one that it needs is not, or where one would be refused in its field:
    such a sum is not about this amp.
    """
    typed = {
        name: text.replace(" ", "_") if field.kind == "choice" else text
        for name, field in calculator.inputs.items()
        if field.prefill and (text := _figure(field.prefill, family, library)) is not None
    }
    typed = _whole_tables(calculator, typed)
    needed = [name for name, field in calculator.inputs.items() if field.needed]
    if not typed or any(name not in typed for name in needed):
        return None
    if not all(_fits(calculator.inputs[name], text, library) for name, text in typed.items()):
        return None
    pairs = (f"{quote(name, safe='')}={quote(text, safe=';/')}" for name, text in typed.items())
    figures = tuple(
        (field.label, field.choices.get(text, text))
        for name, text in typed.items()
        for field in (calculator.inputs[name],)
    )
    return Filled(calculator, "&".join(pairs), figures)


@dataclass(frozen=True, slots=True)
class _Heater:
    """Heaters of one current on the heater winding: ``heaters[].amps`` and ``heaters[].number`` in a path."""

    amps: str
    number: int


@dataclass(frozen=True, slots=True)
class _Derived:
    """What a family says of its tubes only through the tubes' own entries."""

    heaters: tuple[_Heater, ...]


def _figure(path: str, family: Family, library: Library) -> str | None:
    """The figure at a path of the family, as one would type it."""
    if not path.startswith("heaters"):
        return typed_value(at(family, path))
    counted = heater_currents(family, library)
    heaters = tuple(_Heater(f"{amps:.12g} A", number) for amps, number in counted.items())
    return typed_value(at(_Derived(heaters), path))


def _whole_tables(calculator: Calculator, typed: Mapping[str, str]) -> dict[str, str]:
    """The figures without lists of a table that is not filled whole: its columns stand side by side, equally long."""
    kept = dict(typed)
    tables: dict[str, list[str]] = {}
    for name, field in calculator.inputs.items():
        if field.kind == "list" and field.table:
            tables.setdefault(field.table, []).append(name)
    for names in tables.values():
        lengths = {len(items_of(typed[name])) if name in typed else 0 for name in names}
        if len(lengths) > 1:
            for name in names:
                kept.pop(name, None)
    return kept


def _fits(field: Input, text: str, library: Library) -> bool:
    """Whether the sum would take this figure in this field."""
    if field.kind in _ENTRIES:
        return offers(field, library, text)
    if field.kind == "choice":
        return text in field.choices
    items = items_of(text) if field.kind == "list" else [text]
    if not (field.least_rows or 1) <= len(items) <= (field.most_rows or MOST_ROWS):
        return False
    try:
        values = [read_input(item, field.unit).quantity.value for item in items]
        ends = [read_input(end, field.unit).quantity.value if end else None for end in (field.least, field.most)]
    except QuantityProblem:
        return False
    least, most = ends
    return all((least is None or least <= value) and (most is None or value <= most) for value in values)


def filled_links(here: Here, family: Family) -> tuple[tuple[Link, ...], tuple[Link, ...]]:
    """Links to the calculators that can be filled in from the family: those its stages and changes call for, and the rest."""
    near = [id for s in family.stages if s in here.library.stages for id in here.library.stages[s].calculators]
    near += [id for change in family.changes for id in change.calculators]
    made = [f for c in here.library.calculators.values() if (f := filled(c, family, here.library)) is not None]
    made.sort(key=lambda f: f.calculator.title)
    return (
        tuple(_link(here, f, note=True) for f in made if f.calculator.id in near),
        tuple(_link(here, f, note=False) for f in made if f.calculator.id not in near),
    )


def chosen_links(here: Here, kind: str, id: str) -> tuple[Link, ...]:
    """Links to the calculators in which this tube or fastener can be chosen, with it chosen."""
    links = []
    for calculator in here.library.calculators.values():
        name = next((n for n, f in calculator.inputs.items() if f.kind == kind and offers(f, here.library, id)), None)
        if name is not None:
            url = f"{here.pen.url('calculator', calculator.id)}#{quote(name, safe='')}={quote(id, safe='')}"
            links.append(Link(calculator.title, url))
    return tuple(links)


def _link(here: Here, made: Filled, *, note: bool) -> Link:
    words = "; ".join(f"{_small(label)} {_said(here, typed)}" for label, typed in made.figures)
    url = f"{here.pen.url('calculator', made.calculator.id)}#{made.fragment}"
    return Link(made.calculator.title, url, here.pen.line(f"filled in: {words}") if note else here.pen.line(""))


def _small(label: str) -> str:
    """A label inside a sentence; an abbreviation keeps its capitals."""
    return label[:1].lower() + label[1:] if label[1:2].islower() else label


def _said(here: Here, typed: str) -> str:
    tube = here.library.tubes.get(typed)
    return tube.title if tube else dressed(typed)


def at(record: Any, path: str) -> Any:
    """The value at a path of a record: ``idle.plate_volts``, ``supply[0].volts``, ``idle.network[feed].value``, or of
    every item as a list, ``supply[].volts``; None where it is not written or the path names nothing."""
    match = _STEP.match(path)
    if match is None or record is None:
        return None
    value, rest = getattr(record, match[1], None), path[match.end() :]
    if match[2] == "":
        items = [at(item, rest) for item in value] if isinstance(value, tuple) and rest else []
        return None if not items or None in items else items
    if match[2] is not None:
        value = _item(value, match[2]) if isinstance(value, tuple) else None
    return at(value, rest) if rest else value


def _item(items: Sequence[Any], which: str) -> Any:
    """The item of that number, or the first that is called so."""
    if which.isdigit():
        return items[int(which)] if int(which) < len(items) else None
    return next((item for item in items if which in [getattr(item, name, None) for name in _NAMING]), None)


def typed_value(value: Any) -> str | None:
    """A value as one would type it into a field; a range or an unknown is nobody's single figure."""
    if isinstance(value, list):
        typed = [typed_value(item) for item in value]
        return None if None in typed else "; ".join(str(item) for item in typed)
    if isinstance(value, Quantity):
        return None if value.is_range else value.text
    if isinstance(value, bool) or value is None:
        return None
    return str(value) if isinstance(value, str | int | float) else None
