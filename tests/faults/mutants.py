"""How many small slips in the code do the tests notice?  A seeded sample of slips is made, one at a time, in a copy.

    python tests/faults/mutants.py reading --count 60 --seed 1
    python tests/faults/mutants.py reading --place files.py:169      # only what can slip in that line

Each slip changes one thing in one place: a comparison, ``and`` for ``or``, a ``not`` left out, a number one higher, a sum turned
round, nothing returned, a call not made, a branch never or always taken.  Then the tests nearest to the part are run until
one fails.  A slip that no test notices is printed with its place, to be looked at: it is a missing test, or no slip at all.
Not run in CI: it takes about a quarter of an hour for each part.
"""

from __future__ import annotations

import argparse
import ast
import copy
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
NEAREST = {
    "reading": ["tests/reading", "tests/linking", "tests/auditing", "tests/promises/test_01_02_03_spoilt.py", "tests/sharing/test_draft.py", "tests/sharing/test_amended_page.py", "tests/promises/test_24_incremental.py", "tests/promises/test_24_retired.py"],
    "linking": ["tests/linking", "tests/auditing", "tests/ranking/test_suspects.py", "tests/rendering/test_pages.py", "tests/promises/test_24_incremental.py"],
    "reckoning": [
        "tests/reckoning/test_algebra.py", "tests/reckoning/test_compiling.py", "tests/reckoning/test_answers.py",
        "tests/reckoning/test_series_and_markings.py", "tests/reckoning/test_constants.py", "tests/reckoning/test_solving.py",
        "tests/reckoning/test_uncertainty.py", "tests/reference/test_calculators_parts.py",
        "tests/reference/test_calculators_uncertainty.py", "tests/reckoning/test_python_and_javascript.py",
    ],
}  # fmt: skip
"""The tests run for each part, quickest first; those that open a browser are left out."""

BEFOREHAND = ("pytest", "hypothesis", "yaml", "sympy", "pint", "jinja2", "markdown_it", "html5lib", "ruamel.yaml", "scipy.optimize", "uncertainties", "eseries", "sklearn.naive_bayes")
"""What the tests import that is not ours: once, before the children part, since it takes longer than many a test."""

ENDLESS = 5
"""A child that takes so many times longer than without a slip has met one that never ends, which is noticed too."""

FLIPS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
TURNED: dict[type[ast.operator], type[ast.operator]] = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}


@dataclass(frozen=True)
class Slip:
    """One change: where, from what to what, and the module's text with it."""

    file: str
    line: int
    was: str
    now: str
    text: str


def slips_of(node: ast.AST) -> Iterator[ast.AST]:
    """Other nodes that someone could have written in this one's place."""
    match node:
        case ast.Compare(ops=[one]) if type(one) in FLIPS:
            yield ast.Compare(node.left, [FLIPS[type(one)]()], node.comparators)
        case ast.BoolOp(op=op):
            yield ast.BoolOp(ast.Or() if isinstance(op, ast.And) else ast.And(), node.values)
        case ast.UnaryOp(op=ast.Not()):
            yield node.operand
        case ast.BinOp(op=op) if type(op) in TURNED and not isinstance(node.left, ast.Constant | ast.JoinedStr):
            yield ast.BinOp(node.left, TURNED[type(op)](), node.right)
        case ast.Constant(value=bool(value)):
            yield ast.Constant(not value)
        case ast.Constant(value=int(value) | float(value)):
            yield ast.Constant(value + 1)
        case ast.Return(value=value) if value is not None and not (isinstance(value, ast.Constant) and value.value is None):
            yield ast.Return(ast.Constant(None))
        case ast.Expr(value=ast.Call()):
            yield ast.Pass()
        case ast.If():
            yield ast.If(ast.Constant(False), node.body, node.orelse)
            yield ast.If(ast.Constant(True), node.body, node.orelse)
        case ast.Raise():
            yield ast.Pass()


SAID = ("annotation", "returns", "decorator_list", "keywords")
"""Fields of a definition that say what it is and run nothing that a test could notice."""


def places(parent: ast.AST) -> Iterator[tuple[ast.AST, str, int | None, ast.AST]]:
    """Every node that runs, with its parent, and the field of the parent in which it stands."""
    if isinstance(parent, ast.If) and "TYPE_CHECKING" in ast.dump(parent.test):
        return
    defined = isinstance(parent, ast.ClassDef | ast.FunctionDef | ast.AnnAssign | ast.arg)
    for name, value in ast.iter_fields(parent):
        if defined and name in SAID:
            continue
        for at, node in enumerate(value) if isinstance(value, list) else [(None, value)]:
            if isinstance(node, ast.AST):
                yield parent, name, at, node
                yield from places(node)


