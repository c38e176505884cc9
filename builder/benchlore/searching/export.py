"""The browser's index: the counted words as classic scripts, cut into shards that a page loads when a word needs them.

    assets/search/start.js       tables of the analyser, constants, the first number of each shard
    assets/search/formulas.js    the scoring formulas as functions
    assets/search/words.js       all words, each as the letters that differ from the word before, with its group
    assets/search/cards.js       for each document its kind, tags, lengths and runs
    assets/search/hits-N.js      places of the groups from one number to the next
    assets/search/texts-N.js     titles and lines of the documents from one number to the next, for what is shown

Numbers are written in ``ALPHABET``: a letter below ``LAST`` ends a number, one from there up carries what is above it on, ``CARRY`` values a letter.
The same documents give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchlore.searching import weighing
from benchlore.searching.analysis import exported
from benchlore.searching.asking import WORTH
from benchlore.searching.document import FIELDS, KINDS, Document, Documents
from benchlore.searching.indexing import Index, index_of
from benchlore.searching.lexicon import MOST_COMPLETIONS, MOST_GUESSES, SHORTEST_STEM
from benchlore.searching.showing import LEAD, LONGEST_SNIPPET

FOLDER = "assets/search"
ALPHABET = "".join(chr(code) for code in range(32, 127) if chr(code) not in '"\\<>&`')  # 89 letters that need no escape in a script
LAST, CARRY = 57, 32
HITS_SHARD, TEXTS_SHARD = 24_000, 24_000  # characters at which a shard is closed


def build_index(documents: Documents) -> Mapping[str, bytes]:
    """All files of the browser's index, by path from the site's root."""
    return files_of(index_of(documents))


def files_of(index: Index) -> Mapping[str, bytes]:
    """The same for documents that are counted already."""
    hits = list(_cut([_places(postings) for postings in index.postings], HITS_SHARD))
    texts = list(_cut([_text(document) for document in index.documents.documents], TEXTS_SHARD))
    parts = {"start": _start(index, [s for s, _ in hits], [s for s, _ in texts]), "words": _words(index), "cards": _cards(index)}
    parts |= {f"hits-{number}": part for number, (_, part) in enumerate(hits)}
    parts |= {f"texts-{number}": part for number, (_, part) in enumerate(texts)}
    files = {f"{FOLDER}/{name}.js": _script(name, part) for name, part in parts.items()}
    return files | {f"{FOLDER}/formulas.js": _formulas().encode("ascii")}


def _script(name: str, part: Any) -> bytes:
    """One classic script that hands its data over; escaped so that it is inert in any context."""
    text = json.dumps(part, separators=(",", ":"), allow_nan=False)
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return f"Benchlore.shelve({json.dumps(name)},{text});\n".encode("ascii")


def _formulas() -> str:
    """The formulas as functions of the browser, printed from the text that Python holds Whoosh to."""
    functions = (
        f"{name}:function({','.join(takes)}){{return {gives.replace('log(', 'Math.log(')};}}" for name, (takes, gives) in weighing.FORMULAS.items()
    )
    return f"Benchlore.shelve(\"formulas\",{{{','.join(functions)}}});\n"


def _start(index: Index, hits: Sequence[int], texts: Sequence[int]) -> dict[str, Any]:
    """Everything that a page needs to know before the first word."""
    documents = index.documents
    counts = weighing.counts_of(index.counted)
    return {
        "analysis": exported(), "worth": WORTH, "alphabet": ALPHABET, "last": LAST, "carry": CARRY,
        "mostCompletions": MOST_COMPLETIONS, "mostGuesses": MOST_GUESSES, "shortestStem": SHORTEST_STEM,
        "k1": weighing.K1, "fields": [[field.boost, field.b, field.average] for field in counts.fields], "fieldNames": FIELDS,
        "together": weighing.TOGETHER, "slack": weighing.SLACK, "cover": weighing.COVER, "digits": weighing.DIGITS, "faint": weighing.FAINT,
        "priors": [weighing.KIND_PRIORS[kind] for kind in KINDS], "ownFamily": weighing.OWN_FAMILY, "sameFamily": weighing.SAME_FAMILY,
        "kinds": KINDS, "longestSnippet": LONGEST_SNIPPET, "lead": LEAD, "documents": len(index.counted),
        "families": sorted((documents.families or {}).items()), "stages": sorted((documents.stages or {}).items()),
        "hits": hits, "texts": texts, "meanings": index.lexicon.meanings,
    }  # fmt: skip


def number(value: int) -> str:
    """A whole number from 0 up in ``ALPHABET``."""
    letters = []
    while value >= LAST:
        value, low = divmod(value - LAST, CARRY)
        letters.append(ALPHABET[LAST + low])
    return "".join(letters) + ALPHABET[value]


def _numbers(values: Iterable[int]) -> str:
    return "".join(map(number, values))


def _words(index: Index) -> list[str]:
    """Words, and how many documents hold each group.

    A word is the count of letters it shares with the one before, then the rest, then ``;`` and how its group differs:
    nothing for the next new group, else the distance back from it.
    """
    lexicon = index.lexicon
    parts = []
    before, fresh = "", 0
    for word, group in zip(lexicon.words, lexicon.groups, strict=True):
        shared = next((n for n, (a, b) in enumerate(zip(before, word, strict=False)) if a != b), min(len(before), len(word)))
        parts.append(f"{ALPHABET[min(shared, 50)]}{word[min(shared, 50) :]}" + (f";{fresh - group}" if group < fresh else ""))
        fresh = max(fresh, group + 1)
        before = word
    return ["|".join(parts), _numbers(lexicon.held)]


def _places(postings: Iterable[Any]) -> str:
    """For each document the distance from the one before, how many places, and the distances between them."""

    def values() -> Iterator[int]:
        last = -1
        for document, places in postings:
            yield document - last - 1
            yield len(places) - 1
            at = -1
            for place in places:
                yield place - at - 1
                at = place
            last = document

    return _numbers(values())


def _cards(index: Index) -> list[str]:
    """One text for each document: kind, families, stages, lengths, then its runs as section step, weight and stretch."""
    documents = index.documents
    families = {id: at for at, id in enumerate(sorted(documents.families or {}))}
    stages = {id: at for at, id in enumerate(sorted(documents.stages or {}))}

    def card(document: Document, at: int) -> str:
        tags = [[known[id] for id in ids if id in known] for ids, known in ((document.families, families), (document.stages, stages))]
        values = [KINDS.index(document.kind), *(v for of in tags for v in (len(of), *of)), *index.counted[at].lengths]
        section = 0
        for run in index.counted[at].runs:
            values += [(run.section - section) * len(FIELDS) + run.field, run.end - run.start]
            section = run.section
        return _numbers(values)

    return [card(document, at) for at, document in enumerate(documents.documents)]


def _text(document: Document) -> list[Any]:
    """Title, address, and the sections with their lines, each line's weight as a number."""
    sections = [
        [s.anchor, s.heading, [[FIELDS.index(line.field), line.text, *([line.anchor] if line.anchor else [])] for line in s.lines]]
        for s in document.sections
    ]
    return [document.kind, document.id, document.title, document.url, sections]


def _cut(parts: Sequence[Any], most: int) -> Iterator[tuple[int, list[Any]]]:
    """``parts`` as shards of about ``most`` characters, each with the number of its first part."""
    start = size = 0
    for at, part in enumerate(parts):
        length = len(part) if isinstance(part, str) else len(json.dumps(part))
        if at > start and size + length > most:
            yield start, list(parts[start:at])
            start, size = at, 0
        size += length
    if parts:
        yield start, list(parts[start:])
