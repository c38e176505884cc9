"""What changed: a page that is narrowed by its address, and a feed that a feed reader reads.

Outside references: feedparser reads the feed; RFC 4287 says what must be in it (sections 4.1.1 and 4.1.2).
"""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import feedparser
import pytest

from benchlore.linking.library import Library
from benchlore.rendering.feed import feed_files, feed_of
from benchlore.rendering.history import happenings
from benchlore.rendering.prose import scribe
from watching import Opener

ATOM = "{http://www.w3.org/2005/Atom}"


def test_days_come_from_the_entries(small_library: Library) -> None:
    """Added and changed each have their day, newest first; a finding was written on the day of the job."""
    told = [(one.day.isoformat(), one.what, one.entry.id, one.by, one.families) for one in happenings(small_library)]
    assert told == [
        ("2025-06-02", "changed", "tarn-15", ("AB",), ("tarn-15",)),
        ("2025-05-20", "new", "2025-05-20-tarn-15", ("CD",), ("tarn-15",)),
        ("2025-03-04", "new", "2025-03-04-tarn-15", ("AB",), ("tarn-15",)),
        ("2025-02-01", "new", "moor-60", ("CD",), ("moor-60",)),
        ("2025-01-10", "new", "tarn-15", ("AB",), ("tarn-15",)),
        ("2024-11-30", "new", "moor-60-2024-11-30", ("AB",), ("moor-60",)),
    ]


def test_a_feed_reader_reads_the_feed(small_files: dict[str, bytes]) -> None:
    """feedparser finds no fault in it; each entry once, with an id of its own, its days, its words, and a link that is there."""
    feed = feedparser.parse(
        small_files["changes.atom"],
        response_headers={
            "content-location": "https://shop.example/book/changes.atom",
            "content-type": "application/atom+xml",
        },
    )
    assert not feed.bozo
    assert feed.version == "atom10"
    assert feed.feed.title == "The Small Shelf: what changed"
    assert feed.feed.updated == "2025-06-02T00:00:00Z"
    assert [(e.title, e.updated, e.published) for e in feed.entries][:2] == [
        ("Family changed: Tarn 15", "2025-06-02T00:00:00Z", "2025-01-10T00:00:00Z"),
        ("Finding: Tarn 15 cutting out", "2025-05-20T00:00:00Z", "2025-05-20T00:00:00Z"),
    ]
    ids = [e.id for e in feed.entries]
    assert len(set(ids)) == len(ids) == 5
    assert all(re.fullmatch(r"urn:uuid:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", id) for id in (*ids, feed.feed.id))
    assert all(e.link.removeprefix("https://shop.example/book/").partition("#")[0] in small_files for e in feed.entries)
    assert {e.tags[0].term for e in feed.entries} == {"family", "finding"}
    assert "family:tarn-15" in {tag.term for tag in feed.entries[0].tags}
    assert all(e.summary and "<" not in e.summary for e in feed.entries)


def test_the_feed_holds_what_the_standard_asks(small_files: dict[str, bytes], whole_files: dict[str, bytes]) -> None:
    """RFC 4287: one id, title and updated in feed and entry, an author for each, instants as RFC 3339, at most one self link."""
    for files in (small_files, whole_files):
        feeds = [ElementTree.fromstring(content) for path, content in files.items() if path.endswith(".atom")]
        assert len(feeds) > 3
        ids = [root.findtext(f"{ATOM}id") for root in feeds]
        assert len(set(ids)) == len(ids)
        for root in feeds:
            holds_what_it_must(root)


def holds_what_it_must(root: ElementTree.Element) -> None:
    """The rules of the standard's section 4 for one feed."""
    assert root.tag == f"{ATOM}feed"
    for element in (root, *root.iter(f"{ATOM}entry")):
        for name in ("id", "title", "updated"):
            assert len(element.findall(ATOM + name)) == 1
    assert root.find(f"{ATOM}author/{ATOM}name") is not None
    assert len([link for link in root.findall(f"{ATOM}link") if link.get("rel") == "self"]) == 1
    for instant in (*root.iter(f"{ATOM}updated"), *root.iter(f"{ATOM}published")):
        assert re.fullmatch(r"\d{4}-\d\d-\d\dT00:00:00Z", instant.text or "")
    assert len(list(root.iter(f"{ATOM}entry"))) <= 100


