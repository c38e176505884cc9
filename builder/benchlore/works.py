"""Pieces of work, what each was made from, and so which must be done again after a change.

A work is anything made from a library: a page, the audit of one entry, an answer that several pages need.  While it is
done, what it reads is noted (``entries.kept.Reads``); the ledger keeps for every name read the works that read it.  After
a change the works that read what changed are due.  An *answer* is a work that others read: where it comes out as before,
those that read it alone are not due.
"""

from __future__ import annotations

import json
import os
from array import array
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol, TypeVar

from benchlore.entries.kept import Reads
from benchlore.ledger import Ledger
from benchlore.meter import Meter, unwatched
from benchlore.workers import spread

T = TypeVar("T")
WHOLE = "whole "  # begins the names of states that no longer hold once anything has changed
AT_A_TIME = 1000  # works shared out between processes before what came of them is taken in
MOST_HELD = 3000  # works held in memory, and answers: more are handed to the ledger, or looked up in it again
Record = tuple[Iterable[str], str]  # what was read, and what came out


class Done(NamedTuple):
    """A work that was done: the numbers of the names that were read, and what came out."""

    read: array[int]
    text: str


@dataclass(frozen=True)
class Question:
    """Something asked of a library about an id; the answer is plain data.  One that is not ``kept`` is worked out in each run."""

    name: str
    answer: Callable[[Any, str], Any]
    kept: bool = True

    def of(self, about: str) -> str:
        """The name of the answer."""
        return f"={self.name} {about}"


class Answers(Protocol):
    """Who answers questions."""

    def ask(self, library: Any, question: Question, about: str) -> Any:
        """The answer to ``question`` about ``about``."""
        ...


class Fresh:
    """Answers worked out at the first asking and held as long as the library they are about."""

    def __init__(self) -> None:
        self._answers: dict[str, Any] = {}

    def ask(self, library: Any, question: Question, about: str) -> Any:
        """See ``Answers``."""
        name = question.of(about)
        if name not in self._answers:
            self._answers[name] = question.answer(library, about)
        return self._answers[name]


