"""Quantities as a reader wants to see them; the words that were typed, set with care and never changed in value."""

from __future__ import annotations

import re

from benchlore.quantity import Quantity, Unknown

NOT_KNOWN = "not known"
_OHM = re.compile(r"\b([kM]?)ohm\b")
_MICRO = re.compile(r"(?<=[\d ])u(?=[AFHVWsC])")
_MINUS = re.compile(r"(?<![\w)])-(?=[\d.])")
_RANGE = re.compile(r"\s*\.\.\s*")
_JOIN = re.compile(r"(?<=[\d%])\s+(?=\S)")


def shown(quantity: Quantity | Unknown | None) -> str:
    """The quantity in typographic dress: ``-45..-30 V`` as ``−45 to −30 V``, ``8 ohm`` as ``8 Ω``."""
    if quantity is None:
        return ""
    if isinstance(quantity, Unknown):
        return NOT_KNOWN
    return dressed(quantity.text)


def dressed(text: str) -> str:
    """Typed text of a quantity in typographic dress."""
    text = _OHM.sub(lambda m: f"{m[1]}Ω", text)
    text = _MICRO.sub("µ", text)
    text = _MINUS.sub("\u2212", text)
    joiner = " to " if "\u2212" in text else "\u2013"
    return _RANGE.sub(joiner, _JOIN.sub("\u00a0", text))