def test_each_technician_and_each_family_has_a_feed(small_files: dict[str, bytes]) -> None:
    """feedparser reads them; they hold what concerns the one, newest first, and their links lead to what is there."""
    told = {}
    for path in sorted(small_files):
        if path.startswith("feeds/"):
            headers = {"content-location": f"https://shop.example/{path}", "content-type": "application/atom+xml"}
            feed = feedparser.parse(small_files[path], response_headers=headers)
            assert not feed.bozo and feed.feed.updated == feed.entries[0].updated
            links = [feed.feed.link, *(e.link for e in feed.entries)]
            assert all(re.split("[#?]", link.removeprefix("https://shop.example/"))[0] in small_files for link in links)
            told[path] = (feed.feed.title.rpartition(", ")[2], [e.title for e in feed.entries])
    family = ["Family changed: Tarn 15", "Finding: Tarn 15 cutting out"]
    assert told["feeds/by-cd.atom"] == ("CD", ["Finding: Tarn 15 cutting out", "Family: Moor 60"])
    assert told["feeds/family-tarn-15.atom"][0] == "Tarn 15" and told["feeds/family-tarn-15.atom"][1][:2] == family
    assert list(told) == ["feeds/by-ab.atom", "feeds/by-cd.atom", "feeds/family-moor-60.atom", "feeds/family-tarn-15.atom"]
    page = small_files["changes.html"].decode()
    assert all(f'<a href="{path}">feed<span class="said"> of {words}</span></a>' in page for path, (words, _) in told.items())


@pytest.mark.parametrize(("by", "word", "path"), [("by", "RK", "feeds/by-rk.atom"), ("by", "a/b", ""), ("by", "Ö", ""), ("family", "tarn-15", "feeds/family-tarn-15.atom")])
def test_feeds_are_files_anywhere(by: str, word: str, path: str) -> None:
    """Initials that make no file's name have no feed of their own."""
    assert feed_of(by, word) == path


def test_same_book_same_feed(small_library: Library) -> None:
    """Nothing of it comes from a clock or from chance."""
    once, again = (feed_files(small_library, scribe(small_library.entries)) for _ in range(2))
    assert once == again and once


def test_a_book_without_days_has_no_feed() -> None:
    """No entry says when: then there is nothing to tell, and no feed that would lie about its day."""
    assert feed_files(Library({}), scribe({})) == {}


@pytest.mark.parametrize(
    ("query", "count"),
    [
        ("", 6), ("?since=2025-03-04", 3), ("?since=2026-01-01", 0), ("?by=AB", 4), ("?family=moor-60", 2),
        ("?since=2025-01-01&by=AB&family=tarn-15", 3), ("?since=nonsense", 6), ("?by=%3Cb%3E", 6),
    ],
)  # fmt: skip
def test_the_address_narrows_the_page(small_site: Path, watch: Opener, query: str, count: int) -> None:
    """``?since=``, ``?by=`` and ``?family=`` leave what was asked for; nonsense asks for nothing."""
    watched = watch(small_site)
    page = watched.open(f"changes.html{query}")
    assert page.locator(".changes-list li:visible").count() == count
    assert page.locator("[role=status]").last.inner_text() == (
        f"{count} change." if count == 1 else f"{count} changes."
    )
    assert watched.console == []


def test_choices_go_to_the_address(small_site: Path, watch: Opener) -> None:
    """What is chosen on the page can be kept as a bookmark; per technician and per family are links that do the same."""
    page = watch(small_site, width=360).open("changes.html")
    page.get_by_label("Since").fill("2025-02-01")
    page.get_by_label("Technician", exact=True).select_option("CD")
    assert page.url.endswith("changes.html?since=2025-02-01&by=CD")
    assert page.locator(".changes-list li:visible").count() == 2
    page.locator("#families").get_by_role("link", name="Moor 60", exact=True).click()
    assert page.url.endswith("changes.html?family=moor-60")
    assert page.locator(".changes-list li:visible").count() == 2


def test_without_scripts_all_is_listed(small_site: Path, watch: Opener) -> None:
    """Every day is there to read."""
    page = watch(small_site, scripts=False).open("changes.html")
    assert page.locator(".changes-list li:visible").count() == 6