class Works:
    """The works of one stack of shelves."""

    def __init__(self, ledger: Ledger, reads: Reads, meter: Meter | None = None) -> None:
        self.ledger, self.reads, self.meter = ledger, reads, meter or unwatched()
        self._questions: dict[str, Question] = {}
        self._answers: dict[str, Any] = {}  # worked out in each run
        self._recent: dict[str, Any] = {}  # answers that are kept, and so need not be held
        self._fresh: dict[str, Done] = {}  # done in this run
        self._asked: list[str] = []  # done of themselves while another work was done
        self._numbers: dict[str, int] = {}  # of the names that were read in this run
        self._process = os.getpid()
        self._settled = False  # until then helper processes see the entries in this one's memory only
        left = ledger.get("state", "due")
        self._due: set[str] = set(left.text.split("\n")) if left and left.text else set()

    def knows(self, *questions: Question) -> None:
        """These questions may have been asked in earlier runs."""
        self._questions |= {question.name: question for question in questions}

    def do(
        self, names: Sequence[str], work: Callable[[str], T], text: Callable[[T], str], jobs: int = 1
    ) -> Iterator[tuple[str, T]]:
        """Do the works of these names, in ``jobs`` processes; ``text`` of what comes out is kept.  In the order of names."""

        def one(name: str) -> tuple[T, set[str], dict[str, Record]]:
            self._asked.clear()
            with self.reads.noted() as read:
                made = work(name)
            self.meter.step(jobs)  # the helpers are about as far with theirs
            return made, read, self._told() if os.getpid() != self._process else {}

        for start in range(0, len(names), AT_A_TIME):
            some = names[start : start + AT_A_TIME]
            for name, (made, read, asked) in zip(some, spread(one, some, jobs), strict=True):
                for question, answered in asked.items():
                    self.record(question, *answered)
                self.record(name, read, text(made))
                yield name, made
            if self._settled and len(self._fresh) > MOST_HELD:
                self.hand_over()

    def record(self, name: str, names: Iterable[str], text: str) -> None:
        """A work was done, from what has these names."""
        known = self._numbers
        self._fresh[name] = Done(array("I", [known.setdefault(read, len(known)) for read in names]), text)
        self._asked.append(name)
        self._due.discard(name)

    def _told(self) -> dict[str, Record]:
        """What a helper process did besides its work, for its parent, who numbers names otherwise."""
        names = list(self._numbers) if self._asked else []
        return {
            name: ([names[number] for number in self._fresh[name].read], self._fresh[name].text) for name in self._asked
        }

    def kept(self, name: str) -> str | None:
        """What came out of a work that is not due; None when it must be done."""
        if name in self._fresh:
            return self._fresh[name][1]
        if name in self._due:
            return None
        row = self.ledger.get("work", name)
        return None if row is None else row.text

    def due(self, start: str) -> list[str]:
        """Known works whose name begins so and that must be done again."""
        return sorted(name for name in self._due if name.startswith(start))

    def texts(self, start: str) -> dict[str, str]:
        """What came out of each work whose name begins so and that is not due."""
        kept = {name: row.text for name, row in self.ledger.rows("work", start) if name not in self._due}
        return kept | {name: text for name, (_, text) in self._fresh.items() if name.startswith(start)}

    def forget(self, name: str) -> None:
        """A work that nobody needs any more."""
        self.ledger.remove("work", name)
        self._due.discard(name)
        self._fresh.pop(name, None)

    def ask(self, library: Any, question: Question, about: str) -> Any:
        """The answer to ``question`` about ``about``, from what was kept where nothing under it has changed."""
        name = question.of(about)
        self.reads.note(name)
        held = self._recent if question.kept else self._answers
        if name not in held:
            text = self.kept(name) if question.kept else None
            answer = json.loads(text) if text else self._answer(library, question, about)
            if len(self._recent) > MOST_HELD:
                self._recent.clear()
            held[name] = answer
        return held[name]

    def _answer(self, library: Any, question: Question, about: str) -> Any:
        with self.reads.noted() as names:
            made = question.answer(library, about)
        text = _json(made) if question.kept else ""
        self.record(question.of(about), names, text)
        return json.loads(text) if question.kept else made

    def changed(self, names: Collection[str]) -> None:
        """These names have changed: works that read them are due, and answers that rest on them are in doubt, which is due too."""
        self._due |= self._doubtful(set(names)) | self._readers(names)
        for state, _ in list(self.ledger.rows("state", WHOLE)) if names else ():
            self.ledger.remove("state", state)

    def decide(self, library: Any) -> None:
        """Work out anew the answers in doubt whose questions are known; the readers of those that differ are due."""
        doubtful = sorted(
            name for name in self._due if name.startswith("=") and name[1:].partition(" ")[0] in self._questions
        )
        before = {name: row.text for name in doubtful if (row := self.ledger.get("work", name)) is not None}
        differing = {name for name in doubtful if not self._as_before(name, before.get(name, ""), library)}
        self._due = (self._due | self._readers(differing)) - set(doubtful) - self._fresh.keys()

    def _as_before(self, name: str, before: str, library: Any) -> bool:
        """Is the answer what it was?"""
        question, _, about = name[1:].partition(" ")
        asked = self._questions[question]
        try:
            return asked.kept and before == _json(self.ask(library, asked, about))
        except LookupError:  # what it was about is not there any more
            self.forget(name)
            return False

    def _doubtful(self, names: set[str]) -> set[str]:
        """Answers that rest on these names, through other answers too."""
        found: set[str] = set()
        waiting = names
        while waiting:
            waiting = {name for name in self._readers(waiting) if name.startswith("=")} - found
            found |= waiting
        return found

    def _readers(self, names: Iterable[str]) -> set[str]:
        found: set[str] = set()
        for name in names:
            head, field = _parted(name)
            row = self.ledger.get("reader", head)
            for number in _numbers(row.text if row else "").get(field, "").split():
                known = self.ledger.get("number", number)
                if known is not None:
                    found.add(known.text)
        return {name for name in found if self.ledger.get("work", name) is not None}

    def settle(self) -> None:
        """Write down what was done, and what is still due, and keep the ledger.  Raises ``ledger.Lost``."""
        self._write_down()
        self.ledger.keep()
        self._settled = True

    def hand_over(self) -> None:
        """The same without keeping it yet: room for more.  Raises ``ledger.Lost``."""
        self._write_down()
        self.ledger.flush()

    def renew(self, name: str) -> None:
        """A work must be done again for a reason of its own."""
        self._due.add(name)

    def _write_down(self) -> None:
        next_number = int(row.text) if (row := self.ledger.get("state", "next")) else 0
        read_by: dict[str, dict[str, list[str]]] = {}
        names = list(self._numbers)
        for name, (numbers, text) in self._fresh.items():
            known = self.ledger.get("work", name)
            number = known.key if known else str(next_number)
            if known is None:
                next_number += 1
                self.ledger.put("number", number, "", name)
            self.ledger.put("work", name, number, text)
            for read in numbers:
                head, field = _parted(names[read])
                read_by.setdefault(head, {}).setdefault(field, []).append(number)
        for head, fields in read_by.items():
            self._add_readers(head, fields)
        self._fresh.clear()
        self.ledger.put("state", "next", "", str(next_number))
        self.ledger.put("state", "due", "", "\n".join(sorted(self._due)))

    def _add_readers(self, head: str, fields: Mapping[str, list[str]]) -> None:
        """Readers are only ever added: one too many costs a piece of work, one too few a wrong page."""
        row = self.ledger.get("reader", head)
        known = _numbers(row.text if row else "")
        for field, numbers in fields.items():
            there = known.get(field, "")
            new = set(numbers) - set(there.split())
            known[field] = f"{there} {' '.join(sorted(new))}".strip() if new else there
        text = "\n".join(f"{field}\t{numbers}" for field, numbers in known.items())
        if row is None or row.text != text:
            self.ledger.put("reader", head, "", text)


def _parted(name: str) -> tuple[str, str]:
    """The row and the line in it where the readers of a name are kept."""
    if name.startswith("="):
        return name, ""
    head, _, field = name.partition(" ")
    return head, field


def _numbers(text: str) -> dict[str, str]:
    return dict(line.split("\t", 1) for line in text.split("\n")) if text else {}


def _json(data: Any) -> str:
    return json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
