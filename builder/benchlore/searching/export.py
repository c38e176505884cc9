"""The browser's index: the counted words as classic scripts, cut into shards that a page loads when a word needs them.

    assets/search/start.js       tables of the analyser, constants, the first number of each shard
    assets/search/formulas.js    the scoring formulas as functions
    assets/search/words.js       all words, each as the letters that differ from the word before, with its group
    assets/search/names.js       ids and titles of families and stages, for narrowing
    assets/search/cards.js       for each document its kind, tags, lengths and runs
    assets/search/near-N.js      for each document those that are like it, from one number to the next
    assets/search/hits-N.js      places of the groups from one number to the next
    assets/search/texts-N.js     titles and lines of the documents from one number to the next, for what is shown

Numbers are written in ``ALPHABET``: a letter below ``LAST`` ends a number, one from there up carries what is above it on, ``CARRY`` values a letter.
The same documents give the same bytes.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from benchlore.searching import second_look, weighing
from benchlore.searching.analysis import exported
from benchlore.searching.asking import WORTH
from benchlore.searching.document import FIELDS, KINDS, Document, Documents
from benchlore.searching.indexing import GAP, Counted, Index, Posting, index_of
from benchlore.searching.lexicon import FEW_COMPLETIONS, MOST_COMPLETIONS, MOST_GUESSES, SHORTEST_STEM, Lexicon
from benchlore.searching.neighbours import CASES, Near, near_in
from benchlore.searching.ranked import DIGITS
from benchlore.searching.showing import LEAD, LONGEST_SNIPPET

FOLDER = "assets/search"
ALPHABET = "".join(chr(code) for code in range(32, 127) if chr(code) not in '"\\<>&`')  # 89 letters that need no escape in a script
LAST, CARRY = 57, 32
HITS_SHARD, TEXTS_SHARD, NEAR_SHARD = 24_000, 24_000, 24_000  # characters at which a shard is closed


def build_index(documents: Documents) -> Mapping[str, bytes]:
    """All files of the browser's index, by path from the site's root."""
    return files_of(index_of(documents))


def files_of(index: Index) -> Mapping[str, bytes]:
    """The same for documents that are counted already."""
    documents = index.documents
    hits = [_hits(postings) for postings in index.postings]
    texts = [text_part(document) for document in documents.documents]
    hit_cuts = cuts([len(part) for part in hits], HITS_SHARD)
    text_cuts = cuts([length_of(part) for part in texts], TEXTS_SHARD)
    neighbours = near_in(index)
    near = [near_part(neighbours.get(at, {})) for at in range(len(texts))]
    near_cuts = cuts([len(part) for part in near], NEAR_SHARD)
    families, stages = titles_of(documents.families), titles_of(documents.stages)
    tagged = zip(documents.documents, index.counted, strict=True)
    tags = Tags({id: at for at, (id, _) in enumerate(families)}, {id: at for at, (id, _) in enumerate(stages)})
    fields = weighing.counts_of(index.counted).fields
    parts: dict[str, Any] = {
        "start": start_part(fields, len(index.counted), index.lexicon.meanings, hit_cuts, text_cuts, near_cuts),
        "names": names_part(families, stages),
        "words": words_part(index.lexicon),
        "cards": [tags.card(d.kind, d.families, d.stages) + card_tail(counted) for d, counted in tagged],
    }
    parts |= {f"hits-{number}": part for number, part in enumerate(shards(hits, hit_cuts))}
    parts |= {f"texts-{number}": part for number, part in enumerate(shards(texts, text_cuts))}
    parts |= {f"near-{number}": part for number, part in enumerate(shards(near, near_cuts))}
    return {path_of(name): script(name, part) for name, part in parts.items()} | {path_of("formulas"): formulas()}


def path_of(name: str) -> str:
    """Where a part of the index stands in the site."""
    return f"{FOLDER}/{name}.js"


def titles_of(entries: Mapping[str, str] | None) -> list[tuple[str, str]]:
    """Ids and titles, in the order in which cards count them."""
    return sorted((entries or {}).items())


def script(name: str, part: Any) -> bytes:
    """One classic script that hands its data over; escaped so that it is inert in any context."""
    text = json.dumps(part, separators=(",", ":"), allow_nan=False)
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return f"Benchlore.shelve({json.dumps(name)},{text});\n".encode("ascii")


def formulas() -> bytes:
    """The formulas as functions of the browser, printed from the text that Python holds Whoosh to."""
    functions = (
        f"{name}:function({','.join(takes)}){{return {gives.replace('log(', 'Math.log(')};}}" for name, (takes, gives) in weighing.FORMULAS.items()
    )
    return f"Benchlore.shelve(\"formulas\",{{{','.join(functions)}}});\n".encode("ascii")


def start_part(
    fields: Sequence[weighing.Field], documents: int, meanings: Mapping[str, Sequence[int]],
    hits: Sequence[int], texts: Sequence[int], near: Sequence[int],
) -> dict[str, Any]:  # fmt: skip
    """Everything that a page needs to know before the first word; ``hits``, ``texts`` and ``near`` are the first numbers of the shards."""
    return {
        "analysis": exported(), "worth": WORTH, "alphabet": ALPHABET, "last": LAST, "carry": CARRY,
        "mostCompletions": MOST_COMPLETIONS, "fewCompletions": FEW_COMPLETIONS, "mostGuesses": MOST_GUESSES, "shortestStem": SHORTEST_STEM,
        "k1": weighing.K1, "fields": [[field.boost, field.b, field.average] for field in fields], "fieldNames": FIELDS,
        "together": weighing.TOGETHER, "slack": weighing.SLACK, "cover": weighing.COVER, "digits": DIGITS, "faint": weighing.FAINT,
        "priors": [weighing.KIND_PRIORS[kind] for kind in KINDS], "ownFamily": weighing.OWN_FAMILY, "sameFamily": weighing.SAME_FAMILY, "first": weighing.FIRST,
        "yields": weighing.YIELDS, "behind": weighing.BEHIND, "asked": weighing.ASKED, "kindred": weighing.KINDRED, "cases": CASES, "look": look_part(),
        "kinds": KINDS, "longestSnippet": LONGEST_SNIPPET, "lead": LEAD, "documents": documents,
        "hits": hits, "texts": texts, "near": near, "meanings": meanings,
    }  # fmt: skip


def look_part() -> dict[str, Any]:
    """What the second look needs to know."""
    weights = second_look.WEIGHTS
    return {
        "at": second_look.LOOKED_AT, "left": second_look.LEFT, "tops": second_look.TOP, "title": second_look.TITLE, "gap": GAP,
        "next": second_look.NEXT, "score": weights.score, "line": weights.line, "top": weights.top, "kin": weights.kin,
        "kinds": [weights.kind.get(kind, (0.0, 0.0)) for kind in KINDS],
    }  # fmt: skip


def names_part(families: Sequence[tuple[str, str]], stages: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """Ids and titles by which results are narrowed, in the order in which cards count them."""
    return {"families": families, "stages": stages}


def number(value: int) -> str:
    """A whole number from 0 up in ``ALPHABET``."""
    letters = []
    while value >= LAST:
        value, low = divmod(value - LAST, CARRY)
        letters.append(ALPHABET[LAST + low])
    return "".join(letters) + ALPHABET[value]


_SMALL = tuple(map(number, range(4096)))  # nearly all numbers of an index


def numbers(values: Iterable[int]) -> str:
    """Whole numbers, one behind the other."""
    return "".join([_SMALL[value] if value < 4096 else number(value) for value in values])


def words_part(lexicon: Lexicon) -> list[str]:
    """Words, and how many documents hold each group.

    A word is the count of letters it shares with the one before, then the rest, then ``;`` and how its group differs:
    nothing for the next new group, else the distance back from it.
    """
    parts = []
    before, fresh = "", 0
    for word, group in zip(lexicon.words, lexicon.groups, strict=True):
        shared = next((n for n, (a, b) in enumerate(zip(before, word, strict=False)) if a != b), min(len(before), len(word)))
        parts.append(f"{ALPHABET[min(shared, 50)]}{word[min(shared, 50) :]}" + (f";{fresh - group}" if group < fresh else ""))
        fresh = max(fresh, group + 1)
        before = word
    return ["|".join(parts), numbers(lexicon.held)]


def _hits(postings: Iterable[Posting]) -> str:
    """For each document the distance from the one before, and its places."""
    parts, last = [], -1
    for document, places in postings:
        parts.append(number(document - last - 1) + places_part(places))
        last = document
    return "".join(parts)


def places_part(places: Sequence[int]) -> str:
    """How many places, and the distances between them."""
    return numbers([len(places) - 1, *(place - before - 1 for before, place in pairwise((-1, *places)))])


def near_part(near: Near) -> str:
    """The documents that are like one: the distance from each to the next, then how alike it is in hundredths."""
    return numbers([value for before, other in pairwise((-1, *near)) for value in (other - before - 1, near[other])])


@dataclass(frozen=True, slots=True)
class Tags:
    """The numbers by which cards name families and stages."""

    families: Mapping[str, int]
    stages: Mapping[str, int]

    def card(self, kind: str, families: Iterable[str], stages: Iterable[str]) -> str:
        """The beginning of a document's card: kind, families, stages; how many, then each as the distance from the one before."""
        tags = [sorted(known[id] for id in ids if id in known) for ids, known in ((families, self.families), (stages, self.stages))]
        return numbers([KINDS.index(kind), *(value for of in tags for value in (len(of), *(b - a - 1 for a, b in pairwise((-1, *of)))))])


def card_tail(counted: Counted) -> str:
    """The rest of a card: lengths, then the runs as weight and stretch."""
    return numbers([*counted.lengths, *(value for run in counted.runs for value in (run.field, run.end - run.start))])


def text_part(document: Document) -> list[Any]:
    """Title, address, and the sections with their lines, each line's weight as a number."""
    sections = [
        [s.anchor, s.heading, [[FIELDS.index(line.field), line.text, *([line.anchor] if line.anchor else [])] for line in s.lines]]
        for s in document.sections
    ]
    return [document.kind, document.id, document.title, document.url, sections]


def length_of(part: Any) -> int:
    """How many characters a part counts for when shards are cut."""
    return len(json.dumps(part))


def cuts(lengths: Sequence[int], most: int) -> list[int]:
    """Where shards of about ``most`` characters begin: the number of the first part of each."""
    starts, size = [0] if lengths else [], 0
    for at, length in enumerate(lengths):
        if at > starts[-1] and size + length > most:
            starts.append(at)
            size = 0
        size += length
    return starts


def shards(parts: Sequence[Any], starts: Sequence[int]) -> Iterator[list[Any]]:
    """The parts of each shard."""
    for start, end in pairwise((*starts, len(parts))):
        yield list(parts[start:end])
