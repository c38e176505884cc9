"""What a calculator asks and shows, as plain data; and reading what was typed into it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from benchlore.problem import did_you_mean
from benchlore.quantity import QuantityProblem, read_input, shown
from benchlore.reckoning.markings import read_digits, read_letters
from benchlore.reckoning.uncertainty import read_tolerance
from benchlore.units import UNITS

MOST_ROWS = 12
LONGEST_LIST = 2000


@dataclass(frozen=True, slots=True)
class Option:
    """One choice: what the fragment and the algebra call it, its label, and the constants it brings.

    ``others`` are its other names, by which it may be typed; ``system`` is the rating system of a tube's limits.
    """

    value: str
    label: str
    symbols: Mapping[str, float] = field(default_factory=dict)
    others: tuple[str, ...] = ()
    system: str = ""


@dataclass(frozen=True, slots=True)
class InputForm:
    """One input: limits in SI, options where there are some; ``default`` and ``tolerance`` as they are typed."""

    name: str
    label: str
    unit: str
    kind: str = "number"
    default: str = ""
    tolerance: str | None = None
    least: float | None = None
    most: float | None = None
    usual: str = ""
    help: str = ""
    options: tuple[Option, ...] = ()
    table: str = ""
    least_rows: int = 1
    most_rows: int = MOST_ROWS


@dataclass(frozen=True, slots=True)
class ResultForm:
    """One result: the unit and figures it is shown in, or the words it stands for."""

    name: str
    label: str
    unit: str
    digits: int = 4
    is_list: bool = False
    table: str = ""
    shown: str = "number"
    words: tuple[str, ...] = ()
    help: str = ""


@dataclass
class Given:
    """What was typed: values by name, half-widths by measured quantity, and a sentence for each input that is wrong."""

    values: dict[str, float | list[float]] = field(default_factory=dict)
    half_widths: dict[str, float] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    problems: dict[str, str] = field(default_factory=dict)


class BadTolerance(QuantityProblem):
    """The value is good; the tolerance beside it is not."""


def read_inputs(forms: tuple[InputForm, ...], texts: Mapping[str, str], tolerances: Mapping[str, str]) -> Given:
    """Read every input; those left out keep their default. Never raises: what is wrong is in ``problems``."""
    given = Given()
    for form in forms:
        text = texts.get(form.name, form.default)
        given.texts[form.name] = text
        try:
            _READERS[form.kind](form, text, tolerances.get(form.name, form.tolerance or ""), given)
        except BadTolerance as problem:
            given.problems[f"tolerance.{form.name}"] = _sentence(problem)
        except QuantityProblem as problem:
            given.problems[form.name] = _sentence(problem)
    _check_tables(forms, given)
    return given


def items_of(text: str) -> list[str]:
    """The items of a list as typed, parted by semicolons."""
    return [item.strip() for item in text[:LONGEST_LIST].split(";")]


def _sentence(problem: QuantityProblem) -> str:
    message = problem.message
    return f"{message[:1].upper()}{message[1:]}; {problem.hint}" + ("" if problem.hint.endswith(("?", ".")) else ".")


def _number(form: InputForm, text: str, tolerance: str, given: Given) -> None:
    value, half = _measured(form, text, tolerance)
    given.values[form.name] = value
    given.half_widths[form.name] = half


def _measured(form: InputForm, text: str, tolerance: str) -> tuple[float, float]:
    """Value and half-width of one number, within the hard limits of its input."""
    reading = read_input(text, form.unit)
    value = reading.quantity.value
    if form.least is not None and value < form.least:
        raise QuantityProblem(f'"{text}" is below the least that is taken here', f"{shown(form.least, form.unit, 6)} or more")
    if form.most is not None and value > form.most:
        raise QuantityProblem(f'"{text}" is above the most that is taken here', f"{shown(form.most, form.unit, 6)} or less")
    if form.kind == "count" and value != math.floor(value):
        raise QuantityProblem(f'"{text}" is not a whole number', "count in whole ones")
    offset = UNITS[reading.quantity.unit].offset
    try:
        known = read_tolerance(tolerance, form.unit)
    except QuantityProblem as problem:
        raise BadTolerance(problem.message, problem.hint) from None
    return value, known.half_width(value - offset, reading.step)


def _list(form: InputForm, text: str, tolerance: str, given: Given) -> None:
    items = items_of(text)
    if not form.least_rows <= len(items) <= form.most_rows:
        raise QuantityProblem(f"there are {len(items)} values", f"{form.least_rows} to {form.most_rows} are taken here")
    values: list[float] = []
    for row, item in enumerate(items, 1):
        try:
            value, half = _measured(form, item, tolerance)
        except BadTolerance:
            raise
        except QuantityProblem as problem:
            raise QuantityProblem(f"row {row}: {problem.message}", problem.hint) from None
        values.append(value)
        given.half_widths[f"{form.name}[{row}]"] = half
    given.values[form.name] = values


def _choice(form: InputForm, text: str, tolerance: str, given: Given) -> None:
    option = option_of(form, text)
    if form.kind == "choice":
        given.values[form.name] = float(form.options.index(option))
    given.values.update(option.symbols)


def option_of(form: InputForm, text: str) -> Option:
    """The option that a word names, letters' case aside. Raises ``QuantityProblem``."""
    word = text.strip().lower()
    for option in form.options:
        if option.value.lower() == word:
            return option
    for option in form.options:
        if word in (other.lower() for other in option.others):
            return option
    hint = did_you_mean(word[:40], [option.value for option in form.options])
    raise QuantityProblem(f'"{text.strip()[:40]}" is not one of the choices', hint)


def _marked(form: InputForm, text: str, tolerance: str, given: Given) -> None:
    value, part = (read_letters if form.kind == "letters" else read_digits)(text, form.unit)
    given.values[form.name] = value
    given.values[f"{form.name}_tolerance"] = part


_READERS: Mapping[str, Callable[[InputForm, str, str, Given], None]] = {
    "number": _number, "count": _number, "list": _list, "choice": _choice, "tube": _choice, "fastener": _choice,
    "wire": _choice, "letters": _marked, "digits": _marked,
}


def _check_tables(forms: tuple[InputForm, ...], given: Given) -> None:
    """Lists that are columns of one table must be equally long."""
    lengths: dict[str, tuple[str, int]] = {}
    for form in forms:
        values = given.values.get(form.name)
        if form.table and isinstance(values, list):
            first, length = lengths.setdefault(form.table, (form.label, len(values)))
            if length != len(values):
                given.problems[form.name] = f"There are {len(values)} values here and {length} in {first}; give as many of both."
