"""One scalar and a field's type to a value, or words on what is wrong.  A value's type comes from its field, never from its look."""

from __future__ import annotations

import datetime
import re
from typing import Any

from benchlore.entries.fields import Amount, Choice, Code, Date, FieldType, Flag, Prose, Real, Ref, Slug, Text, Whole
from benchlore.problem import did_you_mean
from benchlore.quantity import UNKNOWN, QuantityProblem, parse_quantity
from benchlore.reading.characters import forbidden_in
from benchlore.reading.files import NAME
from benchlore.reading.nodes import Scalar

NULLS = frozenset({"", "~", "null", "Null", "NULL"})
TO_DO = "TODO"
"""What a draft leaves for a person to write."""
WHOLE = re.compile(r"-?[0-9]{1,9}")
REAL = re.compile(r"-?([0-9]{1,15}(\.[0-9]{0,15})?|\.[0-9]{1,15})([eE][+-]?[0-9]{1,2})?")
DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Wrong(Exception):
    """A value that does not fit its field: what is wrong, and how to mend it."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message, self.hint = message, hint


def quoted(text: str) -> str:
    """The offending value for a message: in quotes, on one line, cut when long."""
    line = " ".join(text.split())
    line = "".join(c if c.isprintable() else "?" for c in line)
    return f'"{line[:60]}{"..." if len(line) > 60 else ""}"'


def convert(node: Scalar, type: FieldType) -> Any:
    """The value that ``node`` stands for in a field of ``type``.  Raises ``Wrong``."""
    text = node.text
    if node.plain and text in NULLS:
        raise Wrong(
            "nothing is written here",
            "fill it in, write 'unknown' where a quantity is not known, or leave the whole line out",
        )
    character = forbidden_in(text.replace("\n", " ").replace("\t", " "))
    if character is not None:
        raise Wrong(f"a character that must not stand here ({character})", "remove it")
    if text.strip() == TO_DO:
        raise Wrong("still to be written", "fill it in, or take the line out if the field is optional")
    return _OF[type.__class__](text, type)


def _text(text: str, type: Any) -> str:
    text = text.strip()
    if not text:
        raise Wrong("empty text", "fill it in, or leave the whole line out")
    if "\n" in text and not isinstance(type, Prose):
        raise Wrong("more than one line where one is wanted", "write it as one line (it may be folded under its name)")
    if len(text) > type.longest:
        raise Wrong(
            f"{len(text)} characters, more than the {type.longest} this field takes",
            "say it shorter, or move it to the summary",
        )
    return text


def _choice(text: str, type: Choice) -> str:
    if text not in type.words:
        raise Wrong(f"{quoted(text)} is not one of the words this field takes", did_you_mean(text, type.words))
    return text


def _flag(text: str, _: Flag) -> bool:
    if text not in ("yes", "no", "true", "false"):
        raise Wrong(f"{quoted(text)} is neither yes nor no", "write yes or no")
    return text in ("yes", "true")


def _whole(text: str, type: Whole) -> int:
    if not WHOLE.fullmatch(text):
        raise Wrong(
            f"{quoted(text)} is not a whole number", f"write a number from {type.least} to {type.most} in plain digits"
        )
    number = int(text)
    if not type.least <= number <= type.most:
        raise Wrong(f"{number} is outside {type.least} to {type.most}", "check the number")
    return number


def _real(text: str, type: Real) -> float:
    if not REAL.fullmatch(text):
        raise Wrong(f"{quoted(text)} is not a number", "write plain digits with a decimal point, and no unit")
    number = float(text)
    if not type.least <= number <= type.most:
        raise Wrong(f"{text} is outside {type.least:g} to {type.most:g}", "check the number")
    return number


def _amount(text: str, type: Amount) -> Any:
    text = text.strip()
    if text == "unknown":
        if type.unknown_ok:
            return UNKNOWN
        raise Wrong('"unknown" cannot stand here', "measure it, or leave the line out")
    try:
        quantity = parse_quantity(text, type.dimension)
    except QuantityProblem as problem:
        raise Wrong(problem.message, problem.hint) from None
    if quantity.is_range and not type.range_ok:
        raise Wrong(f"{quoted(text)} is a range where one value is wanted", "write a single value")
    if quantity.low < type.least or quantity.high > type.most:
        raise Wrong(
            f"{quoted(text)} is outside what this field can be ({type.least:g} to {type.most:g} in base units)",
            "check the number and its unit",
        )
    return quantity


def _date(text: str, _: Date) -> datetime.date:
    try:
        if DATE.fullmatch(text):
            return datetime.date.fromisoformat(text)
    except ValueError:
        pass
    raise Wrong(f"{quoted(text)} is not a day", "write it as year-month-day, such as 2025-03-14")


def _slug(text: str, _: Slug | Ref) -> str:
    if not NAME.fullmatch(text) or len(text) > 60:
        raise Wrong(
            f"{quoted(text)} cannot be a key or id", "use up to 60 small letters and digits, joined by single hyphens"
        )
    return text


_OF: dict[type, Any] = {
    Text: _text,
    Prose: _text,
    Code: _text,
    Choice: _choice,
    Flag: _flag,
    Whole: _whole,
    Real: _real,
    Amount: _amount,
    Date: _date,
    Slug: _slug,
    Ref: _slug,
}
