"""What a calculator answers: values, how well they are known, verdicts in words, and the working."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

from benchlore.quantity import engineering, fitting, rounded, shown
from benchlore.reckoning.forms import MOST_ROWS, Given, ResultForm, option_of
from benchlore.reckoning.markings import digits, letters
from benchlore.reckoning.running import Slope, Slopes, Value, Values, holds
from benchlore.reckoning.telling import Fork, Token, in_sentence, plain
from benchlore.reckoning.uncertainty import Known, combined
from benchlore.units import DIMENSIONS, UNITS

if TYPE_CHECKING:
    from benchlore.reckoning.compiled import BandForm, Compiled

SYSTEM = "system"
"""``{tube:system}`` in a verdict: the rating system of the limits that were taken."""
ACROSS = "The uncertainty (k = 2) reaches across this limit: measure better before you trust it."


@dataclass(frozen=True, slots=True)
class Verdict:
    """A verdict in words; ``mark`` is good, mind, stop or note; ``across`` says that the uncertainty spans its limit."""

    mark: str
    words: str
    across: bool = False


@dataclass(frozen=True, slots=True)
class ResultValue:
    """One result: SI value (or list), SI unit, expanded uncertainty, and the texts that a page shows."""

    value: float | tuple[float, ...]
    unit: str
    text: str
    uncertainty: float | None = None
    uncertainty_text: str = ""
    dominant: str | None = None
    dominant_text: str = ""
    shares: Mapping[str, float] = field(default_factory=dict)
    verdict: Verdict | None = None
    items: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """A calculator's whole answer; where there are problems there are no results."""

    calculator: str
    inputs: Mapping[str, tuple[Any, str]]
    results: Mapping[str, ResultValue]
    values: Mapping[str, Value]
    problems: Mapping[str, str]
    cautions: tuple[str, ...]
    working: tuple[str, ...] = ()
    failed: str = ""
    speaker: Speaker | None = field(default=None, repr=False, compare=False)

    def said(self, name: str) -> str:
        """The value of a name in words, or nothing where there is no answer."""
        return self.speaker.said(name) if self.speaker is not None else ""

    def as_json(self) -> dict[str, Any]:
        """The shape of ``reckon --json``: values in SI base or derived units."""
        return {
            "calculator": self.calculator,
            "inputs": {name: {"value": value, "unit": unit} for name, (value, unit) in self.inputs.items()},
            "results": {
                name: {
                    "value": list(r.value) if isinstance(r.value, tuple) else r.value,
                    "unit": r.unit,
                    "uncertainty": r.uncertainty,
                    "text": r.text,
                    "verdict": r.verdict.words if r.verdict else None,
                    "mark": r.verdict.mark if r.verdict else None,
                }
                for name, r in self.results.items()
            },
            "cautions": list(self.cautions),
            **({"problems": dict(self.problems)} if self.problems else {}),
        }


def base_unit(unit: str) -> str:
    """The SI unit of the dimension that a unit measures."""
    return DIMENSIONS[UNITS[unit].dimension].base


def _inputs(compiled: Compiled, given: Given) -> dict[str, tuple[Any, str]]:
    out: dict[str, tuple[Any, str]] = {}
    for form in compiled.inputs:
        if form.name in given.problems:
            continue
        if form.options:
            out[form.name] = (option_of(form, given.texts[form.name]).value, "")
        else:
            out[form.name] = (given.values.get(form.name), base_unit(form.unit))
    return out


def refused(compiled: Compiled, given: Given) -> Outcome:
    """No results: the sentences say why."""
    return Outcome(compiled.id, _inputs(compiled, given), {}, {}, dict(given.problems), tuple(words for _, words in compiled.cautions))


def answered(compiled: Compiled, given: Given, values: Values, slopes: Slopes | None) -> Outcome:
    """All results with their uncertainty, verdicts and working."""
    speaker = Speaker(compiled, given, values, slopes)
    return Outcome(
        calculator=compiled.id,
        inputs=_inputs(compiled, given),
        results={form.name: speaker.result(form) for form in compiled.results},
        values={name: value for name, value in values.items() if "#" not in name and "?" not in name},
        problems={},
        cautions=tuple(words for _, words in compiled.cautions),
        working=tuple(speaker.working()),
        speaker=speaker,
    )


