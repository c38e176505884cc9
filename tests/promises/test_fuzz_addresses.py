"""Promises 9, 12 and 32: whatever stands behind ``?`` and ``#`` of an address fills in fields and nothing else.

Addresses are drawn by hypothesis, the same at each run, and opened from disk in Chromium: nothing is thrown, said on the
console, fetched from elsewhere, or made into markup.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import quote

from hypothesis import given, settings
from hypothesis import strategies as st
from running import THOROUGH

from hostile import RAW, URLS

NAMES = ["q", "q-kind", "q-family", "since", "by", "family", "kind", "mark", "theme", "symptom", "fault", "job", "title", "id", "one", "values", "tolerance.one", "__proto__", "constructor", "x"]
VALUES = st.one_of(
    st.sampled_from([*RAW, *URLS, "", "el84", "tarn-15", "2025-01-01", "12k", "1e999", "%", "%E0%A4%A", "%00", "NaN", "-1", "[]", "{}", "null", "a" * 5000]),
    st.text(max_size=30),
)
PAIRS = st.lists(st.tuples(st.sampled_from(NAMES), VALUES, st.booleans()), max_size=5)
PAGES = ["index.html", "changes.html", "job.html", "add.html", "calculators/resistors-parallel.html", "families/tarn-15.html", "findings.html"]


def address(pairs: list[tuple[str, str, bool]]) -> str:
    """The pairs as part of an address, some of them as a careless hand would write them."""
    return "&".join(f"{name}={quote(value, safe='') if careful else value.translate({10: None, 13: None, 9: None, 35: '%23'})}" for name, value, careful in pairs)


def test_any_address(small_site: Path, chromium: Any) -> None:
    """Nothing thrown, nothing fetched, no node made of it."""
    context = chromium.new_context()
    page = context.new_page()
    said: list[str] = []
    home = small_site.as_uri()
    page.on("pageerror", lambda error: said.append(f"thrown: {error}"))
    page.on("console", lambda message: said.append(f"console: {message.text}"))
    page.on("dialog", lambda dialog: (said.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    page.on("request", lambda request: None if request.url.startswith((home, "data:")) else said.append(f"fetched: {request.url}"))
    made: dict[str, int] = {}
    count = "() => document.querySelectorAll('script:not([src^=\"assets/\"]):not([src^=\"../assets/\"]), img, iframe, object, embed, base, form[action], a[href^=\"javascript:\" i]').length"
    opened = 0

    @given(st.sampled_from(PAGES), PAIRS, PAIRS)
    @settings(max_examples=1500 if THOROUGH else 40, deadline=None, derandomize=True, database=None)
    def look(path: str, query: list[tuple[str, str, bool]], fragment: list[tuple[str, str, bool]]) -> None:
        nonlocal opened
        if path not in made:
            page.goto(f"{home}/{path}")
            page.wait_for_timeout(100)
            made[path] = page.evaluate(count)
        page.goto("about:blank")
        page.goto(f"{home}/{path}?{address(query)}#{address(fragment)}")
        page.wait_for_timeout(30)
        assert page.evaluate(count) == made[path] and page.evaluate("window.hit === undefined")
        assert said == []
        opened += 1

    look()
    context.close()
    assert opened >= 40
