"""From a calculator's entry to something that answers: parsed, proven, ordered, differentiated; or problems at their places."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from typing import TypeVar

from benchlore.entries.calculator import Band, Calculator, Result, Solve
from benchlore.problem import Problem, did_you_mean
from benchlore.reckoning.algebra import (
    AlgebraProblem,
    Call,
    Each,
    Name,
    Node,
    Num,
    Word,
    parse,
    parse_condition,
    parse_equation,
    replaced,
    walk,
)
from benchlore.reckoning.asking import Asking
from benchlore.reckoning.compiled import BandForm, Compiled
from benchlore.reckoning.constants import Shelves
from benchlore.reckoning.dimensions import ANY, Kind, Prover, kind_of, said, same
from benchlore.reckoning.functions import Impossible
from benchlore.reckoning.outcome import SYSTEM
from benchlore.reckoning.planning import DEEPEST, Circle, Planner, TooDeep, Unknown
from benchlore.reckoning.showing import lines_of, result_forms, shows_of
from benchlore.reckoning.sloping import with_slopes
from benchlore.reckoning.steps import Step
from benchlore.reckoning.telling import words_of
from benchlore.units import UNITS

_SLOT = re.compile(r"\{([a-z][a-z0-9_]*)(?::([^{}]{1,20}))?\}")
MOST_FORMULAS = 300
T = TypeVar("T")


@dataclass
class Compiler(Asking):
    """Collects what an entry works out, on top of what it asks; every method reports problems instead of raising."""

    formulas: dict[str, Node] = field(default_factory=dict)
    unknowns: dict[str, Unknown] = field(default_factory=dict)
    bands: dict[str, list[tuple[Node | None, Band]]] = field(default_factory=dict)

    # ---- what is worked out

    def read_formulas(self) -> None:
        """Parse every formula; a result that bears the name of what it shows is no formula of its own."""
        entry = self.entry
        if len(entry.let) + len(entry.solve) + sum(1 + len(result.verdicts) for result in entry.results.values()) > MOST_FORMULAS:
            self.report("let", f"there are more than {MOST_FORMULAS} formulas", "make two calculators of it")
            return
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
        for part in walk(node):
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
        except TooDeep as deep:
            self.report(self.spelled[deep.name], f"{deep.name} is an unknown inside {DEEPEST} others", "bring the equations down to fewer unknowns")
            return None
        uncertain = {name for name, source in self.entry.inputs.items() if source.tolerance and (source.kind or "number") in ("number", "list", "count")}
        wanted = {*edges, *(name for name in self.entry.results if not self.kinds[name].is_list)}
        try:
            return with_slopes(steps, uncertain, wanted), verdicts
        except Impossible as impossible:
            self.report("results", f"a formula holds {impossible}", "check its constants")
            return None

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
        elif unit == SYSTEM and name in self.entry.inputs and self.entry.inputs[name].kind == "tube":
            return
        elif unit and (unit not in UNITS or not same(self.kinds.get(name, ANY), kind_of(UNITS[unit].dimension))):
            self.report(path, f'{{{name}:{unit}}}: {name} cannot be shown in "{unit}"', "write a unit of its dimension")


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
    return Compiled(entry.id, entry.title, inputs, result_forms(compiler), steps, verdicts, shows_of(compiler), lines_of(compiler), cautions), []
