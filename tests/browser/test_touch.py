"""Links and buttons that stand on a line of their own are 44 px high to the touch, as WCAG 2.1 asks (2.5.5, from memory)."""

from __future__ import annotations

from pathlib import Path

import pytest

from watching import Opener

ALONE = ".kicker > a, .cards-rows .card-title > a, .cards-index .card-title > a, .list-ways > li > a:first-child, .links > li > a, button, summary, .action, .contents a, .foot-links a, .ways a"
TOO_SMALL = """all => all.filter(one => one.checkVisibility()).filter(one => {
  one.scrollIntoView({ block: "center", behavior: "instant" });
  const box = one.getBoundingClientRect(), first = one.getClientRects()[0];
  const x = first.left + Math.min(first.width / 2, 20), y = (box.top + box.bottom) / 2;
  if (x < 0 || x > window.innerWidth || y < 0 || y > window.innerHeight) return false;
  const hits = [-20, 20].filter(by => { const at = document.elementFromPoint(x, y + by); return at && (one.contains(at) || at.contains(one) && at.closest("a, button, summary, label") === one); });
  return box.height < 44 && hits.length < 2;
}).map(one => one.outerHTML.slice(0, 120))"""
PAGES = ("families/gantry-100.html", "faults/filter-dried.html", "symptoms/hum-steady-low.html", "procedures/making-safe.html", "tubes/el84.html", "stages/spring-reverb.html", "index.html")


@pytest.mark.parametrize("path", PAGES)
def test_a_thumb_hits_what_stands_alone(whole_site: Path, watch: Opener, path: str) -> None:
    """Twenty pixels above and below its middle the same link answers."""
    page = watch(whole_site, width=360, height=740, has_touch=True).open(path)
    assert page.eval_on_selector_all(ALONE, TOO_SMALL) == []
