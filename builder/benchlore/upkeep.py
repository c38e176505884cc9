"""Keeps a site up to date: makes the pieces that are due and those whose files do not stand as they were published."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

from benchlore.linking.library import Library
from benchlore.meter import INDEX, PAGES
from benchlore.publishing import Published, Put, publish_made
from benchlore.ranking import questions as ranking
from benchlore.reckoning.book import Sums
from benchlore.rendering import site as rendering
from benchlore.rendering.site import Files, Piece, pieces
from benchlore.searching import documents
from benchlore.searching.patching import bring_up
from benchlore.standing import remember, standing
from benchlore.works import Works

MANY = 100  # pieces that are worth a second process
WORK = "piece "


def keep_up(library: Library, sums: Sums, works: Works, out: Path, jobs: int) -> Published:
    """Make the folder ``out`` the site of the library.  Raises as ``publishing.publish`` does."""
    works.knows(*rendering.QUESTIONS, *ranking.QUESTIONS, *documents.QUESTIONS)
    works.decide(library)
    works.meter.begin(INDEX, sum(map(len, library.entries.values())))
    index = bring_up(library, works, jobs)
    for path in index.changed:
        works.renew(WORK + path)
    shards = [Piece(path, partial(_file, path, make), (path,)) for path, make in index.make.items()]
    parts = {WORK + piece.name: piece for piece in pieces(library, sums)}
    return _Upkeep(parts, {WORK + piece.name: piece for piece in shards}, works, out).keep(jobs)


def _file(path: str, make: Callable[[], bytes]) -> Files:
    return {path: make()}


class _Upkeep:
    """One run: ``parts`` by the names of their works; ``own`` are those that rest on rows no helper process can see yet."""

    def __init__(self, parts: dict[str, Piece], own: dict[str, Piece], works: Works, out: Path) -> None:
        self.parts, self.own, self.works, self.out = parts | own, own, works, out
        kept = works.texts(WORK)
        for name in kept.keys() - self.parts.keys():
            works.forget(name)
        stands = standing(works.ledger, out)
        files = {name: _files(kept[name]) for name in self.parts.keys() & kept.keys()}
        whole = {name for name, of in files.items() if all(stands.get(path) == digest for path, digest in of.items())}
        self.standing = {path: digest for name in whole for path, digest in files[name].items()}
        self.due = [name for name in self.parts if name not in whole]

    def keep(self, jobs: int) -> Published:
        """Make what is due and put it in place."""
        self.works.meter.begin(PAGES, len(self.due))
        foreseen = [path for name in self.due for path in self.parts[name].paths]
        published = publish_made({*self.standing, *foreseen}, self.standing, partial(self.made, jobs), self.out)
        digests = dict(self.standing)
        for name in self.due:
            digests |= _files(self.works.kept(name) or "")
        remember(self.works.ledger, self.out, digests, published.marks)
        return published

    def made(self, jobs: int, put: Put, ready: Callable[[], None]) -> Mapping[str, str]:
        """Make and put every file that is due; path to SHA-256."""

        def one(name: str) -> str:
            return "\n".join(f"{put(path, content)} {path}" for path, content in self.parts[name].make().items())

        shared = [name for name in self.due if name not in self.own]
        hands = jobs if len(shared) >= MANY else 1
        texts = dict(self.works.do([name for name in self.due if name in self.own], one, str))
        if hands > 1:
            ready()
        texts |= self.works.do(shared, one, str, hands)
        return {path: digest for text in texts.values() for path, digest in _files(text).items()}


def _files(text: str) -> dict[str, str]:
    """Path to SHA-256 of the files of a piece, as they are kept."""
    return {line[65:]: line[:64] for line in text.split("\n")} if text else {}
