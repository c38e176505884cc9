"""What search is compared with: Whoosh as it comes, and plain BM25, on the same words of the same entries."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence

from benchlore.searching.document import Document
from benchlore.searching.finding import ranked_for
from benchlore.searching.store import Store
from benchlore.searching.weighing import worth_showing


def words_of(document: Document) -> str:
    """All words of an entry."""
    return "\n".join(line.text for section in document.sections for line in section.lines)


class Ours:
    """Search as the terminal does it: what it would show."""

    def __init__(self, store: Store) -> None:
        self.store = store

    def __call__(self, words: str) -> Sequence[str]:
        _, ranked = ranked_for(self.store, words)
        return [self.store.cards[one.document].key for one in worth_showing(ranked, preferred=False)[:50]]


class PlainBM25:
    """BM25 (k1 1.2, b 0.75) on lower-case words, one field."""

    def __init__(self, documents: Sequence[Document]) -> None:
        self.names = [f"{one.kind}/{one.id}" for one in documents]
        self.counts = [Counter(re.findall("[a-z0-9]+", words_of(one).lower())) for one in documents]
        self.lengths = [sum(one.values()) for one in self.counts]
        self.held = Counter(word for one in self.counts for word in one)

    def __call__(self, words: str) -> Sequence[str]:
        average = sum(self.lengths) / len(self.lengths)
        scores = []
        for number, counts in enumerate(self.counts):
            score = 0.0
            for word in re.findall("[a-z0-9]+", words.lower()):
                if count := counts.get(word, 0):
                    rarity = math.log(1 + (len(self.names) - self.held[word] + 0.5) / (self.held[word] + 0.5))
                    score += rarity * count * 2.2 / (count + 1.2 * (0.25 + 0.75 * self.lengths[number] / average))
            scores.append((-score, self.names[number]))
        return [name for score, name in sorted(scores)[:50] if score < 0]


class PlainWhoosh:
    """Whoosh with its own stemming analyser, two fields (title, text), its own parser and weighting; any word may match."""

    def __init__(self, documents: Sequence[Document]) -> None:
        from whoosh import analysis, fields
        from whoosh.filedb.filestore import RamStorage

        schema = fields.Schema(
            name=fields.ID(stored=True), title=fields.TEXT(analyzer=analysis.StemmingAnalyzer()), text=fields.TEXT(analyzer=analysis.StemmingAnalyzer())
        )
        self.index = RamStorage().create_index(schema)
        writer = self.index.writer()
        for one in documents:
            writer.add_document(name=f"{one.kind}/{one.id}", title=one.title, text=words_of(one))
        writer.commit()

    def __call__(self, words: str) -> Sequence[str]:
        from whoosh.qparser import MultifieldParser, OrGroup

        with self.index.searcher() as searcher:
            query = MultifieldParser(["title", "text"], self.index.schema, group=OrGroup).parse(words)
            return [hit["name"] for hit in searcher.search(query, limit=50)]
