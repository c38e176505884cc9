"""What a calculator shows: its results, how each name is put into words, and the lines of its working."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import TYPE_CHECKING

from benchlore.reckoning.algebra import Call, Each, Name, Node, names_in, walk
from benchlore.reckoning.compiled import Line, Show
from benchlore.reckoning.dimensions import ANY, named
from benchlore.reckoning.forms import ResultForm
from benchlore.reckoning.telling import displayed, in_sentence, mathml, tokens, words_of
from benchlore.units import DIMENSIONS, UNITS

if TYPE_CHECKING:
    from benchlore.reckoning.compiling import Compiler

PREFIXED = ("resistance", "capacitance", "inductance", "voltage", "current", "power", "frequency")  # read best as 220 kohm


def result_forms(compiler: Compiler) -> tuple[ResultForm, ...]:
    """What comes out, each list beside the table it is made over."""
    tables = {name: form.table or name for name, form in compiler.entry.inputs.items() if form.kind == "list"}
    forms = []
    for name, result in compiler.entry.results.items():
        is_list = name in compiler.kinds and compiler.kinds[name].is_list
        table = next((tables[n] for n in _behind(compiler, name) if n in tables), "") if is_list else ""
        forms.append(
            ResultForm(name, result.label, result.unit, result.digits or 4, is_list, table, result.shown or "number", result.words, result.help or "")
        )
    return tuple(forms)


def _behind(compiler: Compiler, name: str) -> Iterator[str]:
    """The names that a list is made over, nearest first."""
    waiting, seen = [name], {name}
    while waiting:
        here = waiting.pop(0)
        yield here
        node = compiler.formulas.get(here)
        for part in walk(node) if node is not None else ():
            sources = [source for _, source in part.bindings] if isinstance(part, Each) else [part]
            new = [n for source in sources for n in names_in(source) if n not in seen and compiler.kinds.get(n, ANY).is_list]
            seen.update(new)
            waiting += new


def shows_of(compiler: Compiler) -> dict[str, Show]:
    """How each name is put into words: inputs in their unit, results in theirs, the rest with a fitting prefix."""
    shows: dict[str, Show] = {}
    for name, kind in compiler.kinds.items():
        dimension = named(kind)
        base = DIMENSIONS[dimension].base if dimension else "1"
        shows[name] = Show(f"~{dimension or 'number'}" if base != "1" else "1", 4, words_of(name))
    for name, source in compiler.entry.inputs.items():
        dimension = UNITS[source.unit].dimension
        shows[name] = Show(f"~{dimension}" if dimension in PREFIXED else source.unit, 6, words_of(name))
    for unknown in compiler.entry.solve:
        dimension = UNITS[unknown.unit].dimension
        shows[unknown.unknown] = Show(f"~{dimension}" if dimension in PREFIXED else unknown.unit, 4, words_of(unknown.unknown))
    for name, result in compiler.entry.results.items():
        shows[name] = Show(result.unit, result.digits or 4, in_sentence(result.label))
    return shows


def lines_of(compiler: Compiler) -> tuple[Line, ...]:
    """The working: what each line says, in the order in which it is done."""
    lines = []
    choices = {name: tuple(source.choices.values()) for name, source in compiler.entry.inputs.items() if source.kind == "choice"}
    order = [*compiler.entry.let, *(s.unknown for s in compiler.entry.solve), *compiler.entry.results]
    for name in dict.fromkeys(order):
        label = compiler.entry.results[name].label if name in compiler.entry.results else words_of(name)
        unknown = compiler.unknowns.get(name)
        node = Call("==", (unknown.left, unknown.right)) if unknown else compiler.formulas.get(name)
        if node is not None and not isinstance(node, Name):
            shown = displayed(node, choices)
            markup = [_markup(shown, label, unknown is not None, numbers) for numbers in (False, True)]
            lines.append(Line(name, label, unknown is not None, tuple(tokens(node, choices)), markup[0], markup[1]))
    return tuple(lines)


def _markup(node: Node, label: str, equation: bool, numbers: bool) -> str:
    def put(name: str) -> str:
        word = f"<mi>{words_of(name)}</mi>"
        return f'<mn data-put="{name}">{words_of(name)}</mn>' if numbers else word

    head = "" if equation else f"<mtext>{escape(label, quote=False)}</mtext><mo>=</mo>"
    return f'<math display="block"><mrow>{head}{mathml(node, put)}</mrow></math>'