def slips_in(file: Path) -> Iterator[Slip]:
    """Every slip that can be made in a module."""
    tree = ast.parse(file.read_text("utf-8"))
    for parent, name, at, node in places(tree):
        for other in slips_of(node):
            now = ast.copy_location(copy.deepcopy(other), node)
            holder = getattr(parent, name)
            if at is None:
                setattr(parent, name, now)
            else:
                holder[at] = now
            text = ast.unparse(ast.fix_missing_locations(tree))
            yield Slip(file.relative_to(ROOT).as_posix(), getattr(node, "lineno", 0), shown(node), shown(other), text)
            if at is None:
                setattr(parent, name, node)
            else:
                holder[at] = node


def shown(node: ast.AST) -> str:
    """The first line of a node, for people."""
    return ast.unparse(ast.fix_missing_locations(copy.deepcopy(node))).splitlines()[0][:90]


def sample(part: str, count: int, seed: int, place: str = "") -> tuple[list[Slip], int]:
    """So many slips of a part, drawn by the seed from all of them (or all of one place), and how many there are."""
    files = sorted((ROOT / "builder" / "benchlore" / part).glob("*.py"))
    found = [(file, number) for file in files for number, _ in enumerate(slips_in(file))]
    if place:
        at = [slip for file in files for slip in slips_in(file) if f"{slip.file}:{slip.line}".endswith(place)]
        return at, len(found)
    drawn = sorted(random.Random(seed).sample(found, min(count, len(found))))
    texts = {file: list(slips_in(file)) for file in {file for file, _ in drawn}}
    return [texts[file][number] for file, number in drawn], len(found)


def noticed(slip: Slip | None, part: str, copied: Path, most: float = 3600) -> tuple[str, float]:
    """What the tests say of a slip (or of none): ``noticed``, ``missed`` or ``endless``, and after how many seconds."""
    target = copied / slip.file if slip else None
    before = target.read_text("utf-8") if target else ""
    start = time.monotonic()
    if slip and target:
        target.write_text(slip.text, "utf-8")
    child = os.fork()
    if child == 0:
        tested(part, copied, most)
    _, status = os.waitpid(child, 0)
    if target:
        target.write_text(before, "utf-8")
    code = os.waitstatus_to_exitcode(status)
    said = "missed" if code == 0 else "endless" if code == -signal.SIGALRM else "noticed"
    return said, time.monotonic() - start


def tested(part: str, copied: Path, most: float) -> None:
    """In a child: run the nearest tests of the copy until one fails, and end with pytest's status."""
    import pytest

    signal.alarm(int(most))
    os.chdir(copied)
    os.environ |= {"PYTHONDONTWRITEBYTECODE": "1", "BENCHLORE_CACHE": str(copied / ".cache-of-slips"), "HYPOTHESIS_STORAGE_DIRECTORY": str(copied / ".hypothesis")}
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    there = [path for path in NEAREST[part] if (copied / path).exists()]
    os._exit(int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "--no-header", "-k", "not browser", *there])))


def copy_of(folder: Path) -> Path:
    """What git knows of this house, as it lies here, in a folder of its own."""
    listed = subprocess.run(["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    for path in filter(None, listed.split("\0")):
        if (ROOT / path).is_file():
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / path, folder / path)
    return folder


def main() -> None:
    """Make the slips, count what was noticed, print what was missed."""
    words = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    words.add_argument("part", choices=NEAREST)
    words.add_argument("--count", type=int, default=60)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--place", default="")
    asked = words.parse_args()
    for name in BEFOREHAND:
        try:
            __import__(name)
        except ImportError:
            print(f"not there: {name}", file=sys.stderr)
    with tempfile.TemporaryDirectory() as folder:
        copied = copy_of(Path(folder) / "house")
        said, whole = noticed(None, asked.part, copied)
        if said != "missed":
            raise SystemExit(f"the tests fail without any slip ({said} after {whole:.0f} s)")
        print(f"{asked.part}: the nearest tests take {whole:.0f} s", flush=True)
        drawn, of = sample(asked.part, asked.count, asked.seed, asked.place)
        missed = 0
        for slip in drawn:
            said, _ = noticed(slip, asked.part, copied, 30 + ENDLESS * whole)
            missed += said == "missed"
            if said != "noticed":
                print(f"{said}: {slip.file}:{slip.line}: {slip.was}  ->  {slip.now}", flush=True)
        share = 100 * (len(drawn) - missed) / len(drawn)
        print(f"{asked.part}: {len(drawn) - missed} of {len(drawn)} noticed, {share:.1f} %, drawn from {of} with seed {asked.seed}", flush=True)


if __name__ == "__main__":
    main()
