"""A library whose entries live in a ledger: loaded when they are asked for, every reading noted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial

from benchlore.entries.common import Retired
from benchlore.entries.kept import Kept
from benchlore.entries.plain import lines_in
from benchlore.ledger import Ledger
from benchlore.linking.library import Library, Pointer
from benchlore.linking.questions import POINTERS, POINTING
from benchlore.works import Works


class _Pointing(Mapping[tuple[str, str], tuple[Pointer, ...]]):
    """Who points at whom, asked for when it is wanted."""

    library: Library

    def __getitem__(self, name: tuple[str, str]) -> tuple[Pointer, ...]:
        found = self.library.ask(POINTERS, f"{name[0]}/{name[1]}")
        if not found:
            raise KeyError(name)
        return tuple(Pointer(*pointer) for pointer in found)

    def __iter__(self) -> Iterator[tuple[str, str]]:
        for name in self.library.ask(POINTING):
            kind, _, id = name.partition("/")
            yield kind, id

    def __len__(self) -> int:
        return len(self.library.ask(POINTING))


def kept_library(ids: Mapping[str, tuple[str, ...]], works: Works, retired: Iterable[Retired] = ()) -> Library:
    """The library of the entries in the works' ledger that have these ids (by kind, sorted)."""
    pointing = _Pointing()
    entries = {kind: Kept(kind, of, partial(_lines, works.ledger, kind), works.reads) for kind, of in ids.items()}
    gone = {(one.kind, one.id): one for one in retired}
    library = pointing.library = Library(entries, pointing, gone, works)
    return library


def _lines(ledger: Ledger, kind: str, id: str) -> dict[str, str]:
    row = ledger.get("entry", f"{kind}/{id}")
    return lines_in(row.text if row else "")
