"""From a calculator's entry to something that answers: parsed, proven, ordered, differentiated; or problems at their places."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TypeVar

from benchlore.entries.calculator import Band, Calculator, Input, Result, Solve
from benchlore.problem import Problem, did_you_mean
from benchlore.quantity import QuantityProblem, read_input
from benchlore.reckoning.algebra import (
    AlgebraProblem,
    Call,
    Each,
    Name,
    Node,
    Num,
    Word,
    check_name,
    children,
    names_in,
    parse,
    parse_condition,
    parse_equation,
    replaced,
)
from benchlore.reckoning.compiled import BandForm, Compiled, Line, Show
from benchlore.reckoning.constants import BadPath, Shelves, options_of
from benchlore.reckoning.dimensions import ANY, Kind, Prover, kind_of, named, said, same
from benchlore.reckoning.forms import MOST_ROWS, InputForm, Option, ResultForm
from benchlore.reckoning.planning import Circle, Planner, Unknown
from benchlore.reckoning.sloping import with_slopes
from benchlore.reckoning.steps import Step
from benchlore.reckoning.telling import displayed, in_sentence, mathml, tokens, words_of
from benchlore.reckoning.uncertainty import read_tolerance
from benchlore.units import DIMENSIONS, UNITS

_SLOT = re.compile(r"\{([a-z][a-z0-9_]*)(?::([^{}]{1,20}))?\}")
CHOICES = ("choice", "tube", "fastener", "wire")
MARKED = ("letters", "digits")
PREFIXED = ("resistance", "capacitance", "inductance", "voltage", "current", "power", "frequency")  # read best as 220 kohm
T = TypeVar("T")


@dataclass
class Compiler:
    """Collects what one entry says; every method reports problems instead of raising."""

    entry: Calculator
    library: Shelves
    problems: list[Problem] = field(default_factory=list)
    kinds: dict[str, Kind] = field(default_factory=dict)
    formulas: dict[str, Node] = field(default_factory=dict)
    unknowns: dict[str, Unknown] = field(default_factory=dict)
    bands: dict[str, list[tuple[Node | None, Band]]] = field(default_factory=dict)
    given: set[str] = field(default_factory=set)
    spelled: dict[str, str] = field(default_factory=dict)

    def report(self, path: str, message: str, hint: str, severity: str = "error") -> None:
        problem = Problem(self.entry.place(path), path, message, hint, "warning" if severity == "warning" else "error")
        self.problems.append(problem)

    # ---- what is asked

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

    # ---- what is worked out

    def read_formulas(self) -> None:
        """Parse every formula; a result that bears the name of what it shows is no formula of its own."""
        for name, text in self.entry.let.items():
            self.claim(name, f"let.{name}")
            node = self.parsed(text, f"let.{name}")
            if node is not None:
                self.formulas[name] = node
        for index, source in enumerate(self.entry.solve):
            self.read_unknown(source, f"solve[{index}]")
        for name, result in self.entry.results.items():
            self.read_result(name, result, f"results.{name}")

    def read_result(self, name: str, result: Result, path: str) -> None:
        known = {*self.formulas, *self.unknowns, *self.given}
        if not (result.gives.strip() == name and name in known):
            self.claim(name, path)
            node = self.parsed(result.gives, f"{path}.gives")
            if node is not None:
                self.formulas[name] = node
        self.bands[name] = []
        for index, band in enumerate(result.verdicts):
            when = None if band.when.strip() == "else" else self.parsed(band.when, f"{path}.verdicts[{index}].when", True)
            self.bands[name].append((when, band))

    def read_unknown(self, source: Solve, path: str) -> None:
        self.claim(source.unknown, path)
        if source.unit not in UNITS:
            self.report(f"{path}.unit", f'the unit "{source.unit}" is not known', did_you_mean(source.unit, UNITS))
        self.kinds[source.unknown] = kind_of(UNITS[source.unit].dimension) if source.unit in UNITS else ANY
        try:
            left, right = (self.resolved(side) for side in parse_equation(source.equation))
        except AlgebraProblem as problem:
            self.report(f"{path}.equation", problem.message, problem.hint)
            return
        ends = [self.parsed(text, f"{path}.between[{i}]") for i, text in enumerate(source.between)]
        if len(ends) == 2 and ends[0] is not None and ends[1] is not None:
            none = source.none or f"There is no {words_of(source.unknown)} between its limits that satisfies this: check the values."
            self.unknowns[source.unknown] = Unknown(left, right, ends[0], ends[1], none)

    def parsed(self, text: str, path: str, condition: bool = False) -> Node | None:
        try:
            return self.resolved(parse_condition(text) if condition else parse(text))
        except AlgebraProblem as problem:
            self.report(path, problem.message, problem.hint)
            return None

    def resolved(self, node: Node) -> Node:
        """Words of choices become their positions; the variables of ``for`` must be names of their own."""
        for part in _parts(node):
            if isinstance(part, Each):
                for variable, _ in part.bindings:
                    if variable in self.entry.inputs or variable in self.entry.let or variable in self.spelled:
                        raise AlgebraProblem(f'"{variable}" already names something', "choose another name for the item of the list")
        return replaced(node, self.position)

    def position(self, node: Node) -> Node | None:
        if not (isinstance(node, Call) and node.fn in ("==", "!=") and any(isinstance(arg, Word) for arg in node.args)):
            return None
        left, right = node.args
        choice, word = (right, left) if isinstance(left, Word) else (left, right)
        if not (isinstance(choice, Name) and isinstance(word, Word)):
            raise AlgebraProblem("a word is compared with something that is not a choice", 'write wiring == "series"')
        source = self.entry.inputs.get(choice.name)
        words = list(source.choices) if source is not None and source.kind == "choice" else []
        if word.text not in words:
            raise AlgebraProblem(f'"{word.text}" is not a word of the choice {choice.name}', did_you_mean(word.text, words))
        return Call(node.fn, (choice, Num(float(words.index(word.text)))))

    # ---- proof

    def prove(self) -> None:
        """The dimension of every formula, equation, bracket, result and verdict."""
        prover = Prover(self.kind_of_name, self.names)
        for name in self.formulas:
            self.kind_of_name(name)
        for index, source in enumerate(self.entry.solve):
            self.prove_unknown(prover, source, f"solve[{index}]")
        for name, result in self.entry.results.items():
            self.prove_result(prover, name, result, f"results.{name}")

    def names(self) -> list[str]:
        return [*self.given, *self.formulas, *self.unknowns]

    def kind_of_name(self, name: str) -> Kind | None:
        if name in self.kinds:
            return self.kinds[name]
        if name not in self.formulas:
            return None
        self.kinds[name] = ANY  # while its own formula is looked into: a circle is reported by the planner
        path = f"{self.spelled[name]}.gives" if self.spelled[name].startswith("results.") else self.spelled[name]
        kind = self.proven(lambda: Prover(self.kind_of_name, self.names).kind(self.formulas[name]), path)
        self.kinds[name] = kind or ANY
        return self.kinds[name]

    def proven(self, work: Callable[[], T], path: str) -> T | None:
        try:
            return work()
        except AlgebraProblem as problem:
            self.report(path, problem.message, problem.hint)
            return None

    def prove_unknown(self, prover: Prover, source: Solve, path: str) -> None:
        unknown = self.unknowns.get(source.unknown)
        if unknown is None:
            return
        left = self.proven(lambda: prover.scalar(unknown.left, {}), f"{path}.equation")
        right = self.proven(lambda: prover.scalar(unknown.right, {}), f"{path}.equation")
        if left and right and not same(left, right):
            self.report(f"{path}.equation", f"the left side is {said(left)} and the right side {said(right)}", "both sides must be of one dimension")
        for index, node in enumerate((unknown.low, unknown.high)):
            at = f"{path}.between[{index}]"
            self.fits(self.proven(partial(prover.scalar, node, {}), at), source.unit, at)

    def fits(self, kind: Kind | None, unit: str, path: str) -> None:
        if kind is not None and unit in UNITS and not same(kind, kind_of(UNITS[unit].dimension)):
            wanted = said(kind_of(UNITS[unit].dimension))
            self.report(path, f"the formula gives {said(kind)}, but {unit} wants {wanted}", "correct the formula or the unit")

    def prove_result(self, prover: Prover, name: str, result: Result, path: str) -> None:
        if result.unit not in UNITS:
            self.report(f"{path}.unit", f'the unit "{result.unit}" is not known', did_you_mean(result.unit, UNITS))
            return
        kind = self.kinds.get(name)
        self.fits(kind, result.unit, f"{path}.gives")
        if result.verdicts and kind is not None and kind.is_list:
            self.report(f"{path}.verdicts", "a list has no verdict", "give the largest or smallest of it as a result of its own")
        if result.shown in ("letters", "digits") and result.unit not in ("ohm", "F"):
            self.report(f"{path}.unit", "a marking is shown for ohm or F", "write ohm or F")
        if result.shown == "word" and not result.words:
            self.report(f"{path}.words", "there are no words to show", "write words: [black, brown, ...]")
        for index, (when, band) in enumerate(self.bands[name]):
            at = f"{path}.verdicts[{index}]"
            if when is not None:
                self.proven(partial(prover.condition, when), f"{at}.when")
            elif index < len(self.bands[name]) - 1 and band.when.strip() == "else":
                self.report(f"{at}.when", "what stands after else is never reached", "put else last")

    # ---- order

    def plan(self) -> tuple[tuple[Step, ...], dict[str, tuple[BandForm, ...]]] | None:
        """Steps with slopes, and the verdicts over the differences that they compare."""
        edges: dict[str, Node] = {}
        verdicts = {name: tuple(self.band(name, i, when, band, edges) for i, (when, band) in enumerate(bands)) for name, bands in self.bands.items() if bands}
        lists = frozenset(name for name, kind in self.kinds.items() if kind.is_list)
        planner = Planner({**self.formulas, **edges}, self.unknowns, lists, frozenset(self.given))
        goals = [*reversed(list(self.unknowns)), *self.formulas, *edges]
        try:
            steps = planner.plan(goals)
        except Circle as circle:
            self.report_circle(circle)
            return None
        uncertain = {name for name, source in self.entry.inputs.items() if source.tolerance and (source.kind or "number") in ("number", "list", "count")}
        return with_slopes(steps, uncertain), verdicts

    def report_circle(self, circle: Circle) -> None:
        first, *others = circle.names[:-1]
        path = self.spelled[first]
        places = " and ".join(f"{name} ({self.entry.place(self.spelled[name])})" for name in others) or "itself"
        self.report(path, f"{first} is worked out from {places}, which comes back to {first}", "break the circle, or make one of them an unknown under solve")

    def band(self, name: str, index: int, when: Node | None, band: Band, edges: dict[str, Node]) -> BandForm:
        """A verdict whose comparisons are of a difference with zero, so that its uncertainty can be looked at."""
        own: list[str] = []

        def edge(node: Node) -> Node | None:
            if not (isinstance(node, Call) and node.fn in ("<", "<=", ">", ">=")):
                return None
            key = f"{name}?{index}.{len(own)}"
            edges[key] = Call("-", node.args)
            own.append(key)
            return Call(node.fn, (Name(key), Num(0.0)))

        return BandForm(None if when is None else replaced(when, edge), tuple(own), self.says(name, index, band), band.mark)

    def says(self, name: str, index: int, band: Band) -> tuple[str | tuple[str, str], ...]:
        path = f"results.{name}.verdicts[{index}].says"
        parts: list[str | tuple[str, str]] = []
        at = 0
        for slot in _SLOT.finditer(band.says):
            parts += [band.says[at : slot.start()], (slot[1], slot[2] or "")]
            at = slot.end()
            self.check_slot(slot[1], slot[2], path)
        parts.append(band.says[at:])
        if any(isinstance(part, str) and ("{" in part or "}" in part) for part in parts):
            self.report(path, "a brace that is not a value", "write {name} or {name:UNIT}")
        return tuple(part for part in parts if part != "")

    def check_slot(self, name: str, unit: str | None, path: str) -> None:
        known = [*self.names(), *self.entry.inputs]
        if name not in known:
            self.report(path, f"{{{name}}} is not a value of this sum", did_you_mean(name, known))
        elif unit and (unit not in UNITS or not same(self.kinds.get(name, ANY), kind_of(UNITS[unit].dimension))):
            self.report(path, f'{{{name}:{unit}}}: {name} cannot be shown in "{unit}"', "write a unit of its dimension")

    # ---- what is shown

    def result_forms(self) -> tuple[ResultForm, ...]:
        tables = {name: form.table or name for name, form in self.entry.inputs.items() if form.kind == "list"}
        forms = []
        for name, result in self.entry.results.items():
            is_list = name in self.kinds and self.kinds[name].is_list
            table = next((tables[n] for n in self.behind(name) if n in tables), "") if is_list else ""
            forms.append(
                ResultForm(name, result.label, result.unit, result.digits or 4, is_list, table, result.shown or "number", result.words, result.help or "")
            )
        return tuple(forms)

    def behind(self, name: str) -> Iterator[str]:
        """The names that a list is made over, nearest first."""
        waiting, seen = [name], {name}
        while waiting:
            here = waiting.pop(0)
            yield here
            node = self.formulas.get(here)
            for part in _parts(node) if node is not None else ():
                sources = [source for _, source in part.bindings] if isinstance(part, Each) else [part]
                new = [n for source in sources for n in names_in(source) if n not in seen and self.kinds.get(n, ANY).is_list]
                seen.update(new)
                waiting += new

    def shows(self) -> dict[str, Show]:
        """How each name is put into words: inputs in their unit, results in theirs, the rest with a fitting prefix."""
        shows: dict[str, Show] = {}
        for name, kind in self.kinds.items():
            dimension = named(kind)
            base = DIMENSIONS[dimension].base if dimension else "1"
            shows[name] = Show(f"~{dimension or 'number'}" if base != "1" else "1", 4, words_of(name))
        for name, source in self.entry.inputs.items():
            dimension = UNITS[source.unit].dimension
            shows[name] = Show(f"~{dimension}" if dimension in PREFIXED else source.unit, 6, words_of(name))
        for unknown in self.entry.solve:
            dimension = UNITS[unknown.unit].dimension
            shows[unknown.unknown] = Show(f"~{dimension}" if dimension in PREFIXED else unknown.unit, 4, words_of(unknown.unknown))
        for name, result in self.entry.results.items():
            shows[name] = Show(result.unit, result.digits or 4, in_sentence(result.label))
        return shows

    def lines(self) -> tuple[Line, ...]:
        """The working: what each line says, in the order in which it is done."""
        lines = []
        choices = {name: tuple(source.choices.values()) for name, source in self.entry.inputs.items() if source.kind == "choice"}
        order = [*self.entry.let, *(s.unknown for s in self.entry.solve), *self.entry.results]
        for name in dict.fromkeys(order):
            label = self.entry.results[name].label if name in self.entry.results else words_of(name)
            unknown = self.unknowns.get(name)
            node = Call("==", (unknown.left, unknown.right)) if unknown else self.formulas.get(name)
            if node is not None and not isinstance(node, Name):
                shown = displayed(node, choices)
                markup = [_markup(shown, label, unknown is not None, numbers) for numbers in (False, True)]
                lines.append(Line(name, label, unknown is not None, tuple(tokens(node, choices)), markup[0], markup[1]))
        return tuple(lines)


def _markup(node: Node, label: str, equation: bool, numbers: bool) -> str:
    def put(name: str) -> str:
        word = f"<mi>{words_of(name)}</mi>"
        return f'<mn data-put="{name}">{words_of(name)}</mn>' if numbers else word

    head = "" if equation else f"<mtext>{_escaped(label)}</mtext><mo>=</mo>"
    return f'<math display="block"><mrow>{head}{mathml(node, put)}</mrow></math>'


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _parts(node: Node) -> Iterator[Node]:
    yield node
    for child in children(node):
        yield from _parts(child)


def compiled_from(entry: Calculator, library: Shelves) -> tuple[Compiled | None, list[Problem]]:
    """The calculator made ready, or None and what is wrong, every problem at its place."""
    compiler = Compiler(entry, library)
    inputs = compiler.input_forms()
    compiler.read_formulas()
    if not compiler.problems:
        compiler.prove()
    if compiler.problems:
        return None, compiler.problems
    planned = compiler.plan()
    if planned is None or compiler.problems:
        return None, compiler.problems
    steps, verdicts = planned
    cautions = tuple((caution.hazard, caution.words) for caution in entry.cautions)
    return Compiled(entry.id, entry.title, inputs, compiler.result_forms(), steps, verdicts, compiler.shows(), compiler.lines(), cautions), []
