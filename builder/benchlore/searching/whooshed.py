"""Whoosh's side of the store, and the only module that imports Whoosh as a whole: imported when a search is asked for.

Whoosh keeps its schema by pickling it, so the schema's own class stands at the top of this module.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from whoosh import fields, formats
from whoosh.index import IndexError as WhooshIndexError
from whoosh.index import LockError, create_in, open_dir

from benchlore.searching.document import FIELDS

REFUSED: tuple[type[Exception], ...] = (OSError, LockError)
DAMAGED: tuple[type[Exception], ...] = (WhooshIndexError, OSError, ValueError, KeyError, TypeError, EOFError)

Words = Mapping[str, Sequence[tuple[str, Sequence[int]]]]


class Places(fields.FieldType):  # type: ignore[misc]
    """Words with their places, as they were counted: nothing is analysed a second time.

    Lengths are not Whoosh's business: it keeps them rounded, the book keeps them exact.
    """

    def __init__(self) -> None:
        self.analyzer, self.format = None, formats.Positions()
        self.scorable = self.stored = False

    def index(self, value: Sequence[tuple[str, Sequence[int]]], **options: Any) -> Iterator[tuple[bytes, int, float, bytes]]:
        """What Whoosh writes of each word: its bytes, how often, its weight, its places."""
        for word, places in value:
            yield word.encode(), len(places), float(len(places)), self.format.encode(places)


class Shelf:
    """An open index: places of words, and texts, by the key of a document (``fault/filter-dried``)."""

    def __init__(self, folder: Path) -> None:
        self._reader = open_dir(str(folder)).reader()
        written = list(self._reader.all_doc_ids())
        column = self._reader.column_reader("key") if written else {}  # an index of nothing has no columns
        self._key_of = {at: column[at] for at in written}
        self._at_of = {key: at for at, key in self._key_of.items()}

    @property
    def keys(self) -> set[str]:
        """The keys of all documents."""
        return set(self._at_of)

    def places(self, word: str) -> dict[str, list[int]]:
        """For each document that holds ``word`` its places, in order."""
        found: dict[str, list[int]] = {}
        for name in FIELDS:
            if (name, word) in self._reader:
                matcher = self._reader.postings(name, word)
                while matcher.is_active():
                    found.setdefault(self._key_of[matcher.id()], []).extend(matcher.value_as("positions"))
                    matcher.next()
        return {key: sorted(of) for key, of in found.items()}

    def text(self, key: str) -> str:
        """What was stored of a document."""
        return str(self._reader.stored_fields(self._at_of[key])["text"])


def write(folder: Path, gone: Sequence[str], fresh: Sequence[tuple[str, str, Words]], anew: bool) -> None:
    """Take out the documents ``gone`` and put in ``fresh`` (key, text, words by weight); ``anew`` starts from nothing.

    Either all of it is done or nothing.  Raises one of ``REFUSED`` when the machine refuses or another writer is at work.
    """
    index = create_in(str(folder), _schema()) if anew else open_dir(str(folder))
    writer = index.writer(limitmb=256)
    try:
        for key in gone:
            writer.delete_by_term("key", key)
        for key, text, words in fresh:
            writer.add_document(key=key, text=text, **{name: of for name, of in words.items() if of})
    except BaseException:
        writer.cancel()
        raise
    writer.commit()


def _schema() -> Any:
    places = {name: Places() for name in FIELDS}
    return fields.Schema(key=fields.ID(unique=True, sortable=True), text=fields.STORED, **places)