@dataclass
class Speaker:
    """Puts the values of one answer into words."""

    compiled: Compiled
    given: Given
    values: Values
    slopes: Slopes | None

    def result(self, form: ResultForm) -> ResultValue:
        value = self.values[form.name]
        unit = base_unit(form.unit)
        if isinstance(value, list):
            items = tuple(result_text(form, item) for item in value)
            return ResultValue(tuple(value), unit, "; ".join(items), items=items)
        known = self.known(form.name)
        sure = known is None or known.expanded == 0 or not counted(form, value)
        return ResultValue(
            value=value,
            unit=unit,
            text=result_text(form, value),
            uncertainty=None if known is None else known.expanded,
            uncertainty_text="" if sure else spread_text(form, value, cast(Known, known).expanded),
            dominant=known.dominant[0] if known and known.dominant else None,
            dominant_text="" if sure else self.dominant_text(cast(Known, known)),
            shares=known.shares if known else {},
            verdict=self.verdict(form.name),
        )

    def known(self, name: str) -> Known | None:
        if self.slopes is None or not any(self.given.half_widths.values()):
            return None
        return combined(cast(Slope, self.slopes.get(name) or {}), self.given.half_widths)

    def dominant_text(self, known: Known) -> str:
        if known.dominant is None:
            return ""
        key, share = known.dominant
        name, _, row = key.partition("[")
        label = next(form.label for form in self.compiled.inputs if form.name == name)
        where = f", row {row.rstrip(']')}" if row else ""
        return f"mostly from {in_sentence(label)}{where} ({rounded(100 * share, 2)} %)"

    def verdict(self, name: str) -> Verdict | None:
        """The first band that holds; said to be doubtful where the uncertainty spans a limit on the way to it."""
        edges: list[str] = []
        for band in self.compiled.verdicts.get(name, ()):
            edges += band.edges
            if band.when is None or holds(band.when, self.values):
                across = any(self.spans(edge) for edge in edges)
                words = self.says(band)
                return Verdict(band.mark, f"{ended(words)} {ACROSS}" if across else words, across)
        return None

    def spans(self, edge: str) -> bool:
        known = self.known(edge)
        return known is not None and abs(cast(float, self.values[edge])) < known.expanded

    def says(self, band: BandForm) -> str:
        return "".join(part if isinstance(part, str) else self.said(*part) for part in band.says)

    def said(self, name: str, unit: str = "") -> str:
        """The value of a name in words: an option's label, a result as its page shows it, else with a fitting prefix."""
        form = next((form for form in self.compiled.inputs if form.name == name), None)
        if form is not None and form.options:
            option = option_of(form, self.given.texts[name])
            return option.system if unit == SYSTEM else option.label
        result = next((result for result in self.compiled.results if result.name == name), None)
        value = self.values[name]
        if isinstance(value, list) and len(value) > MOST_ROWS:
            return f"{len(value)} values"  # a list made for a drawing or a search
        if result is not None and not unit:
            return "; ".join(result_text(result, item) for item in value) if isinstance(value, list) else result_text(result, value)
        show = self.compiled.shows[name]
        items = value if isinstance(value, list) else [value]
        return "; ".join(_value_text(item, unit or show.unit, show.digits) for item in items)

    def put(self, token: Token) -> str:
        """A token with its numbers: a value in brackets where it would be misread without, a fork by the arm that holds."""
        if isinstance(token, str):
            return token
        if isinstance(token, Fork):
            return "".join(self.put(t) for t in (token.yes if holds(token.test, self.values) else token.no))
        text = self.said(token.name)
        return f"({text})" if token.fenced or text.startswith("-") else text

    def working(self) -> list[str]:
        """Each formula, then with its numbers, then what it comes to; to be copied onto a ticket."""
        lines = []
        for line in self.compiled.formulas:
            value = self.values[line.name]
            if isinstance(value, list) and len(value) > MOST_ROWS:
                continue  # a list made for a drawing
            symbols = plain(line.tokens)
            numbers = "".join(self.put(t) for t in line.tokens)
            end = self.said(line.name)
            if line.equation:
                lines.append(f"{line.label} is where {symbols}: {end}")
            elif numbers in (symbols, end) or isinstance(value, list):
                lines.append(f"{line.label} = {symbols} = {end}")
            else:
                lines.append(f"{line.label} = {symbols} = {numbers} = {end}")
        return lines


def result_text(form: ResultForm, value: float) -> str:
    """One value as its result shows it: a number and unit, a word, or a marking."""
    if form.shown == "word":
        index = round(value)
        return form.words[index] if 0 <= index < len(form.words) else "\u2014"
    if form.shown == "prefix":
        return engineering(value, UNITS[form.unit].dimension, form.digits)
    if form.shown == "above zero" and value <= 0:
        return "none"
    if form.shown == "letters":
        return letters(value, form.unit)
    if form.shown == "digits":
        return digits(value, form.unit)
    return shown(value, form.unit, form.digits)


def counted(form: ResultForm, value: float) -> bool:
    """Whether the result is shown as a number, so that it may be unsure."""
    return form.shown in ("number", "prefix") or (form.shown == "above zero" and value > 0)


def ended(words: str) -> str:
    """A sentence with its full stop, so that another may follow."""
    return words if words.endswith((".", "?", "!")) else f"{words}."


def spread_text(form: ResultForm, value: float, expanded: float) -> str:
    """``± 0.2 W``: two figures, in the unit in which the result is shown."""
    unit = fitting(value, UNITS[form.unit].dimension, form.digits) if form.shown == "prefix" else form.unit
    return "\u00b1 " + shown(expanded + UNITS[unit].offset, unit, 2)


def _value_text(value: float, unit: str, figures: int) -> str:
    if unit.startswith("~"):
        return engineering(value, unit[1:], figures)
    return shown(value, unit, figures)

