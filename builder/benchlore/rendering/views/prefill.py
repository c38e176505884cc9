"""Links to calculators that arrive filled in with a family's own figures."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from benchlore.entries.calculator import Calculator
from benchlore.entries.family import Family
from benchlore.quantity import Quantity
from benchlore.rendering.figures import dressed
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import Here

_STEP = re.compile(r"([a-z_]+)(?:\[([^\[\]]*)\])?(?:\.|$)")
_NAMING = ("role", "key", "node", "position", "label", "part")


@dataclass(frozen=True, slots=True)
class Filled:
    """A calculator with this family's figures: the fragment of its address, and each figure with the label of its field."""

    calculator: Calculator
    fragment: str
    figures: tuple[tuple[str, str], ...]


def filled(calculator: Calculator, family: Family) -> Filled | None:
    """The calculator filled in from the family, or None where no figure of it is known."""
    pairs, figures = [], []
    for name, field in calculator.inputs.items():
        typed = typed_value(at(family, field.prefill)) if field.prefill else None
        if typed is not None:
            pairs.append(f"{quote(name, safe='')}={quote(typed.replace(' ', ''), safe=';')}")
            figures.append((field.label, typed))
    return Filled(calculator, "&".join(pairs), tuple(figures)) if pairs else None


def filled_links(here: Here, family: Family) -> tuple[tuple[Link, ...], tuple[Link, ...]]:
    """Links to the calculators that can be filled in from the family: those its stages and changes call for, and the rest."""
    near = [id for s in family.stages if s in here.library.stages for id in here.library.stages[s].calculators]
    near += [id for change in family.changes for id in change.calculators]
    made = [f for c in here.library.calculators.values() if (f := filled(c, family)) is not None]
    made.sort(key=lambda f: f.calculator.title)
    return (
        tuple(_link(here, f, note=True) for f in made if f.calculator.id in near),
        tuple(_link(here, f, note=False) for f in made if f.calculator.id not in near),
    )


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
