"""The browser's index kept up to date: what one changed document changes in it, and no more.

Everything is made by the same steps as in ``indexing`` and ``export``; a test holds that both give the same bytes.  Where
a change reaches further than its own document (words join or part, meanings change, many documents change) all is
counted anew, from the words that are kept of each document.
"""

from __future__ import annotations

import json
from array import array
from collections import Counter as Tally
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from typing import Any

from benchlore.linking.library import Library
from benchlore.searching import weighing
from benchlore.searching.analysis import has_digit
from benchlore.searching.document import KINDS
from benchlore.searching.documents import MEANINGS, TITLES, document_of, meanings_from, tags_of
from benchlore.searching.export import (
    HITS_SHARD,
    NEAR_SHARD,
    TEXTS_SHARD,
    Tags,
    card_tail,
    cuts,
    formulas,
    length_of,
    names_part,
    near_part,
    number,
    path_of,
    places_part,
    script,
    start_part,
    titles_of,
    words_part,
)
from benchlore.searching.indexing import grouped, phrases_of, vocabulary_of
from benchlore.searching.lexicon import Lexicon
from benchlore.searching.memory import Grouping, State, kept_document, part_in, words_in
from benchlore.searching.neighbours import COMPARED, bag_of, neighbours_of
from benchlore.searching.posting import Posted
from benchlore.searching.stems import stems_of
from benchlore.works import Works

WORK = "document "
STATE = "search"
MANY = 300  # documents that are worth a second process
AT_A_TIME = 1000
MOST_PATCHED = 40  # changed documents, above which all are counted anew


@dataclass(frozen=True)
class Files:
    """The files of the index by path, made when they are asked for, and the paths of those that are not as they were."""

    make: Mapping[str, Callable[[], bytes]]
    changed: frozenset[str]


def bring_up(library: Library, works: Works, jobs: int) -> Files:
    """Bring the index that is kept with ``works`` up to the library; the files of the browser's index."""
    return _Patcher(library, works).bring_up(jobs)


