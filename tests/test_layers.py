"""Imports go one way, each outside library lives in one folder, and only two places write files.

The order is that of DEVELOPERS.md, "The house on one page"; this test is what holds it.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "builder" / "benchlore"

FLOORS: tuple[frozenset[str], ...] = tuple(
    frozenset(floor.split())
    for floor in (
        "place",
        "problem",
        "units quantity javascript keeping ledger workers meter",
        "entries addresses shelves",
        "works",
        "reading",
        "linking",
        "reckoning",
        "auditing ranking searching drawing",
        "rendering",
        "writing",
        "publishing",
        "sharing standing",
        "upkeep",
        "pipeline",
        "serving",
        "cli",
        "__main__",
    )
)
"""A floor may import what lies on the floors above it in this list, and of its own floor what its own name holds."""

LIBRARIES = {
    "yaml": {"reading"},
    "sympy": {"reckoning"},
    "pint": {"reckoning"},
    "whoosh": {"searching"},
    "snowballstemmer": {"searching"},
    "jinja2": {"rendering"},
    "markupsafe": {"rendering"},
    "markdown_it": {"rendering"},
    "uritemplate": {"rendering", "reckoning"},
    "ruamel": {"sharing"},
    "click": {"cli"},
    "rich": {"cli"},
    "watchfiles": {"cli", "sharing"},
}
"""Outside library to the parts of the house that may import it."""

WRITERS = {"writing", "publishing", "sharing"}
WRITES = {"write_text", "write_bytes", "mkdir", "unlink", "rename", "rmdir", "touch", "symlink_to", "rmtree", "copyfile"}
CACHES = {"searching/store.py", "keeping.py", "ledger.py"}
"""What is kept between runs to save time, and which anyone may delete."""

SAME_FLOOR = {("quantity", "units")}
"""Neighbours of one floor that may be imported, from the first to the second."""

MODULES = sorted(PACKAGE.rglob("*.py"))


def part_of(module: Path) -> str:
    """The part of the house a module belongs to: ``reading``, ``place``."""
    return module.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Line and dotted name of everything imported, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"line {node.lineno}: imports are written in full"
            if node.module == "benchlore":
                yield from ((node.lineno, f"benchlore.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""


def floor_of(part: str) -> int:
    """The floor a part lives on."""
    found = [number for number, floor in enumerate(FLOORS) if part in floor]
    assert found, f"{part} has no floor yet: add it to FLOORS in {__file__}"
    return found[0]


def parsed(module: Path) -> ast.Module:
    """A module's syntax tree."""
    return ast.parse(module.read_text("utf-8"), str(module))


def when_run(tree: ast.Module) -> ast.Module:
    """The tree without what stands under ``if TYPE_CHECKING:``."""
    body = [n for n in tree.body if not (isinstance(n, ast.If) and ast.unparse(n.test) == "TYPE_CHECKING")]
    return ast.Module(body, [])


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_imports_go_one_way(module: Path) -> None:
    """A module imports from its own part and from the parts before it, never from one after it."""
    part = part_of(module)
    if part == "__init__":
        return
    for line, name in imports(parsed(module)):
        if not name.startswith("benchlore."):
            continue
        other = name.split(".")[1]
        if other == part or other == "__version__" or (part, other) in SAME_FLOOR:
            continue
        assert floor_of(other) < floor_of(part), f"{module}:{line}: {part} must not import {other}"


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_each_library_lives_in_one_folder(module: Path) -> None:
    """An outside library is imported where it belongs, and no library is imported that is not named here."""
    for line, name in imports(parsed(module)):
        root = name.partition(".")[0]
        if root == "benchlore" or root in sys.stdlib_module_names:
            continue
        assert part_of(module) in LIBRARIES.get(root, set()), f"{module}:{line}: {root} does not belong here"


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_only_publishing_and_sharing_write_and_only_cli_prints(module: Path) -> None:
    """Nothing else calls what writes a file, prints, or leaves the program; nothing anywhere evaluates text."""
    part = part_of(module)
    for node in ast.walk(parsed(module)):
        if not isinstance(node, ast.Call):
            continue
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        where = f"{module}:{node.lineno}: {called}"
        if isinstance(node.func, ast.Attribute):
            allowed = part in WRITERS or module.relative_to(PACKAGE).as_posix() in CACHES
            assert called not in WRITES or allowed, f"{where} writes outside {sorted(WRITERS)}"
        elif called in ("eval", "exec", "compile", "__import__"):
            raise AssertionError(f"{where} runs text")
        elif called in ("print", "exit", "input"):
            assert part == "cli", f"{where} belongs to cli"


def test_no_import_goes_round_in_a_ring() -> None:
    """No module imports, through others, itself (imports inside functions count too; those for types alone do not)."""
    names = {".".join(m.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): m for m in MODULES}
    leads_to = {
        name: {other for _, other in imports(when_run(parsed(module))) if other in names and other != name}
        for name, module in names.items()
    }
    done: set[str] = set()

    def visit(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, " imports ".join([*path[path.index(name) :], name])
        if name not in done:
            for other in sorted(leads_to[name]):
                visit(other, (*path, name))
            done.add(name)

    for name in names:
        visit(name, ())


@pytest.mark.parametrize("module", MODULES, ids=lambda module: str(module.relative_to(PACKAGE)))
def test_modules_and_functions_stay_small(module: Path) -> None:
    """A module has at most 400 lines and a function at most 40 (the house's own limits, DEVELOPERS.md)."""
    assert len(module.read_text("utf-8").splitlines()) <= 400, f"{module} is too long: split it by noun"
    for node in ast.walk(parsed(module)):
        if isinstance(node, ast.FunctionDef):
            length = (node.end_lineno or 0) - node.lineno + 1
            assert length <= 40, f"{module}:{node.lineno}: {node.name} has {length} lines"
