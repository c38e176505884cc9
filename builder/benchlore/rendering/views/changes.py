"""What changed: entries added and changed, day by day, with whose they are and which families they concern."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from markupsafe import Markup

from benchlore.rendering.feed import FEED, feed_of
from benchlore.rendering.history import Happening, happenings
from benchlore.rendering.views.blocks import Link
from benchlore.rendering.views.page import KIND_WORDS, Here, PageView, count_words

MOST = 1000
"""Lines on the page; older ones are in the entries themselves."""


@dataclass(frozen=True, slots=True)
class LineView:
    """One line: what happened to which entry."""

    what: str
    kind: str
    link: Link
    by: str
    families: str


@dataclass(frozen=True, slots=True)
class DayView:
    """One day's lines."""

    day: str
    lines: tuple[LineView, ...]


@dataclass(frozen=True, slots=True)
class ChangesView:
    """All days, and the two ways to narrow them."""

    days: tuple[DayView, ...]
    technicians: tuple[Link, ...]
    families: tuple[Link, ...]
    left_out: int


def changes_page(here: Here) -> PageView:
    """Newest first, from the dates in the entries."""
    found = happenings(here.library)
    shown = found[:MOST]
    days = tuple(
        DayView(day.isoformat(), tuple(_line(here, one) for one in of))
        for day, of in itertools.groupby(shown, key=lambda one: one.day)
    )
    titles = {id: family.title for id, family in here.library.families.items()}
    by = _ways(here, "by", (initials for one in shown for initials in one.by), {})
    families = _ways(here, "family", (id for one in shown for id in one.families if id in titles), titles)
    lede = (
        "<p>What was written and what was changed, by the dates in the entries.</p>"
        if found
        else "<p>No entry says yet when it was written.</p>"
    )
    return PageView(
        here.path,
        "What changed",
        "changes",
        lede=Markup(lede),
        actions=(Link("As a feed (Atom)", here.to(FEED)),) if found else (),
        extra=ChangesView(days, by, families, len(found) - len(shown)),
        template="changes.html",
        scripts=("assets/js/changes.js",),
    )


def _line(here: Here, one: Happening) -> LineView:
    entry = one.entry
    return LineView(
        one.what, KIND_WORDS[entry.kind][0], here.link(entry.kind, entry.id), "|".join(one.by), " ".join(one.families)
    )


def _ways(here: Here, name: str, words: Iterable[str], titles: dict[str, str]) -> tuple[Link, ...]:
    """A link for each technician or family, those with most changes first, and beside it the link to their feed."""

    def note(word: str, count: int) -> Markup:
        said = Markup("{}").format(count_words(count, "change", "changes"))
        feed = feed_of(name, word)
        link = Markup(', <a href="{}">feed<span class="said"> of {}</span></a>')
        return said + link.format(here.to(feed), titles.get(word, word)) if feed else said

    counted = sorted(Counter(words).items(), key=lambda pair: (-pair[1], pair[0]))
    return tuple(
        Link(
            titles.get(word, word),
            f"?{name}={quote(word, safe='')}",
            note(word, count),
            word,
        )
        for word, count in counted
    )
