"""A sum of the bench as data: inputs, algebra, limits, verdicts and published worked examples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.entries.common import CAUTIONS, SOURCES, Caution, Entry, Source
from benchlore.entries.fields import Choice, Code, Flag, Many, Part, Prose, Ref, Table, Text, Whole, spec

INPUT_KINDS = ("number", "count", "choice", "list", "tube", "fastener", "wire", "letters", "digits")
ONLY = ("output", "small signal", "rectifier")
SHOWN_AS = ("number", "prefix", "above zero", "word", "letters", "digits")
DRAWINGS = ("idle-window", "bias-share", "load-line", "tightening-order", "supply-chart")
CALCULATOR_GROUPS = ("output stage", "supply", "small signal", "parts", "hardware", "speaker", "shop")


@dataclass(frozen=True, kw_only=True)
class Input:
    """One thing the technician types."""

    label: str = spec(Text(100), "Words beside the field", need="required", example="Plate volts to chassis")
    unit: str = spec(Code(20), "Unit in which a plain number is read; ``1`` for none", need="required", example="V")
    kind: str | None = spec(Choice(INPUT_KINDS), "What kind of input; number by default", example="number")
    default: str | None = spec(Code(200), "Value filled in at first (a quantity; for a list, values parted by semicolons)", example="400 V")
    least: str | None = spec(Code(40), "Hard lower limit", example="1 V")
    most: str | None = spec(Code(40), "Hard upper limit", example="1000 V")
    usual: str | None = spec(Code(60), "Usual range, for a hint only", example="250..500 V")
    tolerance: str | None = spec(Code(40), "How well it is known: a part's band (``5 %``) or a meter's ``0.5 % + 2 digits``", example="0.5 % + 2 digits")
    choices: Mapping[str, str] = spec(Table(Text(100)), "For a choice: word to label; its position counts 0, 1, 2 ... in the algebra", example="{series: in series}")
    table: str | None = spec(Code(40), "For a list: word shared by the lists that are columns of one table", example="speakers")
    least_rows: int | None = spec(Whole(1, 60), "For a list: fewest items (default 1)", example="2")
    most_rows: int | None = spec(Whole(1, 60), "For a list: most items (default 12)", example="8")
    takes: Mapping[str, str] = spec(Table(Code(120)), "For a tube, fastener or wire: symbol to path of the published constant in that entry", example="{limit: rating.plate_dissipation}")
    only: str | None = spec(Choice(ONLY), "For a tube: only those of this role", example="output")
    prefill: str | None = spec(Code(120), "Path in a family from which its page fills this in; ``heaters[].amps`` and ``heaters[].number`` count its heaters", example="idle.plate_volts")
    needed: bool | None = spec(Flag(), "``yes``: a family that cannot fill this in does not offer the sum", example="yes")
    help: str | None = spec(Text(), "A line of help under the field", example="probe on pin 3")


@dataclass(frozen=True, kw_only=True)
class Band:
    """A verdict: it holds while its condition does; the first that holds is shown."""

    when: str = spec(Code(), "Condition in algebra, over inputs and results; ``else`` for the last", need="required", example="share > 1")
    says: str = spec(Text(), "The verdict in words; ``{name}`` puts in a value", need="required", example="above the tube's limit of {limit}")
    mark: str = spec(Choice(("good", "mind", "stop", "note")), "Colour and shape it is shown in", need="required", example="stop")


@dataclass(frozen=True, kw_only=True)
class Result:
    """One thing that comes out."""

    label: str = spec(Text(100), "Words beside the result", need="required", example="Plate dissipation")
    unit: str = spec(Code(20), "Unit in which it is shown", need="required", example="W")
    gives: str = spec(Code(), "Its algebra, over inputs, intermediates and solved unknowns", need="required", example="plate_power")
    shown: str | None = spec(Choice(SHOWN_AS), "As a number in its unit (default), with the prefix that fits, a number or ``none`` where it is not above zero, a word of ``words``, an IEC 60062 code in letters, or a three-digit code", example="letters")
    words: tuple[str, ...] = spec(Many(Text(60), most=60), "For ``shown: word``: the words for 0, 1, 2 ...", example="[black, brown]")
    digits: int | None = spec(Whole(1, 9), "Significant figures shown (default 4)", example="3")
    verdicts: tuple[Band, ...] = spec(Many(Part(Band)), "Verdict bands, tried in order", example="[]")
    help: str | None = spec(Text(), "A line under the result", example="to be read against the limit")


@dataclass(frozen=True, kw_only=True)
class Solve:
    """An unknown that is found as the root of an equation within a bracket."""

    unknown: str = spec(Code(60), "Name of the unknown", need="required", example="current")
    unit: str = spec(Code(20), "Its unit", need="required", example="A")
    equation: str = spec(Code(), "Two sides joined by ``=``", need="required", example="current = law(grid)")
    between: tuple[str, ...] = spec(Many(Code(200), least=2, most=2), "Algebra for the two ends of the bracket", need="required", example="[0, 1]")
    none: str | None = spec(Text(), "What to say when there is no answer in the bracket", example="no idle current satisfies this: check the sign of the grid volts")


@dataclass(frozen=True, kw_only=True)
class Worked:
    """A worked example from outside, run at every build."""

    given: Mapping[str, str] = spec(Table(Code(200)), "Inputs", need="required", example="{plate_volts: 300 V}")
    gives: Mapping[str, str] = spec(Table(Code(200)), "Results to be met", need="required", example="{power: 10.44 W}")
    within: str | None = spec(Code(40), "How near: relative (``0.1 %``) or in the result's unit (``0.01 W``); default 0.1 %", example="0.1 %")
    sources: tuple[Source, ...] = spec(SOURCES, "Where it is printed", need="required", example="[common practice]")
    note: str | None = spec(Text(), "What it shows", example="leaving out the screen current would give 15.98 W")


@dataclass(frozen=True, kw_only=True)
class Calculator(Entry):
    """A sum of the bench."""

    group: str = spec(Choice(CALCULATOR_GROUPS), "Where it stands in the list", need="required", example="output stage")
    summary: str = spec(Prose(), "What it is for, when to use it, and what it cannot tell", need="required", example="...")
    inputs: Mapping[str, Input] = spec(Table(Part(Input)), "What is typed", need="required", example="{}")
    let: Mapping[str, str] = spec(Table(Code(2000)), "Intermediate names and their algebra", example="{}")
    solve: tuple[Solve, ...] = spec(Many(Part(Solve)), "Unknowns solved in order", example="[]")
    results: Mapping[str, Result] = spec(Table(Part(Result)), "What comes out, in order", need="required", example="{}")
    drawing: str | None = spec(Choice(DRAWINGS), "Name of the drawing shown beside it", example="idle-window")
    worked: tuple[Worked, ...] = spec(Many(Part(Worked), least=2), "Published worked examples", need="required", example="[]")
    cautions: tuple[Caution, ...] = spec(CAUTIONS, "Safety lines", example="[]")
    see: tuple[str, ...] = spec(Many(Ref("calculator")), "Related sums", example="[]")
