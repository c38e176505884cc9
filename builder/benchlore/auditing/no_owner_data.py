"""A finding holds nothing about the owner.

Passes: ``learned: The rear panel screws had been swapped``
Fails:  ``learned: Call back on 555 0100 22, jo@example.org``
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.entries.finding import Finding
from benchlore.entries.walking import walk
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums

MAIL = re.compile(r"[\w.+-]+@[\w-]+\.[\w.-]+", re.ASCII)
PHONE = re.compile(  # begins as numbers to be dialled do, or is grouped three-three-four; mere rows of figures are the bench's
    r"(?<![\w.])(?:(?:\+[0-9]{1,3}[ /-]?|\([0-9]{2,5}\)[ /-]?|0[0-9]{1,4}[ /-])(?:[0-9]{2,5}[ /-]?){2,4}"
    r"|[0-9]{3}[ -][0-9]{3}[ -][0-9]{4})(?![\w.]*[0-9])",
    re.ASCII,
)


def check(finding: Finding, library: Library, sums: Sums) -> Iterator[Problem]:
    """Mail addresses and telephone numbers in findings."""
    for path, _, value, _ in walk(finding):
        if isinstance(value, str) and (MAIL.search(value) or PHONE.search(value)):
            yield Problem(
                finding.place(path),
                path,
                "looks like a mail address or a telephone number",
                "findings are shared: take out everything about the owner",
            )
