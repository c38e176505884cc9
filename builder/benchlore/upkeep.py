"""Keeps a site up to date: makes the pieces that are due and those whose files do not stand as they were published."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path

from benchlore.ledger import Ledger
from benchlore.linking.library import Library
from benchlore.publishing import Mark, Published, Put, publish_made, standing_in
from benchlore.ranking import questions as ranking
from benchlore.reckoning.book import Sums
from benchlore.rendering import site as rendering
from benchlore.rendering.site import Files, Piece, pieces
from benchlore.works import Works

MANY = 100  # pieces that are worth a second process
WORK = "piece "


def keep_up(library: Library, sums: Sums, works: Works, out: Path, jobs: int) -> Published:
    """Make the folder ``out`` the site of the library.  Raises as ``publishing.publish`` does."""
    works.knows(*rendering.QUESTIONS, *ranking.QUESTIONS)
    works.decide(library)
    parts = {WORK + piece.name: piece for piece in pieces(library, sums)}
    kept = works.texts(WORK)
    for name in kept.keys() - parts.keys():
        works.forget(name)
    stands = _standing(works.ledger, out)
    wanted = {name: _files(kept[name]) for name in parts.keys() & kept.keys()}
    whole = {
        name for name, files in wanted.items() if all(stands.get(path) == digest for path, digest in files.items())
    }
    due = [name for name in parts if name not in whole]
    early = _made_early(parts, due, works)
    standing = {path: digest for name in whole for path, digest in wanted[name].items()}
    paths = {*standing, *(path for name in due for path in early.get(name, parts[name].paths or ()))}

    def make(put: Put, ready: Callable[[], None]) -> Mapping[str, str]:
        def one(name: str) -> str:
            files = early[name] if name in early else parts[name].make()
            return "\n".join(f"{put(path, content)} {path}" for path, content in files.items())

        hands = jobs if len(due) >= MANY else 1
        if hands > 1:
            ready()
        made: dict[str, str] = {}
        for _, text in works.do([name for name in due if name not in early], one, str, hands):
            made |= _files(text)
        for name in early:
            made |= _files(text := one(name))
            works.amend(name, text)
        return made

    published = publish_made(paths, standing, make, out)
    digests = standing | {path: digest for name in due for path, digest in _files(works.kept(name) or "").items()}
    _remember(works.ledger, out, digests, published.marks)
    return published


def _made_early(parts: Mapping[str, Piece], due: list[str], works: Works) -> dict[str, Files]:
    """The files of pieces of which nobody knows beforehand which files they have."""
    names = [name for name in due if parts[name].paths is None]
    return dict(works.do(names, lambda name: parts[name].make(), lambda _: ""))


def _files(text: str) -> dict[str, str]:
    """Path to SHA-256 of the files of a piece, as they are kept."""
    return {line[65:]: line[:64] for line in text.split("\n")} if text else {}


def _standing(ledger: Ledger, out: Path) -> dict[str, str]:
    """SHA-256 of the files that stand in ``out`` as they were published."""
    row = ledger.get("state", f"site {out.resolve()}")
    known = json.loads(row.text) if row else {}
    there = standing_in(out, {path: tuple(mark) for path, (_, *mark) in known.items()})
    return {path: known[path][0] for path in there}


def _remember(ledger: Ledger, out: Path, digests: Mapping[str, str], marks: Mapping[str, Mark]) -> None:
    """Keep what stands in ``out``, and by which marks to know it again."""
    name = f"site {out.resolve()}"
    row = ledger.get("state", name)
    known = json.loads(row.text) if row else {}
    now = {
        path: [digest, *marks[path]] if path in marks else known[path]
        for path, digest in digests.items()
        if path in marks or path in known
    }
    if now != known:
        ledger.put("state", name, "", json.dumps(now, separators=(",", ":")))
