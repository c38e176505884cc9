"""Which words are one word: Snowball's English stems, and the joins that Snowball does not make."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping

_PLAIN = re.compile(r"[a-z]+")
_BRITISH = (
    (re.compile(r"(?<=..)is(e|ed|es|er|ers|ing|ation|ations)$"), r"iz\1"),
    (re.compile(r"^(col|od|vap|harb|lab|fav|flav|neighb|behavi)our"), r"\1or"),
    (re.compile(r"^(cent|fib|met|lit)re(?=s?$|d$)"), r"\1er"),
    (re.compile(r"^castor(?=s?$)"), "caster"),
    (re.compile(r"^grey"), "gray"),
    (re.compile(r"^aluminium$"), "aluminum"),
)
_AMERICAN = (
    (re.compile(r"(?<=..)iz(e|ed|es|er|ers|ing|ation|ations)$"), r"is\1"),
    (re.compile(r"^(col|od|vap|harb|lab|fav|flav|neighb|behavi)or(?!m)"), r"\1our"),
    (re.compile(r"^(cent|fib)er(?=s?$|ed$)"), r"\1re"),
    (re.compile(r"^caster(?=s?$)"), "castor"),
    (re.compile(r"^gray"), "grey"),
    (re.compile(r"^aluminum$"), "aluminium"),
)
_VERBS = (
    "blow blew blown, break broke broken, burn burnt, tear tore torn, wear wore worn, bend bent, stick stuck, hang hung, hold held, light lit, "
    "lose lost losing, fall fell fallen, ring rang rung, sing sang sung, sink sank sunk, slide slid, shake shook shaken, spin spun, "
    "swing swung, freeze froze frozen, shrink shrank shrunk, smell smelt, spill spilt, drive drove driven, hear heard, feel felt, swell swollen, "
    "draw drew drawn, rise rose risen, dead die dies died dying, catch caught, take took taken, run ran, choose chose chosen, keep kept, "
    "strike struck, throw threw thrown, bring brought, buy bought, build built, melt molten, foot feet"
)
_COMPARED = (
    "loud quiet hot cold warm cool weak strong thin thick high low bright dark slow fast big small loose tight rough soft hard dull clean "
    "deep faint short long sharp flat harsh sweet stiff smooth wide narrow old"
)
_KEEP = "noise raise rise arise wise otherwise likewise clockwise precise promise exercise advise surprise"
_KEEP_IS = frozenset(_KEEP.split())


def _compared(word: str) -> tuple[str, str]:
    doubled = word[-1] in "bdgnt" and word[-2] in "aeiou" and word[-3] not in "aeiou"
    base = word + word[-1] if doubled else word.removesuffix("e")
    return base + "er", base + "est"


FORMS = {forms.split()[0]: tuple(forms.split()[1:]) for forms in _VERBS.split(", ")}
FORMS |= {word: FORMS.get(word, ()) + _compared(word) for word in _COMPARED.split()}
"""Forms of a word that no rule makes: of verbs, and of what is compared.  No ``-er`` beyond these: a heater is no heat."""
_BASE = {form: word for word, forms in FORMS.items() for form in forms}


def spelled_otherwise(word: str) -> list[str]:
    """The same word as it is spelled across the ocean, where a rule knows it."""
    if word in _KEEP_IS:
        return []
    return [new for pattern, to in (*_BRITISH, *_AMERICAN) if (new := pattern.sub(to, word)) != word]


def stems_of(words: Iterable[str], kept: dict[str, str] | None = None) -> Mapping[str, str]:
    """For each word the key that it shares with all forms of it; words that hold a digit stand for themselves.

    ``kept`` are Snowball's stems of words seen before; those of new words are put to them.
    """
    stem = _remembering({} if kept is None else kept)
    known = set(words)
    stems = {word: stem(word) if _PLAIN.fullmatch(word) else word for word in known}
    keys = set(stems.values())
    plain = sorted(word for word in known if _PLAIN.fullmatch(word))
    adjectives = {stems[word]: noun for word in plain if (noun := _noun(word, stems, keys))}
    joined = {}
    for word in plain:
        key = _verb(word, stems) or adjectives.get(stems[word], stems[word])
        across = [other for spelling in spelled_otherwise(word) if (other := stem(spelling)) in keys]
        joined[word] = min([key, *across])
    return {**stems, **joined}


def _remembering(kept: dict[str, str]) -> Callable[[str], str]:
    """Snowball's stem of a word, looked up where it was seen before."""
    made: list[Callable[[str], str]] = []

    def stem(word: str) -> str:
        if word not in kept:
            if not made:
                import snowballstemmer  # lazily: most commands never search, and most builds meet no new word

                made.append(snowballstemmer.stemmer("english").stemWord)
            kept[word] = made[0](_BASE.get(word, word))
        return kept[word]

    return stem


def _noun(word: str, stems: Mapping[str, str], keys: set[str]) -> str | None:
    """The stem of what ``word`` is the adjective of: noisy to noise, scratchy to scratch, gassy to gas."""
    short = stems[word][:-1]
    if len(word) < 5 or not word.endswith("y") or not stems[word].endswith("i"):
        return None
    if short in keys:
        return short
    return short[:-1] if len(short) > 3 and short[-1] == short[-2] and short[:-1] in keys else None


def _verb(word: str, stems: Mapping[str, str]) -> str | None:
    """The stem of the verb where Snowball takes too much off: ``motorboating`` gives it ``motorbo``, ``crackly`` ``crack``."""
    if word.endswith("ly"):
        return stems.get(word[:-1] + "e")
    base = word[:-3] if word.endswith("ing") else word[:-2] if word.endswith("ed") else ""
    return (stems.get(base) or stems.get(base + "s")) if len(base) > 3 else None
