"""An entry that a shop's shelf leaves out: no page is lost, no link dangles, and whose word it is stands there with its reason.

No outside reference: the promise is that of "Amending a lower shelf" in ``kb/README.md``.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from benchlore.keeping import Keep
from benchlore.pipeline import build, check

SMALL = Path(__file__).resolve().parents[1] / "kb_small"
EVERY = sorted(p.relative_to(SMALL).as_posix() for p in SMALL.glob("*/*.yaml"))


def retire(shop: Path, path: str, reason: str = "never met <b>here</b>") -> Path:
    """Leave an entry out of the book by a file on the upper shelf."""
    file = shop / path
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(f'amends: yes\nretire: {{entry: "{reason}"}}\n')
    return file


def dangling(site: Path) -> list[str]:
    """Links inside the site that lead to no file."""
    return [
        f"{page.relative_to(site)} -> {target}"
        for page in site.rglob("*.html")
        for target in re.findall(r'href="([^"#?:]+)["#?]', page.read_text("utf-8"))
        if not (page.parent / target).exists()
    ]


@pytest.mark.no_cover
def test_any_entry_may_be_left_out(tmp_path: Path) -> None:
    """One after the other: the book builds, no link dangles, and the site that was kept is the one of a first build."""
    shop, keep = tmp_path / "our-bench", Keep(tmp_path / "keep")
    shop.mkdir()
    for path in EVERY:
        file = retire(shop, path)
        built = build([SMALL, shop], tmp_path / "site", keep)
        assert built.published is not None, f"{path}: {built.checked.problems}"
        assert dangling(tmp_path / "site") == [], path
        file.unlink()
    build([SMALL, shop], tmp_path / "site", keep)
    build([SMALL, shop], tmp_path / "first", Keep())
    kept, first = (
        {p.relative_to(tmp_path / of): p.read_bytes() for p in (tmp_path / of).rglob("*") if p.is_file()}
        for of in ("site", "first")
    )
    assert kept == first, "what was left out is back"


def test_the_reason_is_on_the_page_and_in_the_list(tmp_path: Path) -> None:
    """At the entry's own address and in the list of its kind; of a term in the glossary; nothing of it is markup; a new reason is told."""
    shop, keep, site = tmp_path / "our-bench", Keep(tmp_path / "keep"), tmp_path / "site"
    retire(shop, "faults/filter-dried.yaml")
    retire(shop, "terms/bias.yaml")
    build([SMALL, shop], site, keep)
    said = "left out by the shelf <b>our-bench</b>: never met &lt;b&gt;here&lt;/b&gt;"
    page = (site / "faults/filter-dried.html").read_text("utf-8")
    words = "The shelf <b>our-bench</b> leaves this out of the book: never met &lt;b&gt;here&lt;/b&gt;"
    assert f"<p>{words}</p>" in page and "<h1" in page and "Dried-out filter capacitor" in page
    assert f'<b><a href="faults/filter-dried.html">Dried-out filter capacitor</a></b> {said}' in (site / "faults.html").read_text("utf-8")
    glossary = (site / "glossary.html").read_text("utf-8")
    assert f"<b>bias</b> {said}" in glossary and 'id="bias"' in glossary
    retire(shop, "terms/bias.yaml", "we say it otherwise")
    retire(shop, "faults/filter-dried.yaml", "it is two faults")
    build([SMALL, shop], site, keep)
    assert "we say it otherwise" in (site / "glossary.html").read_text("utf-8")
    assert "it is two faults" in (site / "faults/filter-dried.html").read_text("utf-8")
    assert "it is two faults" in (site / "faults.html").read_text("utf-8")


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("retire: {entry: }", "retire.entry"),
        ("retire: {entry: yes}", "retire.entry"),
        ("retire: {entry: [a]}", "retire.entry"),
        ("retire: {how_to_tell: [Grey cloth with a blue thread]}", "retire.how_to_tell"),
        ("retire: {how_to_tell: [Grey cloth with a blue thread]}\nwhy: ''", "retire.how_to_tell"),
    ],
)
def test_what_is_left_out_needs_a_reason(tmp_path: Path, text: str, where: str) -> None:
    """The problem stands at the field, with how to mend it."""
    shop = Path(shutil.copytree(SMALL, tmp_path / "below")).parent / "our-bench"
    (shop / "families").mkdir(parents=True)
    (shop / "families/tarn-15.yaml").write_text(f"amends: yes\n{text}\n")
    checked = check([tmp_path / "below", shop], Keep())
    problems = [p for p in checked.problems if p.where == where and p.message == "says no reason"]
    assert len(problems) == 1 and problems[0].place.line == 2
    assert checked.sound == (where != "retire.entry"), "of single items it is a warning"
