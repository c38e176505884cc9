"""Links to calculators that arrive filled in with a family's own figures."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from benchlore.entries.calculator import Calculator
from benchlore.entries.family import Family
from benchlore.quantity import Quantity
from benchlore.rendering.figures import dressed
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import Here

_STEP = re.compile(r"([a-z_]+)(?:\[(\d+)\])?")


@dataclass(frozen=True, slots=True)
class Filled:
    """A calculator with this family's figures: the fragment of its address, and the figures in words."""

    calculator: Calculator
    fragment: str
    words: tuple[str, ...]


def filled(calculator: Calculator, family: Family) -> Filled | None:
    """The calculator filled in from the family, or None where no figure of it is known."""
    pairs, words = [], []
    for name, field in calculator.inputs.items():
        typed = typed_value(_at(family, field.prefill)) if field.prefill else None
        if typed is not None:
            pairs.append(f"{quote(name, safe='')}={quote(typed, safe='')}")
            words.append(f"{field.label.lower()} {dressed(typed)}")
    return Filled(calculator, "&".join(pairs), tuple(words)) if pairs else None


def filled_links(here: Here, family: Family) -> tuple[Link, ...]:
    """Links to every calculator that can be filled in from the family; those of its stages and changes first."""
    near = [id for s in family.stages if s in here.library.stages for id in here.library.stages[s].calculators]
    near += [id for change in family.changes for id in change.calculators]
    made = [f for c in here.library.calculators.values() if (f := filled(c, family)) is not None]
    made.sort(key=lambda f: (f.calculator.id not in near, f.calculator.title))
    return tuple(
        Link(
            f.calculator.title,
            f"{here.pen.url('calculator', f.calculator.id)}#{f.fragment}",
            here.pen.line("filled in: " + "; ".join(f.words)),
        )
        for f in made
    )


def _at(record: Any, path: str) -> Any:
    """The value at ``idle.plate_volts`` or ``supply[0].volts``, or None where it is not written."""
    for step in path.split("."):
        match = _STEP.fullmatch(step)
        record = getattr(record, match[1], None) if match and record is not None else None
        if match and match[2] is not None:
            record = record[int(match[2])] if isinstance(record, tuple) and int(match[2]) < len(record) else None
    return record


def typed_value(value: Any) -> str | None:
    """A value as one would type it into a field; a range or an unknown is nobody's single figure."""
    if isinstance(value, Quantity):
        return None if value.is_range else value.text.replace(" ", "")
    if isinstance(value, bool) or value is None:
        return None
    return str(value) if isinstance(value, str | int | float) else None
