"""All calculators of a library made ready, from what was kept where nothing has changed."""

from __future__ import annotations

from collections.abc import Mapping

from benchlore.keeping import Keep
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.calculate import compile_calculator, engine_key
from benchlore.reckoning.compiled import Compiled

Sums = Mapping[str, Compiled]


def compile_all(library: Library, keep: Keep) -> tuple[Sums, tuple[Problem, ...]]:
    """Every calculator that proves itself, by id, and the problems of those that do not.

    Only sound calculators are kept, so that a warning is said at every build.
    """
    sums: dict[str, Compiled] = {}
    problems: list[Problem] = []
    for id, entry in library.calculators.items():
        key = engine_key(entry, library)
        kept = keep.get("sum", key)
        if kept is not None:
            sums[id] = Compiled.from_data(kept)
            continue
        compiled, met = compile_calculator(entry, library)
        problems += met
        if compiled is not None:
            sums[id] = compiled
            if not met:
                keep.put("sum", key, compiled.to_data())
    return sums, tuple(problems)
