"""Where a shop's own shelf amends the shelf below, the page says whose word each field is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from benchlore.linking.library import Library
from benchlore.rendering.site import render
from building import site_files, sound_library, written

SMALL = Path(__file__).resolve().parents[1] / "kb_small"
FAMILY = """amends: yes
why: measured on four of them <b>here</b>
set:
  noise: 2 mV
add:
  test_notes: [Play the low E for a minute.]
  hardware:
    - {key: handle, what: handle, where: top, count: 2, drive: 10 mm socket, how_tight: hard, found_loose: common, recheck: every service}
retire:
  how_to_tell: [Grey cloth with a blue thread]
"""
TERM = "amends: yes\nwhy: we say it so\nset: {meaning: What holds a grid down.}\n"


@pytest.fixture(scope="module")
def amended(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """The small shelf under a shop's own that amends a family and a term."""
    shop = tmp_path_factory.mktemp("shelves") / "our-bench"
    for path, text in (("families/tarn-15.yaml", FAMILY), ("terms/bias.yaml", TERM)):
        (shop / path).parent.mkdir(parents=True, exist_ok=True)
        (shop / path).write_text(text)
    return sound_library([SMALL, shop])


def test_each_amended_section_says_whose_word_it_is(amended: Library) -> None:
    """Set, added to and shortened fields name the shelf, what came or went, and why; nothing of it is markup."""
    page = render(amended)["families/tarn-15.html"].decode()
    said = "measured on four of them &lt;b&gt;here&lt;/b&gt;"
    assert f'<p class="whose">set by the shelf <b>our-bench</b>: {said}</p>' in page
    assert f"added to by the shelf <b>our-bench</b>, with handle: {said}" in page
    assert f"added to by the shelf <b>our-bench</b>, with Play the low E for a minute: {said}" in page
    assert f"shortened by the shelf <b>our-bench</b>, without Grey cloth with a blue thread: {said}" in page
    assert "All else on this page is the word of the shelf kb_small." in page
    assert page.count('class="whose"') == 4


def test_a_term_says_so_on_its_card(amended: Library) -> None:
    """Kinds that share a page say it beside the entry."""
    page = render(amended)["glossary.html"].decode()
    assert "meaning set by the shelf <b>our-bench</b>: we say it so" in page


def test_pages_of_one_shelf_say_nothing(small_files: dict[str, bytes]) -> None:
    """Where nothing was amended there is no such line."""
    assert not any(b"Whose word" in content for path, content in small_files.items() if path.endswith(".html"))


def test_it_stands_on_paper_too(amended: Library, chromium: Any, tmp_path: Path) -> None:
    """In print whose word a field is stays beside it, and so does the list at the end."""
    page = chromium.new_page()
    page.goto((written(site_files(amended), tmp_path) / "families/tarn-15.html").as_uri())
    page.emulate_media(media="print")
    assert page.locator(".whose:visible").count() == 4 and page.locator("#amended").is_visible()
    page.close()
