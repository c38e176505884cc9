"""All calculators of a library made ready when they are asked for, from what was kept where nothing has changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from benchlore.keeping import Keep
from benchlore.linking.library import Library
from benchlore.problem import Problem, problem_from
from benchlore.works import Question

if TYPE_CHECKING:
    from benchlore.reckoning.compiled import Compiled

Sums = Mapping[str, "Compiled"]


class Book(Mapping[str, "Compiled"]):
    """Every calculator that proves itself, by id.  Only sound ones are kept, so that a warning is said at every build."""

    def __init__(self, library: Library, keep: Keep) -> None:
        self._library, self._keep = library, keep
        self._ready: dict[str, Compiled | None] = {}
        self.question = Question("sum", self._made)

    def problems(self, id: str) -> list[Problem]:
        """What is wrong with a calculator."""
        return [problem_from(data) for data in self._library.ask(self.question, id)["problems"]]

    def _made(self, library: Library, id: str) -> dict[str, Any]:
        """Under which key a calculator is kept, whether it is sound, and its problems."""
        from benchlore.reckoning.calculate import compile_calculator, engine_key
        from benchlore.reckoning.compiled import Compiled

        entry = library.calculators[id]
        key = engine_key(entry, library)
        kept = self._keep.get("sum", key)
        if kept is not None:
            self._ready[id] = Compiled.from_data(kept)
            return {"key": key, "sound": True, "problems": []}
        compiled, met = compile_calculator(entry, library)
        self._ready[id] = compiled
        if compiled is not None and not met:
            self._keep.put("sum", key, compiled.to_data())
        return {"key": key, "sound": compiled is not None, "problems": [p.as_json() for p in met]}

    def __getitem__(self, id: str) -> Compiled:
        if id not in self._library.calculators:
            raise KeyError(id)
        told = self._library.ask(self.question, id)
        if id not in self._ready:
            from benchlore.reckoning.compiled import Compiled

            kept = self._keep.get("sum", told["key"]) if told["sound"] else None
            self._ready[id] = Compiled.from_data(kept) if kept is not None else self._compiled(id)
        found = self._ready[id]
        if found is None:
            raise KeyError(id)
        return found

    def _compiled(self, id: str) -> Compiled | None:
        from benchlore.reckoning.calculate import compile_calculator

        return compile_calculator(self._library.calculators[id], self._library)[0]

    def __iter__(self) -> Iterator[str]:
        return (id for id in self._library.calculators if self._library.ask(self.question, id)["sound"])

    def __len__(self) -> int:
        return sum(1 for _ in self)
