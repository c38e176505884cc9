"""The one analyser: text to tokens as the trade writes them, for entries and for what is typed.

Part codes, values, fractions and threads stay whole (``12ax7``, ``4k7``, ``1/4``, ``6-32``, ``b+``), units stand
apart from their number, apostrophes and accents go.  The tables here are printed into the browser's index
(``exported``), so that the page reads a query by the very same tables.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any, NamedTuple


def _listed(words: str) -> frozenset[str]:
    return frozenset(words.split())


LONGEST_QUERY = 2000  # characters that are looked at; what is pasted beyond them cannot make a search slow
MOST_TOKENS = 24  # words of a query that are looked for
LONGEST_TOKEN = 40
KIND_OF = "*"  # behind a code: any code that begins so and goes on in letters

_ACCENTS = "[\\u0300-\\u036f]"
_NO_WORDS = "[\\u2000-\\u2bff\\ud800-\\udfff]"  # punctuation, arrows, dingbats and halves of what lies beyond
_FOLDS = {
    "μ": "u", "ω": "ohm", "ß": "ss", "ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d", "×": " x ", "\u2044": "/",
    "\u2018": "'", "\u2019": "'", "\u02bc": "'", "\u2032": "'", "\u201c": '"', "\u201d": '"', "\u2033": '"',
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": " ", "\u2212": "-",
}  # fmt: skip
_NUMBER = "(?<![a-z0-9.])([0-9]+(?:[./][0-9]+)?)"
_REWRITES = (
    ("'", ""),
    (_NUMBER + ' *(?:inches|inch|in(?![a-z])|")', "$1 inch "),
    (_NUMBER + "(ohms?|kv|mv|uv|v|ma|ua|a|kw|mw|w|khz|hz|uf|nf|pf|mm|cm|db|volts?|watts?|amps?)(?![a-z0-9])", "$1 $2"),
    ("(?<![a-z0-9.])([0-9]+)\\.([0-9]+)([kmrunp])(?![a-z0-9])", "$1$3$2"),  # 4.7k is 4k7 (IEC 60062)
)
_LETTER = "a-z0-9\\u00c0-\\u1fff\\u3040-\\ud7ff\\uf900-\\uffef"
_FIRST = _LETTER.replace("0-9", "")
_TOKEN = (
    f"[{_FIRST}](?:[{_LETTER}]+|\\+(?![{_LETTER}]))?"  # words and codes that begin with a letter; b+
    f"|#?[0-9]+-[0-9]+(?![{_LETTER}])|[0-9]+/[0-9]+|[0-9]+\\.[0-9]+[a-z]*[0-9]*|[{_LETTER}]+"
)
CODE = "(?=.*[0-9])(?=.*[a-z/-]).{3,}"
_DEFINES = "^what(?:s| is| are| does| do) |\\bmean(?:s|ing)?\\b|^defin(?:e|ition)\\b"
_PLURAL_CODE = "^(?=.*[a-z].*s$)([a-z0-9]*[0-9])s$"  # 12AX7s
_STOP = _listed(
    "a an and are as at be been but by can do does for from had has have he her his how i if im in into is it its ive me my of or our "
    "she so than that the their them then there these they this those to us was we were what when where which while who "
    "why will with would you your till until mean means meaning am being did didnt dont doesnt isnt arent wasnt hasnt havent"
)
_WEAK = _listed(
    "amp amplifier amps guitar get gets getting got like just really very thing something make makes making goes go going play "
    "playing problem issue any some even sometimes always anything nothing everything another someone too much more way again moment bit lot "
    "long gone keeps keep comes come came went goes done near next up down out off on over back away through around all only still again"
)
ENDINGS = (
    "", "s", "es", "e", "ed", "d", "ing", "ings", "y", "ies", "ied", "ly", "ion", "ions", "ation", "ations", "ive", "or", "ors", "ness",
)  # fmt: skip
"""Endings by which an unknown word is joined to known ones: ``hummed`` to ``humming``.  Not ``er``: a heater is no heat."""

_accents, _no_words = re.compile(_ACCENTS), re.compile(_NO_WORDS[:-1] + "\U00010000-\U0010ffff]")
_folds = str.maketrans(_FOLDS)
_rewrites = tuple((re.compile(pattern), replacement.replace("$", "\\")) for pattern, replacement in _REWRITES)
_token, _plural_code, _digit = re.compile(_TOKEN), re.compile(_PLURAL_CODE), re.compile("[0-9]")
_long_or_odd = re.compile(f"#|[0-9]s(?![{_LETTER}])|[{_LETTER}]{{{LONGEST_TOKEN + 1}}}")  # all that ``_tidied`` changes
_letters, _code, _defines = re.compile("[a-z]+"), re.compile(CODE), re.compile(_DEFINES)
_CODE_BASE = re.compile(r"^([0-9]+[a-z]+[0-9]+)[a-z]+$")  # 6v6 of 6v6gt


class Token(NamedTuple):
    """One token, and its place among all tokens of its text."""

    text: str
    place: int


def fold(text: str) -> str:
    """``text`` in the form in which tokens are compared: compatibility forms, accents and case gone."""
    if text.isascii():  # nearly all text is, and needs none of the folding below
        plain = text.lower()
    else:
        plain = _accents.sub("", unicodedata.normalize("NFKD", text)).lower().translate(_folds)
        plain = _no_words.sub(" ", plain)
    if "'" in plain or _digit.search(plain):  # no rewrite touches anything else
        for pattern, replacement in _rewrites:
            plain = pattern.sub(replacement, plain)
    return plain


def words_in(text: str) -> tuple[list[str], set[int]]:
    """All tokens of ``text`` in order, filler words too, and the places of those that a hyphen ties to the one before."""
    folded = fold(text)
    words = _token.findall(folded)
    if _long_or_odd.search(folded):
        words = [_tidied(word) for word in words]
    return words, _tied(folded) if "-" in folded else set()


def _tidied(word: str) -> str:
    word = word.lstrip("#")[:LONGEST_TOKEN]
    plural = _plural_code.match(word)
    return plural[1] if plural else word


def _tied(folded: str) -> set[int]:
    found, end = set(), -1
    for place, match in enumerate(_token.finditer(folded)):
        if match.start() == end + 1 and end >= 0 and folded[end] == "-":
            found.add(place)
        end = match.end()
    return found


def tokens(text: str) -> list[Token]:
    """All tokens of ``text`` with their places."""
    return [Token(word, place) for place, word in enumerate(words_in(text)[0])]


def query_tokens(words: str) -> tuple[list[Token], bool]:
    """The tokens of what was typed, without filler words unless it has nothing else, and whether the last may be unfinished.

    At most ``MOST_TOKENS`` of them; a space or a filler word after the last one says that it is finished.
    """
    looked_at = words[:LONGEST_QUERY]
    typed = tokens(looked_at)
    kept = [token for token in typed if token.text not in _STOP] or typed[-1:]
    once = list({token.text: token for token in reversed(kept)}.values())[::-1]  # each word where it stands first
    once = sorted(once, key=lambda token: token.place)[:MOST_TOKENS]
    return once, bool(once) and once[-1] is typed[-1] and looked_at[-1:] != " "


def asks_meaning(words: str) -> bool:
    """Is it asked what a word means (``what is a choke``, ``HT meaning``)?"""
    return _defines.search(fold(words[:LONGEST_QUERY])) is not None


def is_filler(word: str) -> bool:
    """Is it a word that is never looked for by itself?"""
    return word in _STOP


def is_weak(word: str) -> bool:
    """Does it say little in this trade?"""
    return word in _WEAK


def has_digit(word: str) -> bool:
    """Does it hold a digit?  Then nothing about it is ever guessed."""
    return _digit.search(word) is not None


def is_letters(word: str) -> bool:
    """Is it made of plain letters only?"""
    return _letters.fullmatch(word) is not None


def also_as(word: str) -> list[str]:
    """What else a token in a text is found by: 6V6GT as a kind of 6v6 (``6v6*``), a range or thread by its two numbers."""
    if base := _CODE_BASE.match(word):
        return [base[1] + KIND_OF]
    return word.split("-") if "-" in word else []


def is_code(word: str) -> bool:
    """Is it a part code, a thread or a value with its letter: something that says exactly what is meant?"""
    return _code.fullmatch(word) is not None


def base_code(word: str) -> str | None:
    """The code without its trailing letters, or None: 6l6 of 6l6gc."""
    base = _CODE_BASE.match(word)
    return base[1] if base else None


def exported() -> dict[str, Any]:
    """The tables by which the browser reads a query."""
    return {
        "accents": _ACCENTS, "noWords": _NO_WORDS, "folds": dict(sorted(_FOLDS.items())), "rewrites": [list(r) for r in _REWRITES],
        "token": _TOKEN, "pluralCode": _PLURAL_CODE, "codeBase": _CODE_BASE.pattern, "code": f"^{CODE}$", "kindOf": KIND_OF, "defines": _DEFINES, "stop": sorted(_STOP), "weak": sorted(_WEAK),
        "endings": list(ENDINGS), "longestQuery": LONGEST_QUERY, "mostTokens": MOST_TOKENS, "longestToken": LONGEST_TOKEN,
    }  # fmt: skip
