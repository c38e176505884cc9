"""The charts of the calculators by name, and their functions as the classic script that draws them in a page."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import FunctionType
from typing import cast

from benchlore.drawing import bias, idle, load, ring, scales, volts
from benchlore.drawing.cases import Case, case, many
from benchlore.drawing.sheet import Drawn, Sheet, finished
from benchlore.javascript import javascript_of
from benchlore.reckoning.compiled import Compiled

CHARTS: Mapping[str, Callable[[Sheet, Case], None]] = {
    "idle-window": idle.idle_window_chart,
    "bias-share": bias.bias_chart,
    "load-line": load.load_chart,
    "tightening-order": ring.ring_case,
    "supply-chart": volts.volts_chart,
}
"""What ``drawing:`` of a calculator may name."""

HOST = "about head row line rect circle curve uprights area text size said bare count floor cos sin one many answered swept"
"""What ``assets/js/sheet.js`` has of ``sheet.py`` and ``cases.py``."""

_PRINTED = (scales, idle, bias, load, ring, volts)


def drawn_case(name: str, compiled: Compiled, texts: Mapping[str, str]) -> Drawn | None:
    """The chart ``name`` for inputs as typed (the defaults where none are); None where nothing is to be drawn."""
    chart, answer = CHARTS.get(name), case(compiled, texts)
    if chart is None or not answer.values:
        return None
    sheet = Sheet()
    chart(sheet, answer)
    return finished(sheet)


def drawn_ring(compiled: Compiled, fasteners: str) -> Drawn:
    """The order for so many fasteners, without a torque: that belongs to a thread, not to a number."""
    sheet = Sheet()
    ring.ring_chart(sheet, many(case(compiled, {"fasteners": fasteners}), "order"), [], [])
    return finished(sheet)


def charts_script() -> str:
    """A script that sets ``Benchlore.charts``: the same functions, printed."""
    functions = tuple(f for module in _PRINTED for f in _own_functions(module.__name__, vars(module)))
    constants = {"LEFT": scales.LEFT, "RIGHT": scales.RIGHT, "ROW": scales.ROW, "PI": ring.PI}
    table = ", ".join(f'"{name}": {cast(FunctionType, chart).__name__}' for name, chart in CHARTS.items())
    return (
        '(function (B) {\n"use strict";\n'
        f"const {{ {', '.join(HOST.split())} }} = B.sheet;\n"
        f"const TWELVE = {bias.TWELVE!r};\n"
        f"{javascript_of(functions, constants)}"
        f"B.charts = {{ {table} }};\n"
        "})(globalThis.Benchlore);\n"
    )


def _own_functions(module: str, names: Mapping[str, object]) -> tuple[FunctionType, ...]:
    """The functions that a module itself defines, in the order in which they stand."""
    return tuple(f for f in names.values() if isinstance(f, FunctionType) and f.__module__ == module)
