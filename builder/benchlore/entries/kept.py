"""Entries that live as lines of text: a field is decoded when it is first asked for, and every reading of it is noted.

So a build that re-makes one page reads a handful of fields, and knows afterwards which ones the page was made from.
What is noted is a name: ``family/kiln-50 title`` for a field, ``family/kiln-50`` for whether there is such an entry,
``family`` for which ids a kind has, ``?family`` for whether it has any.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from functools import partial
from typing import Any, TypeVar

from benchlore.entries.common import Amended, Entry
from benchlore.entries.fields import Table, table_of
from benchlore.entries.kinds import KINDS
from benchlore.entries.plain import Decoder, decoder_of
from benchlore.entries.references import references
from benchlore.place import Place

T = TypeVar("T")
MOST_LOADED = 1000  # entries held as records at a time; more are cheaper to decode again than to hold


class Reads:
    """The names read while a piece of work is done."""

    def __init__(self) -> None:
        self.names: set[str] | None = None
        self._known: dict[str, str] = {}  # one copy of each name, however many works read it

    def note(self, name: str) -> None:
        """``name`` was read."""
        if self.names is not None:
            self.names.add(self._known.setdefault(name, name))

    @contextmanager
    def noted(self) -> Iterator[set[str]]:
        """Collects the names read inside, and only those."""
        before, self.names = self.names, set()
        try:
            yield self.names
        finally:
            self.names = before


class _Field:
    """A field of a kept entry."""

    def __init__(self, name: str, decode: Decoder | None, empty: Callable[[], Any]) -> None:
        self.name, self.decode, self.empty = name, decode, empty

    def __get__(self, entry: Any, _: type[Any] | None = None) -> Any:
        if entry is None:
            return self.empty()  # what a dataclass keeps on the class: the default
        held = entry.__dict__
        reads = held.get("_reads")
        if reads is not None and reads.names is not None:
            reads.note(f"{held['kind']}/{held['id']} {self.name}")
        if self.name not in held:
            written = held["_lines"].get(self.name)
            data = None if written is None else json.loads(written)
            held[self.name] = self.empty() if data is None else self.decode(data) if self.decode else data
        return held[self.name]

    def __set__(self, entry: Any, value: Any) -> None:
        entry.__dict__[self.name] = value


def beyond_lines(entry: Entry) -> dict[str, str]:
    """Lines for what an entry has beyond its fields: shelf, amendments, where each value stands, what it points at."""
    own = entry.file()
    files = list(dict.fromkeys(place.file for place in entry.located.values()))
    at = {path: [p.line, p.column, files.index(p.file)] for path, p in entry.located.items()}
    return {
        "shelf": _json(entry.shelf),
        "amended": _json([[one.field, one.how, one.shelf, one.items, one.why] for one in entry.amended]),
        "located": _json({"files": files, "at": at}),
        "files": _json({"": own} | {name: file for name in table_of(type(entry)) if (file := entry.file(name)) != own}),
        "refs": _json(list(references(entry))),
    }


def _json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"))


def _places(pairs: Mapping[str, Any]) -> Mapping[str, Place]:
    files = pairs["files"]
    return {path: Place(files[file], line, column) for path, (line, column, file) in pairs["at"].items()}


def _amended(words: list[Any]) -> tuple[Amended, ...]:
    return tuple(Amended(field, how, shelf, tuple(items), why) for field, how, shelf, items, why in words)


def refs_of(entry: Entry) -> list[list[str]]:
    """Path, kind and id of everything that a kept entry points at."""
    refs: list[list[str]] = entry.refs  # type: ignore[attr-defined]
    return refs


def _file(entry: Any, name: str = "") -> str:
    """See ``Entry.file``; does not read all the places."""
    files: dict[str, str] = entry.files
    return files.get(name, files[""])


def _same(value: T) -> T:
    return value


def _kept_class(record: type[Entry]) -> type[Entry]:
    """The kind of entry whose fields are read from lines."""
    fields: dict[str, Any] = {}
    for name, field in table_of(record).items():
        default = getattr(record, name, None)
        empty = dict if isinstance(field.type, Table) else partial(_same, default)
        fields[name] = _Field(name, decoder_of(field.type), empty)
    fields |= {
        "shelf": _Field("shelf", None, str),
        "amended": _Field("amended", _amended, tuple),
        "located": _Field("located", _places, dict),
        "files": _Field("files", None, dict),
        "file": _file,
        "refs": _Field("refs", None, tuple),
    }
    return type(f"Kept{record.__name__}", (record,), fields)


CLASSES: Mapping[str, type[Entry]] = {kind: _kept_class(record) for kind, record in KINDS.items()}


def kept_entry(kind: str, id: str, lines: Mapping[str, str], reads: Reads) -> Entry:
    """The entry that ``lines`` (field to JSON) describe; what is read of it is noted in ``reads``."""
    entry = object.__new__(CLASSES[kind])
    entry.__dict__.update(kind=kind, id=id, _lines=lines, _reads=reads)
    return entry


class Kept(Mapping[str, Entry]):
    """The entries of one kind by id, loaded when they are asked for."""

    def __init__(
        self, kind: str, ids: tuple[str, ...], lines: Callable[[str], Mapping[str, str]], reads: Reads
    ) -> None:
        self._kind, self._ids, self._lines, self._reads = kind, dict.fromkeys(ids), lines, reads
        self._loaded: dict[str, Entry] = {}

    def __getitem__(self, id: str) -> Entry:
        self._reads.note(f"{self._kind}/{id}")
        if id not in self._ids:
            raise KeyError(id)
        return self._load(id)

    def _load(self, id: str) -> Entry:
        found = self._loaded.get(id)
        if found is None:
            if len(self._loaded) >= MOST_LOADED:
                self._loaded.clear()
            found = self._loaded[id] = kept_entry(self._kind, id, self._lines(id), self._reads)
        return found

    def __contains__(self, id: object) -> bool:
        self._reads.note(f"{self._kind}/{id}")
        return id in self._ids

    def __iter__(self) -> Iterator[str]:
        self._reads.note(self._kind)
        return iter(self._ids)

    def __len__(self) -> int:
        self._reads.note(self._kind)
        return len(self._ids)

    def __bool__(self) -> bool:
        self._reads.note(f"?{self._kind}")
        return bool(self._ids)

    def values(self) -> Any:
        """Every entry in order of id."""
        return [self._load(id) for id in self]

    def items(self) -> Any:
        """Every id and entry in order of id."""
        return [(id, self._load(id)) for id in self]
