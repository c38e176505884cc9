"""Puts named formulas and unknowns into an order of work; finds names that go round in a circle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from benchlore.reckoning.algebra import Call, Each, Name, Node, names_in
from benchlore.reckoning.functions import LIST_TO_NUMBER
from benchlore.reckoning.steps import Formula, Map, Reduce, Root, Spread, Step


@dataclass(frozen=True)
class Unknown:
    """An unknown: the two sides of its equation, the ends of its bracket, and what to say if there is no answer."""

    left: Node
    right: Node
    low: Node
    high: Node
    none: str


class Circle(ValueError):
    """Names that are worked out from each other."""

    def __init__(self, names: tuple[str, ...]) -> None:
        super().__init__(" -> ".join(names))
        self.names = names


DEEPEST = 3


class TooDeep(ValueError):
    """More unknowns inside each other than can be solved in good time."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self.name = name


@dataclass
class Planner:
    """Knows every definition; ``lists`` are the names that hold lists. Slopes are put in afterwards."""

    formulas: Mapping[str, Node]
    unknowns: Mapping[str, Unknown]
    lists: frozenset[str]
    given: frozenset[str]
    counted: dict[str, int] = field(default_factory=dict)
    guessed: list[str] = field(default_factory=list)

    def plan(self, goals: list[str]) -> list[Step]:
        """Steps that set every goal, each name once. Raises ``Circle``."""
        steps: list[Step] = []
        done: set[str] = set(self.given)
        for name in goals:
            self.visit(name, done, steps, ())
        return steps

    def needs(self, name: str) -> tuple[str, ...]:
        """The names that a definition reads, in reading order."""
        unknown = self.unknowns.get(name)
        if unknown is not None:
            trees = (unknown.low, unknown.high, unknown.left, unknown.right)
            return tuple(n for n in dict.fromkeys(n for tree in trees for n in names_in(tree)) if n != name and self.defined(n))
        return tuple(n for n in dict.fromkeys(names_in(self.formulas[name])) if self.defined(n)) if name in self.formulas else ()

    def defined(self, name: str) -> bool:
        return name in self.formulas or name in self.unknowns or name in self.given

    def reach(self, name: str) -> Iterator[str]:
        """Every name that ``name`` is worked out from, however far back."""
        seen: set[str] = set()
        waiting = list(self.needs(name))
        while waiting:
            found = waiting.pop(0)
            if found not in seen:
                seen.add(found)
                yield found
                waiting += self.needs(found)

    def visit(self, name: str, done: set[str], steps: list[Step], path: tuple[str, ...]) -> None:
        if name in done:
            return
        if name in path:
            raise Circle((*path[path.index(name) :], name))
        if name in self.unknowns:
            self.visit_unknown(name, done, steps, (*path, name))
        else:
            for need in self.needs(name):
                self.visit(need, done, steps, (*path, name))
            steps += self.define(name, self.formulas[name])
        done.add(name)

    def visit_unknown(self, name: str, done: set[str], steps: list[Step], path: tuple[str, ...]) -> None:
        """What does not vary with the unknown is done once before it; what does, again for each guess."""
        unknown = self.unknowns[name]
        for tree in (unknown.low, unknown.high):
            for need in dict.fromkeys(names_in(tree)):
                if self.defined(need):
                    self.visit(need, done, steps, path)
        sides = [n for n in dict.fromkeys([*names_in(unknown.left), *names_in(unknown.right)]) if self.defined(n) and n != name]
        far = list(dict.fromkeys([*sides, *(n for side in sides for n in self.reach(side))]))
        for need in far:
            if need != name and name not in self.reach(need):
                self.visit(need, done, steps, path)
        if len(self.guessed) >= DEEPEST:
            raise TooDeep(name)
        self.guessed.append(name)
        inner: list[Step] = []
        inner_done = {*done, name}
        for need in sides:
            self.visit(need, inner_done, inner, tuple(n for n in path if n != name))
        inner += self.define(f"{name}?", Call("-", (unknown.left, unknown.right)))
        self.guessed.pop()
        steps += self.define(f"{name}?low", unknown.low)
        steps += self.define(f"{name}?high", unknown.high)
        steps.append(Root(name, f"{name}?low", f"{name}?high", tuple(inner), f"{name}?", unknown.none))

    def define(self, name: str, node: Node) -> list[Step]:
        """The steps that set ``name``; lists inside a formula get hidden names of their own."""
        before: list[Step] = []
        if self.is_list(node):
            self.list_step(name, node, name, before)
        else:
            before.append(Formula(name, self.lifted(node, name, before), {}))
        return before

    def is_list(self, node: Node) -> bool:
        if isinstance(node, Name):
            return node.name in self.lists
        return isinstance(node, Each) or (isinstance(node, Call) and node.fn in ("running", "upto"))

    def hidden(self, owner: str) -> str:
        self.counted[owner] = self.counted.get(owner, 0) + 1
        return f"{owner}#{self.counted[owner]}"

    def lifted(self, node: Node, owner: str, before: list[Step]) -> Node:
        """The tree with each reduced list replaced by a hidden name whose steps go into ``before``."""
        if not isinstance(node, Call):
            return node
        if node.fn in LIST_TO_NUMBER and len(node.args) == 1 and self.is_list(node.args[0]):
            source = self.source(node.args[0], owner, before)
            name = self.hidden(owner)
            before.append(Reduce(name, node.fn, source))
            return Name(name)
        return Call(node.fn, tuple(self.lifted(arg, owner, before) for arg in node.args))

    def source(self, node: Node, owner: str, before: list[Step]) -> str:
        """The name of a list, made under a hidden name where it has none."""
        if isinstance(node, Name):
            return node.name
        name = self.hidden(owner)
        self.list_step(name, node, owner, before)
        return name

    def list_step(self, name: str, node: Node, owner: str, before: list[Step]) -> None:
        if isinstance(node, Name):
            before.append(Map(name, Name("item"), {}, (("item", node.name),)))
        elif isinstance(node, Each):
            over = tuple((variable, self.source(source, owner, before)) for variable, source in node.bindings)
            before.append(Map(name, self.lifted(node.body, owner, before), {}, over))
        else:
            assert isinstance(node, Call)
            if node.fn == "running":
                before.append(Spread(name, "running", self.source(node.args[0], owner, before)))
            else:
                count = self.hidden(owner)
                before.append(Formula(count, self.lifted(node.args[0], owner, before), {}))
                before.append(Spread(name, "upto", count))
