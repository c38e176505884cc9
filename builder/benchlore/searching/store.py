"""What a search needs, kept in a folder of the caller's between two runs, brought up to date by what changed.

Beside Whoosh's files lies the *book*: lexicon, lengths and the list of documents as one JSON file, so that a search that
finds nothing changed reads no entry at all.  Whoosh holds the places of words and the texts.  Everything here can be
thrown away at any time; a damaged folder is made anew.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchlore.searching.document import FIELDS, Document, Documents, Line, Section
from benchlore.searching.indexing import Counted, Index, Posting, Run, index_of
from benchlore.searching.lexicon import Lexicon
from benchlore.searching.neighbours import Near, near_in
from benchlore.searching.ranked import Hit
from benchlore.searching.weighing import Counts, counts_of, hits_of

if TYPE_CHECKING:
    from benchlore.searching.whooshed import Shelf

VERSION = 4  # raise it when what is stored changes its form
BOOK = "book.json"


@dataclass(frozen=True, slots=True)
class Card:
    """What the list of documents says of one: enough to narrow and rank."""

    kind: str
    id: str
    families: tuple[str, ...]
    stages: tuple[str, ...]

    @property
    def key(self) -> str:
        """The document's name in the store."""
        return f"{self.kind}/{self.id}"


@dataclass(frozen=True)
class Store:
    """All that a search needs: words, counts, cards, hits by group, and a document's text by number."""

    lexicon: Lexicon
    counts: Counts
    cards: tuple[Card, ...]
    postings: Callable[[int], Sequence[Posting]]
    document: Callable[[int], Document]
    neighbours: Mapping[int, Near]
    _scored: dict[int, Sequence[Hit]] = field(default_factory=dict, compare=False, repr=False)

    @property
    def size(self) -> int:
        """How many documents there are."""
        return len(self.cards)

    def hits(self, group: int) -> Sequence[Hit]:
        """Every document that holds ``group``, scored, in order of number."""
        if group not in self._scored:
            self._scored[group] = hits_of(self.postings(group), self.counts)
        return self._scored[group]

    def near(self, document: int) -> Near:
        """The documents that speak of much the same, each with how alike it is in hundredths."""
        return self.neighbours.get(document, {})

    def counted(self, document: int) -> Counted:
        """The lengths and runs of a document."""
        return self.counts.counted[document]


def store_of(cache: Path | None, stamp: str, documents: Callable[[], Documents]) -> Store:
    """The store for what ``stamp`` names (a digest of the shelves); ``documents`` is called only when ``cache`` holds another.

    ``cache`` is a folder of this function's own, made when missing.  Without one, or when the machine refuses to write
    there or another search is writing just now, the answer comes from memory.
    """
    if cache is None:
        return in_memory(index_of(documents()))
    from benchlore.searching.whooshed import REFUSED

    if (warm := _opened(cache, stamp)) is not None:
        return warm
    index = index_of(documents())
    try:
        _bring_up_to_date(cache, stamp, index)
    except REFUSED:
        return in_memory(index)
    return _opened(cache, stamp) or in_memory(index)


def in_memory(index: Index) -> Store:
    """A store without a folder."""
    documents = index.documents.documents
    return Store(
        index.lexicon,
        counts_of(index.counted),
        _cards(documents),
        lambda group: index.postings[group],
        lambda number: documents[number],
        near_in(index),
    )


def _cards(documents: Sequence[Document]) -> tuple[Card, ...]:
    return tuple(Card(d.kind, d.id, d.families, d.stages) for d in documents)


def _opened(cache: Path, stamp: str) -> Store | None:
    """The store in ``cache`` if it is whole and of this stamp."""
    from benchlore.searching.whooshed import DAMAGED, Shelf

    try:
        book = _book_in(cache)
        return _store(Shelf(cache), book) if book["stamp"] == stamp else None
    except DAMAGED:
        return None


def _book_in(cache: Path) -> dict[str, Any]:
    """The book in ``cache``; raises one of ``DAMAGED`` when it is missing, damaged or of another version."""
    book = json.loads((cache / BOOK).read_bytes())
    if book["version"] != VERSION:
        raise ValueError("a book of another version")
    return dict(book)


