"""Printing: plain lines, nothing from data that a terminal could take for a command."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterable
from typing import Any

import click

from benchlore.problem import Problem

CONTROL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def clean(text: str) -> str:
    """Text without characters that move a cursor, change a colour or turn the direction of writing."""
    return CONTROL.sub("?", text)


def say(text: str = "") -> None:
    """One line of the answer, on standard output."""
    click.echo(clean(text))


def complain(text: str) -> None:
    """One line about what went wrong, on standard error."""
    click.echo(clean(text), err=True)


def complain_of(problems: Iterable[Problem]) -> None:
    """Problems on standard error, one line each."""
    for problem in problems:
        complain(str(problem))


def say_json(document: Any) -> None:
    """One JSON document on standard output and nothing else there."""
    sys.stdout.write(json.dumps(document, ensure_ascii=False, allow_nan=False, indent=2) + "\n")


def count(number: int, one: str, many: str | None = None) -> str:
    """``1 problem``, ``3 problems``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
