"""Words of entries become careful HTML: mentions resolved, names linked, nothing live."""

from __future__ import annotations

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.linking.library import Library
from benchlore.rendering import prose
from benchlore.rendering.prose import Pen, scribe
from hostile import PAYLOADS

ALLOWED_TAGS = {
    "a", "b", "blockquote", "br", "code", "div", "em", "h3", "h4", "h5", "h6", "hr", "li", "ol", "p", "pre", "s", "span", "strong",
    "table", "tbody", "td", "th", "thead", "tr", "ul",
}  # fmt: skip
ALLOWED_ATTRIBUTES = {"href", "class", "rel", "referrerpolicy", "tabindex", "start", "title"}


@pytest.fixture
def pen(small_library: Library) -> Pen:
    """A pen for a page one folder down."""
    return scribe(small_library.entries).pen("faults/filter-dried.html", [("fault", "filter-dried")])


def elements(html: str):
    """Every element of a fragment."""
    tree = html5lib.parseFragment(html, namespaceHTMLElements=False)
    return [e for e in tree.iter() if isinstance(e.tag, str) and e is not tree and e.tag != "DOCUMENT_FRAGMENT"]


def test_mention_leads_to_the_entry(pen: Pen) -> None:
    """A mention is a relative link, with its own words or else the entry's title."""
    assert (
        pen.line("see [the ribbon](fault:ribbon-cracked)")
        == 'see <a href="../faults/ribbon-cracked.html">the ribbon</a>'
    )
    assert (
        pen.line("see [](fault:ribbon-cracked)")
        == 'see <a href="../faults/ribbon-cracked.html">Cracked ribbon between boards</a>'
    )


def test_mention_of_a_section_and_of_a_listed_kind(pen: Pen) -> None:
    """A section becomes an anchor; a term stands on the glossary."""
    assert 'href="../stages/fixed-bias-unadjusted.html#lead-dress"' in pen.line(
        "[x](stage:fixed-bias-unadjusted#lead-dress)"
    )
    assert 'href="../glossary.html#bias"' in pen.line("[x](term:bias)")


def test_web_links_are_marked_as_outside(pen: Pen) -> None:
    """A link to the web sends no referrer and says where it leads."""
    html = pen.line("[sheet](https://sheets.example/el84.pdf)")
    assert 'rel="noreferrer noopener external"' in html and 'referrerpolicy="no-referrer"' in html
    assert "(link to the outside)" in html


def test_tube_types_and_terms_are_linked_once(pen: Pen) -> None:
    """The first mention of a type number or a term is a link, a later one is not."""
    html = pen.line("An EL84 (6BQ5) is an EL84; its bias is a bias.")
    assert html.count("tubes/el84.html") == 1
    assert html.count("glossary.html#bias") == 1


def test_numbers_with_units_are_no_tubes(small_library: Library) -> None:
    """A number that happens to be a type number stays a number when a unit follows."""
    import dataclasses

    tube = dataclasses.replace(small_library.tubes["el84"], title="6550", also_called=())
    entries = {**small_library.entries, "tube": {"6550": tube}}
    pen = scribe(entries).pen("index.html")
    assert "<a" not in pen.line("a resistor of 6550 ohm")
    assert "<a" in pen.line("a pair of 6550 in the output")


def test_headings_stand_below_the_pages_own(pen: Pen) -> None:
    """The highest heading of a text is an h3."""
    assert "<h3>" in pen.paragraphs("# One\n\ntext") and "<h4>" in pen.paragraphs("## One\n\n### Two\n\ntext")


def test_tables_scroll_in_their_own_box(pen: Pen) -> None:
    """A table of the text has a box of its own."""
    assert '<div class="scroll" tabindex="0"><table>' in pen.paragraphs("| a | b |\n|---|---|\n| 1 | 2 |")


def test_plain_words_for_the_inside_of_links(pen: Pen) -> None:
    """Markup is left out of plain words, and empty mentions bring the title."""
    assert pen.plain("*Read* [](fault:ribbon-cracked) `now`") == "Read Cracked ribbon between boards now"


@pytest.mark.parametrize("payload", PAYLOADS)
def test_hostile_words_are_inert(pen: Pen, payload: str) -> None:
    """Whatever is typed, only our own tags, attributes and link schemes come out, as line and as paragraphs."""
    for html in (
        pen.line(payload),
        pen.paragraphs(payload),
        pen.paragraphs(f"- {payload}\n\n> {payload}\n\n| {payload} |\n|---|\n"),
    ):
        for element in elements(html):
            assert element.tag in ALLOWED_TAGS, html
            assert set(element.attrib) <= ALLOWED_ATTRIBUTES, html
            href = element.attrib.get("href")
            assert href is None or href.startswith(("https://bench.example", "https://", "http://", "../")), html
            assert href is None or "evil" not in href or href.startswith(("http://", "https://")), html


@settings(max_examples=150, deadline=None)
@given(st.text(st.sampled_from("ab1.,;:'\" -+\n()=?%é"), max_size=60))
def test_the_short_way_writes_what_the_parser_writes(text: str) -> None:
    """Plain text skips the Markdown parser; what comes out is the same to the letter."""
    pen = scribe({}).pen("index.html")
    quick_line, quick_block = pen.line(text), pen.paragraphs(text)
    needs, plain = prose._NEEDS_PARSER, prose._PLAIN_PARAGRAPHS
    try:
        prose._NEEDS_PARSER = __import__("re").compile("")
        prose._PLAIN_PARAGRAPHS = __import__("re").compile("(?!)")
        assert " ".join(quick_line.split()) == " ".join(pen.line(text).split())
        assert quick_block == pen.paragraphs(text)
    finally:
        prose._NEEDS_PARSER, prose._PLAIN_PARAGRAPHS = needs, plain
