"""What a calculator asks: inputs with their limits, tolerances and options, and the names and dimensions they bring."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from benchlore.entries.calculator import Calculator, Input
from benchlore.problem import Problem, did_you_mean
from benchlore.quantity import QuantityProblem, read_input
from benchlore.reckoning.algebra import AlgebraProblem, check_name
from benchlore.reckoning.constants import BadPath, Shelves, options_of
from benchlore.reckoning.dimensions import ANY, Kind, kind_of
from benchlore.reckoning.forms import MOST_ROWS, InputForm, Option
from benchlore.reckoning.uncertainty import read_tolerance
from benchlore.units import UNITS

CHOICES = ("choice", "tube", "fastener", "wire")
MARKED = ("letters", "digits")


@dataclass
class Asking:
    """Collects what an entry asks; reports problems instead of raising.

    ``spelled`` says where each name was written, ``given`` are the names that hold a value from the start.
    """

    entry: Calculator
    library: Shelves
    problems: list[Problem] = field(default_factory=list)
    kinds: dict[str, Kind] = field(default_factory=dict)
    given: set[str] = field(default_factory=set)
    spelled: dict[str, str] = field(default_factory=dict)

    def report(self, path: str, message: str, hint: str) -> None:
        """Note a problem at the place where ``path`` is written."""
        self.problems.append(Problem(self.entry.place(path), path, message, hint))

    def input_forms(self) -> tuple[InputForm, ...]:
        forms = []
        for name, source in self.entry.inputs.items():
            path = f"inputs.{name}"
            self.claim(name, path)
            form = self.input_form(name, source, path)
            if form is not None:
                forms.append(form)
        return tuple(forms)

    def claim(self, name: str, path: str) -> None:
        """Take a name, which must be a good one and not taken."""
        try:
            check_name(name)
        except AlgebraProblem as problem:
            self.report(path, problem.message, problem.hint)
        if name in self.spelled:
            self.report(path, f'the name "{name}" is used before, at {self.entry.place(self.spelled[name])}', "give one of them another name")
        self.spelled.setdefault(name, path)

    def input_form(self, name: str, source: Input, path: str) -> InputForm | None:
        kind = source.kind or "number"
        if source.unit not in UNITS:
            self.report(f"{path}.unit", f'the unit "{source.unit}" is not known', did_you_mean(source.unit, UNITS))
            return None
        form = InputForm(
            name, source.label, source.unit, kind, source.default or "", source.tolerance,
            self.limit(source.least, source.unit, f"{path}.least"), self.limit(source.most, source.unit, f"{path}.most"),
            source.usual or "", source.help or "", (), source.table or (name if kind == "list" else ""),
            source.least_rows or 1, source.most_rows or MOST_ROWS,
        )
        if source.tolerance is not None:
            self.tolerance(source, path)
        if kind in CHOICES:
            return replace(form, options=self.options(name, source, path))
        self.given.add(name)
        self.kinds[name] = kind_of(UNITS[source.unit].dimension, kind == "list")
        if kind in MARKED:
            self.symbol(f"{name}_tolerance", "ratio", path)
            if source.unit not in ("ohm", "F"):
                self.report(f"{path}.unit", "a marking is read in ohm or F", "write ohm or F")
        return form

    def limit(self, text: str | None, unit: str, path: str) -> float | None:
        if text is None:
            return None
        try:
            return read_input(text, unit).quantity.value
        except QuantityProblem as problem:
            self.report(path, problem.message, problem.hint)
            return None

    def tolerance(self, source: Input, path: str) -> None:
        try:
            read_tolerance(source.tolerance or "", source.unit)
        except QuantityProblem as problem:
            self.report(f"{path}.tolerance", problem.message, problem.hint)

    def symbol(self, name: str, dimension: str, path: str) -> None:
        self.claim(name, path)
        self.given.add(name)
        self.kinds[name] = kind_of(dimension)

    def options(self, name: str, source: Input, path: str) -> tuple[Option, ...]:
        if source.kind == "choice":
            self.given.add(name)
            self.kinds[name] = kind_of("number")
            if not source.choices:
                self.report(f"{path}.choices", "a choice has no choices", "write choices: {word: label}")
            return tuple(Option(word, label) for word, label in source.choices.items())
        try:
            options, dimensions = options_of(source, self.library)
        except BadPath as problem:
            self.report(f"{path}.takes", problem.message, problem.hint)
            return ()
        if not options:
            self.report(f"{path}.takes", f"no {source.kind} on the shelves has all of {', '.join(source.takes.values())}", "correct the paths, or write the constants down")
        for symbol in source.takes:
            self.symbol(symbol, dimensions.get(symbol, "number"), f"{path}.takes")
            if symbol not in dimensions:
                self.kinds[symbol] = ANY
        return options
