"""Which characters an entry may hold, against the Unicode Character Database that Python carries (``unicodedata``).

Outside source: UAX #44 for general categories, UAX #9 for the marks that turn writing, section 23.7 of the standard for
non-characters.
"""

from __future__ import annotations

import sys
import unicodedata

from benchlore.reading.characters import decode, forbidden_in

TURNING = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def must_not_stand(code: int) -> bool:
    """Controls, lone surrogates, separators of lines, marks that turn writing, and what is no character at all."""
    sign = chr(code)
    return (
        (unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp") and sign not in "\t\n")
        or unicodedata.bidirectional(sign) in TURNING
        or 0xFDD0 <= code <= 0xFDEF
        or code & 0xFFFE == 0xFFFE
    )


def test_every_character_there_is() -> None:
    """All that must not stand is refused; all letters, marks, figures, signs and spaces are taken; what is unseen is refused too."""
    for code in range(sys.maxunicode + 1):
        sign = chr(code)
        refused = forbidden_in(f"a{sign}b") is not None and sign not in "\t\n"
        if must_not_stand(code):
            assert refused, f"U+{code:04X}"
        elif unicodedata.category(sign)[0] in "LNPS" or unicodedata.category(sign) in ("Mn", "Mc", "Me"):
            assert not refused or code in range(0xFFF9, 0x10000) or code in range(0xE0100, 0xE01F0), f"U+{code:04X}"
    for code in (0xAD, 0x61C, 0x180E, 0x200B, 0x200E, 0x2060, 0xFEFF, 0xE0041):
        assert forbidden_in(chr(code)) is not None, f"U+{code:04X}"


def test_each_is_named_at_its_place() -> None:
    """Line and column count characters, and no more than twenty are told of one file."""
    text, problems = decode("ä\u202eb\r\nc\x07".encode(), "x.yaml")
    assert text == "ä\u202eb\nc\x07"
    assert [(p.place.line, p.place.column) for p in problems] == [(1, 2), (2, 2)]
    assert len(decode(b"\x07" * 30 + b"a" * 30, "x.yaml")[1]) == 20
