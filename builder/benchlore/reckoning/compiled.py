"""A calculator made ready: plain data that needs neither SymPy nor Pint to answer, to be kept, or to be printed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from html import escape
from typing import Any

from benchlore.problem import did_you_mean
from benchlore.reckoning.algebra import Node
from benchlore.reckoning.forms import Given, InputForm, Option, ResultForm, read_inputs
from benchlore.reckoning.functions import Impossible
from benchlore.reckoning.outcome import Outcome, answered, refused
from benchlore.reckoning.running import Failed, Slopes, Values, run, slopes_of
from benchlore.reckoning.steps import Step, node_data, node_of, step_data, step_of
from benchlore.reckoning.telling import Fork, Put, Token

_SLOT = re.compile(r'(<mn data-put="([a-z0-9_]+)">)[^<]*</mn>')


@dataclass(frozen=True, slots=True)
class Show:
    """How a name is put into words: in a unit, or with a fitting prefix of a dimension (``~power``)."""

    unit: str
    digits: int = 4
    label: str = ""


@dataclass(frozen=True, slots=True)
class BandForm:
    """A verdict: its condition (None for the last), the differences it compares, its words, and its mark."""

    when: Node | None
    edges: tuple[str, ...]
    says: tuple[str | tuple[str, str], ...]
    mark: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the working: what is worked out, its algebra in words, and the same as MathML."""

    name: str
    label: str
    equation: bool
    tokens: tuple[Token, ...]
    symbols: str
    numbers: str


@dataclass(frozen=True, slots=True)
class Compiled:
    """Everything that a calculator needs to answer."""

    id: str
    title: str
    inputs: tuple[InputForm, ...]
    results: tuple[ResultForm, ...]
    steps: tuple[Step, ...]
    verdicts: Mapping[str, tuple[BandForm, ...]]
    shows: Mapping[str, Show]
    formulas: tuple[Line, ...]
    cautions: tuple[tuple[str, str], ...] = ()

    def evaluate(self, texts: Mapping[str, str], tolerances: Mapping[str, str] | None = None) -> Outcome:
        """Answer for inputs as typed; those left out keep their default. Never raises, never gives NaN.

        What is wrong stands in ``problems`` as sentences, by input name or under the empty name; results are then blank.
        """
        given = read_inputs(self.inputs, texts, tolerances or {})
        known = [form.name for form in self.inputs]
        for name in texts:
            if name not in known:
                hint = did_you_mean(name[:40], known)
                given.problems[name] = f'This sum has no input "{name[:40]}"; {hint}' + ("" if hint.endswith("?") else ".")
        if given.problems:
            return refused(self, given)
        values: Values = dict(given.values)
        try:
            run(self.steps, values)
        except Failed as failed:
            given.problems[""] = failed_words(self, failed)
            return replace(refused(self, given), failed=failed.name)
        return answered(self, given, values, self.carried(given, values))

    def carried(self, given: Given, values: Values) -> Slopes | None:
        """Slopes of every value by every measured quantity; None where one of them does not exist."""
        slopes: Slopes = {}
        for form in self.inputs:
            value = values.get(form.name)
            if isinstance(value, list):
                keys = [f"{form.name}[{row}]" for row in range(1, len(value) + 1)]
                slopes[form.name] = [{key: 1.0} if given.half_widths.get(key) else {} for key in keys]
            elif given.half_widths.get(form.name):
                slopes[form.name] = {form.name: 1.0}
        try:
            slopes_of(self.steps, values, slopes)
        except Impossible:
            return None
        return slopes

    def with_defaults_put_in(self) -> Compiled:
        """The same, its lines of numbers holding the values of the defaults, for readers without scripts."""
        outcome = self.evaluate({})
        if outcome.problems:
            return self

        def put(found: re.Match[str]) -> str:
            return f"{found[1]}{escape(outcome.said(found[2]))}</mn>"

        filled = (replace(line, numbers=_SLOT.sub(put, line.numbers)) for line in self.formulas)
        return replace(self, formulas=tuple(filled))

    def to_data(self) -> dict[str, Any]:
        """Plain JSON: the same from every process, so that it can be kept between builds."""
        return {
            "id": self.id,
            "title": self.title,
            "inputs": [asdict(form) for form in self.inputs],
            "results": [asdict(form) for form in self.results],
            "steps": [step_data(step) for step in self.steps],
            "verdicts": {
                name: [[None if b.when is None else node_data(b.when), list(b.edges), [list(s) if isinstance(s, tuple) else s for s in b.says], b.mark] for b in bands]
                for name, bands in self.verdicts.items()
            },
            "shows": {name: [show.unit, show.digits, show.label] for name, show in self.shows.items()},
            "formulas": [
                [line.name, line.label, line.equation, [token_data(t) for t in line.tokens], line.symbols, line.numbers]
                for line in self.formulas
            ],
            "cautions": [list(caution) for caution in self.cautions],
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Compiled:
        """The calculator that ``to_data`` gave."""
        return cls(
            id=data["id"],
            title=data["title"],
            inputs=tuple(InputForm(**{**form, "options": tuple(_option(option) for option in form["options"])}) for form in data["inputs"]),
            results=tuple(ResultForm(**{**form, "words": tuple(form["words"])}) for form in data["results"]),
            steps=tuple(step_of(step) for step in data["steps"]),
            verdicts={name: tuple(_band(*band) for band in bands) for name, bands in data["verdicts"].items()},
            shows={name: Show(*show) for name, show in data["shows"].items()},
            formulas=tuple(
                Line(name, label, equation, tuple(_token(t) for t in line), symbols, numbers)
                for name, label, equation, line, symbols, numbers in data["formulas"]
            ),
            cautions=tuple((hazard, words) for hazard, words in data["cautions"]),
        )


def _option(data: Mapping[str, Any]) -> Option:
    return Option(**{**data, "others": tuple(data["others"])})


def _band(when: Any, edges: list[str], says: list[Any], mark: str) -> BandForm:
    return BandForm(None if when is None else node_of(when), tuple(edges), tuple((s[0], s[1]) if isinstance(s, list) else s for s in says), mark)


def token_data(token: Token) -> Any:
    """A token as JSON: text, ``[name, fenced]``, or ``{test, said, yes, no}``."""
    if isinstance(token, Put):
        return [token.name, token.fenced]
    if isinstance(token, Fork):
        arms = {"said": token.said, "yes": token.yes, "no": token.no}
        return {"test": node_data(token.test), **{key: [token_data(t) for t in arm] for key, arm in arms.items()}}
    return token


def _token(data: Any) -> Token:
    if isinstance(data, list):
        return Put(data[0], data[1])
    if isinstance(data, dict):
        said, yes, no = (tuple(_token(t) for t in data[key]) for key in ("said", "yes", "no"))
        return Fork(node_of(data["test"]), said, yes, no)
    return str(data)


def failed_words(compiled: Compiled, failed: Failed) -> str:
    """A step that could not be done, as a sentence."""
    if failed.said:
        return str(failed)
    name = failed.name.split("#")[0].split("?")[0]
    show = compiled.shows.get(name)
    return f"With these values {show.label if show else name} cannot be worked out: it comes to {failed}."
