"""A problem is a finding about the data; a fault is what an amplifier has."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, TypedDict

from benchlore.place import Place

Severity = Literal["error", "warning"]


class ProblemJson(TypedDict):
    """The shape of one problem in ``audit --json``."""

    file: str
    line: int
    column: int
    severity: Severity
    where: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong, where it stands, and how to mend it.

    ``where`` is the field's path in the entry (``idle.plate_volts``) or empty for the whole file;
    ``message`` says what is wrong and what was expected, ``hint`` how to mend it.
    """

    place: Place
    where: str
    message: str
    hint: str
    severity: Severity = "error"

    def __str__(self) -> str:
        where = f"{self.where}: " if self.where else ""
        return f"{self.place}: {self.severity}: {where}{self.message}; {self.hint}"

    def as_json(self) -> ProblemJson:
        """The same facts as the line, for other programs."""
        return {
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "severity": self.severity,
            "where": self.where,
            "message": self.message,
            "hint": self.hint,
        }


def problem_from(data: ProblemJson) -> Problem:
    """A problem from its JSON."""
    place = Place(data["file"], data["line"], data["column"])
    return Problem(place, data["where"], data["message"], data["hint"], data["severity"])


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Problems sorted by place, each said once."""
    return sorted(set(problems), key=lambda p: (p.place, p.where, p.message, p.hint))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that a slip of the finger most likely meant, or None."""
    matches = difflib.get_close_matches(word.lower(), sorted(known), n=1, cutoff=0.6)
    return matches[0] if matches else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """A hint that names the nearest known word, else the known words."""
    words = sorted(known)
    near = nearest(word, words)
    if near is not None:
        return f"did you mean {near}?"
    listed = ", ".join(words[:12]) + (", ..." if len(words) > 12 else "")
    return f"known here: {listed}" if words else "there are none yet: write it first, or take this out"
