"""An upper shelf's word on a lower one's entry: the page says whose each field is. No outside reference."""

from __future__ import annotations

import shutil
from pathlib import Path

from benchlore.rendering.site import render
from building import sound_library

SMALL = Path(__file__).resolve().parents[1] / "kb_small"
AMENDMENT = """\
amends: yes
set:
  commonness: rare
  summary: Ours are dry less often.
add:
  fix: [Tell the owner how old it was.]
why: we renew them at every service
"""


def test_the_page_says_whose_word_each_field_is(tmp_path: Path) -> None:
    """Amended fields are named with the shelf that says so, each leading to its place; an entry of one shelf says nothing of it."""
    shelf = tmp_path / "mill-lane"
    (shelf / "faults").mkdir(parents=True)
    (shelf / "faults" / "filter-dried.yaml").write_text(AMENDMENT, "utf-8")
    pages = render(sound_library([SMALL, shelf]))
    page = pages["faults/filter-dried.html"].decode()
    assert "Ours are dry less often." in page and "Tell the owner how old it was." in page
    words = page.partition("<dt>Word of mill-lane</dt>")[2].partition("</dd>")[0]
    assert all(f">{label}</a>" in words for label in ("Summary", "Commonness", "Fix"))
    assert "Seen" not in words
    for anchor in ("summary", "fix"):
        assert f'href="#{anchor}"' in words and f'id="{anchor}"' in page
    assert "Word of" not in pages["faults/ribbon-cracked.html"].decode()


def test_a_shop_stood_in_is_this_shop(tmp_path: Path, monkeypatch: object) -> None:
    """Where the shelf is the folder one stands in, it has no other name than this shop."""
    shop = Path(shutil.copytree(SMALL, tmp_path / "lower"))
    upper = tmp_path / "upper"
    (upper / "faults").mkdir(parents=True)
    (upper / "faults" / "filter-dried.yaml").write_text(AMENDMENT, "utf-8")
    monkeypatch.chdir(upper)  # type: ignore[attr-defined]
    assert "<dt>This shop&#39;s word</dt>" in render(sound_library([shop, Path()]))["faults/filter-dried.html"].decode()
