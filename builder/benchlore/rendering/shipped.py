"""Sheets, scripts and pictures of the site, and which of them a page loads."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache, partial
from pathlib import Path

from benchlore.drawing.printing import charts_script
from benchlore.linking.library import Library
from benchlore.reckoning.compiled import Compiled

Made = tuple[tuple[str, ...], Callable[[], dict[str, bytes]]]
"""The paths of files, and what makes them."""

FOLDER = Path(__file__).parent / "assets"
SHEETS = (
    "assets/css/tokens.css",
    "assets/css/base.css",
    "assets/css/parts.css",
    "assets/css/drawings.css",
    "assets/css/print.css",
)
EVERYWHERE = ("carry.js", "theme.js", "bench.js", "print.js", "search-words.js", "search-index.js", "search-rank.js", "search.js", "mark.js")
CALCULATING = ("grammar.js", "quantity.js", "reckon.js", "answer.js", "{calculator}", "calculator.js")
DRAWING = ("sheet.js", "charts.js", "drawings.js")
"""Scripts in the order in which a page loads them; one that is not there is left out."""


@cache
def files() -> Mapping[str, bytes]:
    """Every shipped asset, path in the site to bytes."""
    found = sorted(p for p in FOLDER.rglob("*") if p.is_file() and p.suffix in (".css", ".js", ".svg"))
    return {f"assets/{p.relative_to(FOLDER).as_posix()}": p.read_bytes() for p in found}


def has_script(name: str) -> bool:
    """Whether the script is shipped."""
    return f"assets/js/{name}" in files()


def scripts_everywhere() -> tuple[str, ...]:
    """The scripts of every page, as paths from the site's root."""
    return tuple(f"assets/js/{name}" for name in EVERYWHERE if has_script(name))


def scripts_of_sum(id: str, *, drawn: bool = False) -> tuple[str, ...]:
    """The further scripts of a live calculator's page; a drawing listens before the first answer is given."""
    names = (*CALCULATING[:-1], *(DRAWING if drawn else ()), CALCULATING[-1])
    return tuple(f"assets/calculators/{id}.js" if name == "{calculator}" else f"assets/js/{name}" for name in names)


def calculator_pieces(library: Library, compiled: Mapping[str, Compiled]) -> Iterator[Made]:
    """The script of each calculator, the grammar of quantities that all read by, and the charts that some have."""
    yield ("assets/js/grammar.js", "assets/js/charts.js"), _grammar
    for id in library.calculators:
        yield (f"assets/calculators/{id}.js",), partial(_calculator, id, compiled)


def _grammar() -> dict[str, bytes]:
    from benchlore.reckoning.script import grammar_script

    return {
        "assets/js/grammar.js": grammar_script().encode("utf-8"),
        "assets/js/charts.js": charts_script().encode("utf-8"),
    }


def _calculator(id: str, compiled: Mapping[str, Compiled]) -> dict[str, bytes]:
    from benchlore.reckoning.script import calculator_script  # only where there is a sum to print

    one = compiled.get(id)
    return {} if one is None else {f"assets/calculators/{id}.js": calculator_script(one).encode("utf-8")}