def _store(shelf: Shelf, book: Mapping[str, Any]) -> Store:
    counts = counts_of([Counted(tuple(lengths), _runs(flat)) for lengths, flat in book["counted"]])
    cards = tuple(Card(kind, id, tuple(families), tuple(stages)) for kind, id, families, stages in book["cards"])
    lexicon = Lexicon(book["words"], book["groups"], book["held"], book["meanings"])
    numbers = {card.key: number for number, card in enumerate(cards)}
    if shelf.keys != set(numbers):
        raise ValueError("index and book do not belong together")

    def postings(group: int) -> list[Posting]:
        places = {numbers[key]: tuple(of) for key, of in shelf.places(book["keys"][group]).items()}
        return [Posting(number, places[number]) for number in sorted(places)]

    near = {document: dict(of) for document, of in book["near"]}
    return Store(lexicon, counts, cards, postings, lambda number: _document_from(json.loads(shelf.text(cards[number].key))), near)


def _runs(flat: Sequence[int]) -> tuple[Run, ...]:
    return tuple(Run(*flat[at : at + 3]) for at in range(0, len(flat), 3))


def _bring_up_to_date(cache: Path, stamp: str, index: Index) -> None:
    """Write what changed since the folder was last written, and the book last of all."""
    from benchlore.searching.whooshed import write

    cache.mkdir(parents=True, exist_ok=True)
    keys = [card.key for card in _cards(index.documents.documents)]
    words = _words_by_document(index)
    texts = [json.dumps(_plain(document), separators=(",", ":")) for document in index.documents.documents]
    digests = {key: hashlib.sha256(repr((texts[n], words[n])).encode()).hexdigest() for n, key in enumerate(keys)}
    older = _digests_in(cache)
    (cache / BOOK).unlink(missing_ok=True)  # so that a killed writer leaves no book that belongs to another index
    gone = [key for key in older if digests.get(key) != older[key]]
    fresh = [(key, texts[number], words[number]) for number, key in enumerate(keys) if older.get(key) != digests[key]]
    write(cache, gone, fresh, anew=not older)
    new = cache / (BOOK + ".new")
    new.write_text(json.dumps(_book(stamp, index, digests), separators=(",", ":")), encoding="ascii")
    new.replace(cache / BOOK)


def _digests_in(cache: Path) -> dict[str, str]:
    """What the folder holds already, if book and index are whole and belong together."""
    from benchlore.searching.whooshed import DAMAGED, Shelf

    try:
        book = _book_in(cache)
        _store(Shelf(cache), book)
        return dict(book["digests"])
    except DAMAGED:
        return {}


def _words_by_document(index: Index) -> list[dict[str, list[tuple[str, list[int]]]]]:
    """For each document and weight the keys of its groups, in order, each with its places."""
    words: list[dict[str, list[tuple[str, list[int]]]]] = [{name: [] for name in FIELDS} for _ in index.counted]
    for key, group in sorted((key, group) for group, key in enumerate(index.keys)):
        for posting in index.postings[group]:
            by_field: dict[int, list[int]] = {}
            fields = index.counted[posting.document].fields_at(posting.places)
            for place, field_number in zip(posting.places, fields, strict=True):
                by_field.setdefault(field_number, []).append(place)
            for field_number, places in by_field.items():
                words[posting.document][FIELDS[field_number]].append((key, places))
    return words


def _book(stamp: str, index: Index, digests: Mapping[str, str]) -> dict[str, Any]:
    return {
        "version": VERSION, "stamp": stamp, "digests": digests, "words": index.lexicon.words, "groups": index.lexicon.groups,
        "held": index.lexicon.held, "meanings": index.lexicon.meanings, "keys": index.keys,
        "counted": [[one.lengths, [part for run in one.runs for part in run]] for one in index.counted],
        "cards": [[card.kind, card.id, card.families, card.stages] for card in _cards(index.documents.documents)],
        "near": [[document, list(of.items())] for document, of in near_in(index).items()],
    }  # fmt: skip


def _plain(document: Document) -> list[Any]:
    sections = [[s.anchor, s.heading, [[line.field, line.text, line.anchor] for line in s.lines]] for s in document.sections]
    return [document.kind, document.id, document.title, document.url, sections, document.families, document.stages]


def _document_from(plain: list[Any]) -> Document:
    kind, id, title, url, sections, families, stages = plain
    read = tuple(Section(anchor, heading, tuple(Line(*line) for line in lines)) for anchor, heading, lines in sections)
    return Document(kind, id, title, url, read, tuple(families), tuple(stages))