class _Patcher:
    """Brings the kept index up to the library: ``old`` is its state as it was, ``new`` as it becomes."""

    def __init__(self, library: Library, works: Works) -> None:
        self.library, self.works, self.ledger = library, works, works.ledger
        row = self.ledger.get("state", STATE)
        self.old = State(**json.loads(row.text)) if row else State()
        self.new = replace(self.old)
        self.at = {name: n for n, name in enumerate(f"{k}/{id}" for k in KINDS for id in library.entries.get(k, {}))}
        self.rows: dict[str, Posted] = {}
        self.dirty: set[str] = set()

    def bring_up(self, jobs: int) -> Files:
        """See ``bring_up`` above."""
        known = dict.fromkeys(self.old.documents)
        come = [name for name in self.at if name not in known]
        gone = [name for name in known if name not in self.at]
        differing = [
            name for work in self.works.due(WORK) if (name := work.removeprefix(WORK)) in known and name in self.at
        ]
        before = {name: self._kept(name) for name in (*gone, *differing)}
        self._make([*come, *differing], jobs)
        for name in gone:
            self.works.forget(WORK + name)
        self.new.documents = list(self.at)
        self.new.meanings, self.new.titles = self.library.ask(MEANINGS), self.library.ask(TITLES)
        if not (
            come or gone or differing or self.new.meanings != self.old.meanings or self.new.titles != self.old.titles
        ):
            return Files(self._files(), frozenset())
        touched = {*come, *differing}
        if not self.old.documents or len(touched) + len(gone) > MOST_PATCHED or not self._patched(come, gone, before):
            self._recount()
            touched = set(self.at)
        self._finish(touched)
        self._keep()
        return Files(self._files(), self._changed(touched))

    def _make(self, names: Sequence[str], jobs: int) -> None:
        """Make and keep these documents."""

        def made(work: str) -> str:
            kind, _, id = work.removeprefix(WORK).partition("/")
            return kept_document(document_of(self.library.entries[kind][id], self.library))

        for start in range(0, len(names), AT_A_TIME):
            some = [WORK + name for name in names[start : start + AT_A_TIME]]
            for _ in self.works.do(some, made, str, jobs if len(names) >= MANY else 1):
                pass
            if len(names) > AT_A_TIME:
                self.works.hand_over()

    def _kept(self, name: str) -> str:
        """The document as it is kept from the last time the index was brought up."""
        row = self.ledger.get("work", WORK + name)
        return row.text if row else ""

    def _now(self, name: str) -> str:
        return self.works.kept(WORK + name) or ""

    # Which words are one

    def _regroup(self) -> None:
        """Group the words that are held by any document, and those of meanings."""
        meanings = meanings_from(self.new.meanings)
        typed = {word for meaning in meanings for names in phrases_of(meaning) for phrase in names for word in phrase}
        self.new.stems = dict(self.old.stems)
        names, numbers, keys = grouped(stems_of(self.new.held_by.keys() | typed, self.new.stems))
        self.new.groups = {name: keys[numbers[name]] for name in names}
        self.new.keys = [*keys, *(f"={meaning.id}" for meaning in meanings)]

    def _regrouped(self) -> bool:
        """Group anew where words came or went; False when that reaches into documents that did not change."""
        odd = self.new.held_by.keys() ^ self.old.held_by.keys()
        if not odd:
            return True
        self._regroup()
        moved = any(self.old.groups.get(word, key) != key for word, key in self.new.groups.items())
        every = self.new.held_by.keys() | self.old.held_by.keys()
        return not moved and not any(_joins(word, every) for word in odd)

    # Counting

    def _patched(self, come: Sequence[str], gone: Sequence[str], before: Mapping[str, str]) -> bool:
        """Change what the changed documents change; False when all must be counted anew."""
        if self.new.meanings != self.old.meanings:
            return False
        held = Tally(self.old.held_by)
        after = {name: words_in(self._now(name)) for name in (*come, *before) if name in self.at}
        earlier = {name: words_in(text) for name, text in before.items()}
        for text in earlier.values():
            held.subtract(vocabulary_of([text]))
        for text in after.values():
            held.update(vocabulary_of([text]))
        self.new.held_by = {word: count for word, count in held.items() if count > 0}
        if not self._regrouped():
            return False
        was = Grouping.of(self.old)
        now = was if self.new.groups is self.old.groups else Grouping.of(self.new)
        counted = {name: now.places(text) for name, text in after.items()}
        uncounted = {name: was.places(text) for name, text in earlier.items()}
        self._renumber(come, gone, uncounted)
        for name, (places, _, _) in counted.items():
            keys = places.keys() | (uncounted[name][0].keys() if name in uncounted else set())
            self._load(keys)
            for key in keys:
                self._put(key, self.at[name], places.get(key))
        self._tell(counted, uncounted)
        return True

    def _renumber(self, come: Sequence[str], gone: Sequence[str], uncounted: Mapping[str, Any]) -> None:
        """Take out the documents that have gone, and make room for those that have come."""
        numbers = {name: n for n, name in enumerate(self.old.documents)}
        for name in sorted(gone, key=lambda name: -numbers[name]):
            for key in uncounted[name][0]:
                self._put(key, numbers[name], None)
        shifts = [(numbers[name], -1) for name in sorted(gone, key=lambda name: -numbers[name])]
        shifts += [(self.at[name], 1) for name in sorted(come, key=lambda name: self.at[name])]
        self._load(self.old.keys if shifts else ())
        for key in self.old.keys if shifts else ():
            row = self._row(key)
            if row.documents and row.documents[-1] >= min(number for number, _ in shifts):
                self.dirty.add(key)
            for number_, by in shifts:
                row.shift(number_, by)

    def _load(self, keys: Iterable[str]) -> None:
        """Have the rows of these keys at hand."""
        wanted = [key for key in keys if key not in self.rows]
        known = self.ledger.some("posting", wanted)
        for key in wanted:
            kept = known.get(key)
            self.rows[key] = Posted.kept(kept.key, kept.text) if kept else Posted(array("I"), array("I"), "")

    def _row(self, key: str) -> Posted:
        self._load((key,) if key not in self.rows else ())
        return self.rows[key]

    def _put(self, key: str, document: int, places: Sequence[int] | None) -> None:
        row = self._row(key)
        before = row.text
        row.put(document, None if places is None else places_part(places))
        if row.text != before:
            self.dirty.add(key)

    def _tell(self, counted: Mapping[str, Any], uncounted: Mapping[str, Any]) -> None:
        """Bring totals and cards up."""
        for sign, of in ((1, counted), (-1, uncounted)):
            for _, lengths, _ in of.values():
                self.new.totals = [
                    total + sign * length for total, length in zip(self.new.totals, lengths, strict=True)
                ]
        tails = dict(zip(self.old.documents, self.old.tails, strict=True))
        tails |= {name: card_tail(one) for name, (_, _, one) in counted.items()}
        self.new.tails = [tails[name] for name in self.at]

    def _recount(self) -> None:
        """Count all documents."""
        held: Tally[str] = Tally()
        for name in self.at:
            held.update(vocabulary_of([words_in(self._now(name))]))
        self.new.held_by = dict(held)
        self._regroup()
        now = Grouping.of(self.new)
        numbers = {key: (array("I"), array("I"), bytearray()) for key in self.new.keys}
        totals, self.new.tails = [0] * len(self.new.totals), []
        for at, name in enumerate(self.at):
            places, lengths, counted = now.places(words_in(self._now(name)))
            totals = [total + length for total, length in zip(totals, lengths, strict=True)]
            self.new.tails.append(card_tail(counted))
            for key, of in places.items():
                documents, sizes, text = numbers[key]
                part = number(at - (documents[-1] if documents else -1) - 1) + places_part(of)
                documents.append(at)
                sizes.append(len(part))
                text += part.encode("ascii")
        self.new.totals = totals
        self.rows = {
            key: Posted(documents, sizes, text.decode("ascii")) for key, (documents, sizes, text) in numbers.items()
        }
        self.dirty = {*self.rows, *self.old.keys}

    # Keeping and handing out

    def _finish(self, touched: Iterable[str]) -> None:
        """Bring up what is counted by group and by document."""
        old = dict(zip(self.old.keys, zip(self.old.held, self.old.sizes, strict=True), strict=True))
        told = [
            (len(row.documents), len(row.text)) if (row := self.rows.get(key)) else old.get(key, (0, 0))
            for key in self.new.keys
        ]
        self.new.held, self.new.sizes = [held for held, _ in told], [size for _, size in told]
        lengths = dict(zip(self.old.documents, self.old.lengths, strict=True))
        lengths |= {name: length_of(part_in(self._now(name))) for name in touched}
        self.new.lengths = [lengths[name] for name in self.at]
        heads = dict(zip(self.old.documents, self.old.heads, strict=True))
        families, stages = ([id for id, _ in titles_of(of)] for of in self.new.titles)
        same = all(
            before.keys() == after.keys() for before, after in zip(self.old.titles, self.new.titles, strict=True)
        )
        tags = Tags({id: n for n, id in enumerate(families)}, {id: n for n, id in enumerate(stages)})
        for name in touched if same else self.at:
            kind, _, id = name.partition("/")
            heads[name] = tags.card(kind, *tags_of(self.library.entries[kind][id], self.library))
        self.new.heads = [heads[name] for name in self.at]
        self._compare(touched)

    def _compare(self, touched: Iterable[str]) -> None:
        """Bring up which documents are like which."""
        kindred = dict.fromkeys(name for name in self.at if name.partition("/")[0] in COMPARED)
        bags = self.old.bags | {name: bag_of(words_in(self._now(name)), self.new.groups) for name in touched if name in kindred}
        self.new.bags = {name: bags[name] for name in kindred}
        if self.new.bags == self.old.bags and self.new.documents == self.old.documents:
            return
        near = neighbours_of({self.at[name]: bag for name, bag in self.new.bags.items()})
        self.new.near = [near_part(near.get(number, {})) for number in range(len(self.at))]

    def _keep(self) -> None:
        kept = set(self.new.keys)
        for key in self.dirty:
            if key in kept:
                self.ledger.put("posting", key, self.rows[key].key, self.rows[key].text)
            else:
                self.ledger.remove("posting", key)
        self.ledger.put("state", STATE, "", self.new.as_text())

    def _changed(self, touched: Iterable[str]) -> frozenset[str]:
        """The paths of files that are not as they were."""
        changed = {"start", "names", "words", "cards"}
        texts = {*touched}
        for name, old, new, odd in (
            (
                "hits",
                _shards(self.old.keys, self.old.sizes, HITS_SHARD),
                _shards(self.new.keys, self.new.sizes, HITS_SHARD),
                self.dirty,
            ),
            ("texts", _shards(self.old.documents, self.old.lengths, TEXTS_SHARD), self._texts(), texts),
            ("near", _rows(self.old.near), _rows(self.new.near), set()),
        ):
            for n, of in enumerate(new):
                if n >= len(old) or old[n] != of or not odd.isdisjoint(of):
                    changed.add(f"{name}-{n}")
        return frozenset(path_of(name) for name in changed)

    def _texts(self) -> list[list[str]]:
        return _shards(self.new.documents, self.new.lengths, TEXTS_SHARD)

    def _files(self) -> dict[str, Callable[[], bytes]]:
        """What makes each file of the index."""
        hits = _shards(self.new.keys, self.new.sizes, HITS_SHARD)
        parts: dict[str, Callable[[], Any]] = {
            "start": self._start, "names": self._names, "words": self._words, "cards": self._cards
        }  # fmt: skip
        parts |= {f"hits-{n}": partial(self._hits, keys) for n, keys in enumerate(hits)}
        parts |= {f"texts-{n}": partial(self._parts, names) for n, names in enumerate(self._texts())}
        parts |= {f"near-{n}": partial(list, rows) for n, rows in enumerate(_rows(self.new.near))}
        files = {path_of(name): partial(_made, name, part) for name, part in parts.items()}
        return {**files, path_of("formulas"): formulas}

    def _start(self) -> Any:
        fields = weighing.fields_of(self.new.totals, len(self.at))
        asked = Grouping.of(self.new).asked
        hits, texts = cuts(self.new.sizes, HITS_SHARD), cuts(self.new.lengths, TEXTS_SHARD)
        near = cuts([len(row) for row in self.new.near], NEAR_SHARD)
        return start_part(fields, len(self.at), asked, hits, texts, near)

    def _names(self) -> Any:
        families, stages = (titles_of(of) for of in self.new.titles)
        return names_part(families, stages)

    def _words(self) -> Any:
        numbers = {key: n for n, key in enumerate(self.new.keys)}
        names = sorted(self.new.groups)
        return words_part(Lexicon(names, [numbers[self.new.groups[name]] for name in names], self.new.held, {}))

    def _cards(self) -> Any:
        return [head + tail for head, tail in zip(self.new.heads, self.new.tails, strict=True)]

    def _hits(self, keys: Sequence[str]) -> Any:
        known = self.ledger.some("posting", [key for key in keys if key not in self.rows])
        return [self.rows[key].text if key in self.rows else known[key].text if key in known else "" for key in keys]

    def _parts(self, names: Sequence[str]) -> Any:
        return [part_in(self._now(name)) for name in names]


def _made(name: str, part: Callable[[], Any]) -> bytes:
    return script(name, part())


def _rows(near: Sequence[str]) -> list[list[str]]:
    """The rows of each shard of what is like what."""
    return _shards(near, [len(row) for row in near], NEAR_SHARD)


def _shards(names: Sequence[str], lengths: Sequence[int], most: int) -> list[list[str]]:
    """The names of the parts of each shard."""
    return [list(names[start:end]) for start, end in pairwise((*cuts(lengths, most), len(names)))]


def _joins(word: str, known: Collection[str]) -> bool:
    """May two words side by side in any document make this one?"""
    if len(word) <= 4 and not has_digit(word):
        return False
    return any(word[:at] in known and word[at:] in known for at in range(1, len(word)))
