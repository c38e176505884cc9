"""The places of one group of words in all documents, in the very text that the browser reads, kept so that one document can be changed."""

from __future__ import annotations

from array import array
from bisect import bisect_left

from benchlore.searching.export import number

_WORD = array("I").itemsize


class Posted:
    """Documents by number, the length of each one's part of the text, and the text: for each the step from the one before, then its places."""

    def __init__(self, documents: array[int], sizes: array[int], text: str) -> None:
        self.documents, self.sizes, self.text = documents, sizes, text

    @classmethod
    def kept(cls, key: str, text: str) -> Posted:
        """One that was kept as ``key`` and text."""
        numbers = array("I", key.encode("latin-1"))
        half = len(numbers) // 2
        return cls(numbers[:half], numbers[half:], text)

    @property
    def key(self) -> str:
        """The numbers as a text of small characters, to be kept."""
        return (self.documents + self.sizes).tobytes().decode("latin-1")

    def put(self, document: int, places: str | None) -> None:
        """Put the places of a document in, or take them out."""
        at = bisect_left(self.documents, document)
        there = at < len(self.documents) and self.documents[at] == document
        start = sum(self.sizes[:at])
        end = start + (self.sizes[at] if there else 0)
        before = self.documents[at - 1] if at else -1
        parts = [number(document - before - 1) + places] if places is not None else []
        after = at + there
        behind = [document] if places is not None else []
        if after < len(self.documents) and there != (places is not None):
            following = self.documents[after]
            old = len(number(following - (document if there else before) - 1))
            parts.append(
                number(following - (document if behind else before) - 1)
                + self.text[end + old : end + self.sizes[after]]
            )
            behind.append(following)
            end += self.sizes[after]
            after += 1
        self.text = self.text[:start] + "".join(parts) + self.text[end:]
        self.documents[at:after] = array("I", behind)
        self.sizes[at:after] = array("I", map(len, parts))

    def shift(self, document: int, by: int) -> None:
        """Count every document from ``document`` on ``by`` further: one came in before them, or one has gone."""
        at = bisect_left(self.documents, document)
        if at == len(self.documents):
            return
        start = sum(self.sizes[:at])
        before = self.documents[at - 1] if at else -1
        step = self.documents[at] - before - 1
        rest = self.text[start + len(number(step)) :]
        new = number(step + by)
        self.text = self.text[:start] + new + rest
        self.sizes[at] += len(new) - len(number(step))
        self.documents[at:] = array("I", [one + by for one in self.documents[at:]])
