"""The shipped shelves' site: what holds for the small one holds for every page of it."""

from __future__ import annotations

from test_pages import broken_links, live_parts, pages, parsed

from benchlore.rendering.pages import POLICY


def test_links_policy_and_nothing_inline(whole_files: dict[str, bytes]) -> None:
    """No broken link or anchor, the policy on each page, nothing live, no anchor twice, no parse error (html5lib)."""
    assert broken_links(whole_files) == []
    for path, content in pages(whole_files).items():
        tree, errors = parsed(content)
        assert errors == [], path
        assert live_parts(content) == [], path
        assert POLICY in [e.attrib.get("content") for e in tree.iter("meta")], path
        ids = [e.attrib["id"] for e in tree.iter() if isinstance(e.tag, str) and "id" in e.attrib]
        assert len(ids) == len(set(ids)), (path, sorted({i for i in ids if ids.count(i) > 1}))
