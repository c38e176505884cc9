"""The analyser reads text as the trade writes it."""

from __future__ import annotations

import pytest
import snowballstemmer

from benchlore.searching.analysis import query_tokens, tokens
from benchlore.searching.stems import stems_of


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("12AX7 6V6GT EL84", "12ax7 6v6gt el84"),
        ("a pair of 12AX7s, 6L6's", "a pair of 12ax7 6l6"),
        ("#6-32 and 8-32", "6-32 and 8-32"),
        ("1/4 inch, 1/4\", ½ in", "1/4 inch 1/4 inch 1/2 inch"),
        ("B+ at node 2", "b+ at node 2"),
        ("4k7 4.7k 470Ω 8 ohm", "4k7 4k7 470 ohm 8 ohm"),
        ("372V, 32 mA, 22uF", "372 v 32 ma 22 uf"),
        ("motor-boating", "motor boating"),
        ("won’t café naïve", "wont cafe naive"),
        ("<script>alert(1)</script>", "script alert 1 script"),
        ("\u202ehum\u202c 🎸 \u200b", "hum"),
        ("…—–!?", ""),
    ],
)
def test_tokens(text: str, expected: str) -> None:
    """Codes, values, fractions and threads stay whole; units stand apart; marks, accents and signs go.  Common practice, no source."""
    assert " ".join(token.text for token in tokens(text)) == expected


def test_iec_60062() -> None:
    """4.7k is 4k7: IEC 60062 puts the multiplier's letter in the place of the decimal point."""
    assert [t.text for t in tokens("2.2k 6.8n")] == ["2k2", "6n8"]


def test_fillers_go_unless_there_is_nothing_else() -> None:
    """Filler words are not looked for, each word is looked for once, and a filler after the last word says that it is finished."""
    assert [t.text for t in query_tokens("it howls when I dig")[0]] == ["howls", "dig"]
    assert [t.text for t in query_tokens("the")[0]] == ["the"]
    assert [t.text for t in query_tokens("putt putt putt")[0]] == ["putt"]
    assert query_tokens("hum")[1] and not query_tokens("hum ")[1] and not query_tokens("hum when I")[1]


@pytest.mark.parametrize(
    "forms",
    [
        ("hum", "hums", "hummed", "humming"),
        ("bias", "biased", "biasing"),
        ("crackle", "crackles", "crackling", "crackly"),
        ("noise", "noisy", "noises"),
        ("scratch", "scratchy", "scratching"),
        ("gas", "gassy"),
        ("motorboats", "motorboating"),
        ("colour", "color"),
        ("carbonised", "carbonized"),
        ("caster", "castors"),
        ("oscillate", "oscillation", "oscillates"),
    ],
)
def test_forms_of_one_word_meet(forms: tuple[str, ...]) -> None:
    """All forms share one key."""
    assert len({stems_of(forms)[form] for form in forms}) == 1


@pytest.mark.parametrize(("one", "other"), [("heater", "heat"), ("crackly", "cracked"), ("speaker", "speak"), ("12ax7", "12au7"), ("noise", "nose"), ("grid", "grind")])
def test_other_words_stay_apart(one: str, other: str) -> None:
    """A heater is no heat, and codes stand for themselves."""
    stems = stems_of([one, other, "crackle", "crack"])
    assert stems[one] != stems[other]


def test_stems_are_snowballs() -> None:
    """Outside check: where no join of ours applies, keys are those of the Snowball project's English stemmer (snowballstemmer 3)."""
    words = ["rectifier", "rectifiers", "transformers", "valves", "leakage", "intermittently", "capacitors", "soldered", "cathodes"]
    stem = snowballstemmer.stemmer("english").stemWord
    assert {word: stem(word) for word in words} == stems_of(words)
