"""Every page of the small site: whole, linked, inert, and cautious."""

from __future__ import annotations

import re
from functools import cache
from posixpath import dirname, normpath
from urllib.parse import unquote

import html5lib
import pytest

from benchlore.addresses import PLURALS, closing_of, page_of
from benchlore.entries.fields import Code, table_of
from benchlore.linking.library import Library
from benchlore.rendering.pages import POLICY, PageProblem, Plan, environment, page_bytes
from benchlore.rendering.prose import scribe
from benchlore.rendering.site import render
from benchlore.rendering.views.page import PageView

WITHOUT_SECTION = {"views"}  # drawn, not listed


@cache
def parsed(content: bytes):
    """The tree of a page, and what a strict parser found wrong with it."""
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    tree = parser.parse(content.decode("utf-8"))
    return tree, parser.errors


def pages(files: dict[str, bytes]) -> dict[str, bytes]:
    """The pages among the files."""
    return {path: content for path, content in files.items() if path.endswith(".html")}


def anchors(tree) -> list[str]:
    """Every id of a page."""
    return [e.attrib["id"] for e in tree.iter() if isinstance(e.tag, str) and "id" in e.attrib]


def test_a_page_for_everything(small_library: Library, small_files: dict[str, bytes]) -> None:
    """Each entry of a kind with pages has one; lists, closing-up lists and the standing pages are there."""
    wanted = {page_of(kind, id) for kind in PLURALS for id in small_library.entries[kind]}
    wanted |= {closing_of(id) for id in small_library.families}
    wanted |= {
        "index.html",
        "fasteners.html",
        "glossary.html",
        "findings.html",
        "about.html",
        "safety.html",
        "fields.html",
    }
    assert wanted <= set(small_files)


def test_pages_parse_without_error(small_files: dict[str, bytes]) -> None:
    """Outside check: html5lib (WHATWG parsing) reports no parse error on any page."""
    for path, content in pages(small_files).items():
        assert parsed(content)[1] == [], path


def test_no_anchor_stands_twice(small_files: dict[str, bytes]) -> None:
    """An id names one place of a page."""
    for path, content in pages(small_files).items():
        ids = anchors(parsed(content)[0])
        assert len(ids) == len(set(ids)), (path, sorted({i for i in ids if ids.count(i) > 1}))


def broken_links(files: dict[str, bytes]) -> list[str]:
    """Links that lead to no file, or to no anchor of it."""
    trees = {path: parsed(content)[0] for path, content in pages(files).items()}
    ids = {path: set(anchors(tree)) for path, tree in trees.items()}
    broken = []
    for path, tree in trees.items():
        for element in tree.iter():
            for name in ("href", "src"):
                target = element.attrib.get(name) if isinstance(element.tag, str) else None
                if target is None or target.startswith(("http://", "https://", "data:")):
                    continue
                file, _, anchor = target.partition("#")
                file = file.split("?")[0]
                file = normpath(f"{dirname(path)}/{unquote(file)}").removeprefix("/") if file else path
                if file not in files:
                    broken.append(f"{path}: {target}")
                elif anchor and "=" not in anchor and unquote(anchor) not in ids.get(file, ()):
                    broken.append(f"{path}: {target}: no such anchor")
    return broken


def test_no_broken_link_or_anchor(small_files: dict[str, bytes]) -> None:
    """Every link leads to a file of the site and to an anchor that is there."""
    assert broken_links(small_files) == []


def test_links_are_relative_and_stay_inside(small_files: dict[str, bytes]) -> None:
    """No link starts at a root or with two slashes; the site works from any folder."""
    for path, content in pages(small_files).items():
        for target in re.findall(r'(?:href|src)="([^"]*)"', content.decode()):
            assert not target.startswith(("/", "\\")), (path, target)
            assert target.count("../") <= path.count("/"), (path, target)


def test_policy_on_every_page(small_files: dict[str, bytes]) -> None:
    """The content-security policy measured to work from disk, with the one Trusted Types policy of the search."""
    for path, content in pages(small_files).items():
        metas = [e for e in parsed(content)[0].iter("meta") if e.attrib.get("http-equiv") == "Content-Security-Policy"]
        assert [m.attrib["content"] for m in metas] == [POLICY], path
    assert "require-trusted-types-for 'script'; trusted-types benchlore-shard" in POLICY
    assert (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; form-action 'none'; base-uri 'none'"
        in POLICY
    )


def live_parts(content: bytes) -> list[str]:
    """Whatever could run or be fetched, other than our own scripts, sheets and icon."""
    found = []
    for element in parsed(content)[0].iter():
        if not isinstance(element.tag, str):
            continue
        if element.tag == "script" and (
            not re.fullmatch(r"(\.\./)*assets/[a-z0-9/-]+\.js", element.attrib.get("src", "")) or element.text
        ):
            found.append(f"script {element.attrib} {element.text}")
        if element.tag in (
            "iframe",
            "object",
            "embed",
            "base",
            "style",
            "img",
            "video",
            "audio",
            "applet",
            "frame",
            "template",
            "noscript",
        ):
            found.append(element.tag)
        for name, value in element.attrib.items():
            if str(name).lower().startswith("on") or name in (
                "style",
                "srcdoc",
                "formaction",
                "action",
                "ping",
                "integrity",
            ):
                found.append(f"{element.tag} {name}")
            if (
                str(name).endswith(("href", "src"))
                and re.match(r"\s*[a-z0-9+.-]+:", str(value), re.I)
                and not re.match(r"https?://", str(value))
            ):
                found.append(f"{element.tag} {name}={value}")
    return found


def test_nothing_inline(small_files: dict[str, bytes]) -> None:
    """No inline script, style or handler on any page, and nothing of another's."""
    for path, content in pages(small_files).items():
        assert live_parts(content) == [], path


def test_scripts_are_classic_deferred_and_without_integrity(small_files: dict[str, bytes]) -> None:
    """`integrity`, modules and `async` do not work from disk."""
    for content in pages(small_files).values():
        for script in parsed(content)[0].iter("script"):
            assert set(script.attrib) == {"defer", "src"}


def test_outside_links_send_no_referrer(small_files: dict[str, bytes]) -> None:
    """A link to the web is http(s), marked as outside, and sends no referrer."""
    seen = 0
    for path, content in pages(small_files).items():
        for link in parsed(content)[0].iter("a"):
            if "://" in link.attrib.get("href", ""):
                seen += 1
                assert link.attrib["href"].startswith(("https://", "http://")), path
                assert (
                    link.attrib["rel"] == "noreferrer noopener external"
                    and link.attrib["referrerpolicy"] == "no-referrer"
                )
    assert seen


def test_every_field_that_is_written_has_its_anchor(small_library: Library, small_files: dict[str, bytes]) -> None:
    """A field's section carries the field's name with hyphens, so that search can open it."""
    for kind in PLURALS:
        for id, entry in small_library.entries[kind].items():
            ids = set(anchors(parsed(small_files[page_of(kind, id)])[0]))
            for name, field in table_of(type(entry)).items():
                if (
                    getattr(entry, name) not in (None, False, (), {})
                    and name not in WITHOUT_SECTION
                    and not _folded(kind, name)
                ):
                    assert field.anchor in ids, (kind, id, name)


def _folded(kind: str, name: str) -> bool:
    """Fields that stand inside another's section: a calculator's algebra is its working."""
    return (
        (kind == "calculator" and name in ("group", "let", "solve", "drawing"))
        or (kind == "stage" and name == "group")
        or (kind == "tube" and name == "judged_by")
    )


def test_item_anchors(small_files: dict[str, bytes]) -> None:
    """Items with keys are found by section and key."""
    ids = set(anchors(parsed(small_files["families/tarn-15.html"])[0]))
    assert {
        "weak-points-ribbon-cracked",
        "hardware-pot-nuts",
        "lead-dress-heater-v1",
        "lead-dress-bias-lead",
        "changes-bleeder",
        "variants-b",
    } <= ids
    assert "checks-ripple" in anchors(parsed(small_files["faults/filter-dried.html"])[0])
    assert "2025-03-04-tarn-15" in anchors(parsed(small_files["findings/2025.html"])[0])
    assert "moor-60-2024-11-30" in anchors(parsed(small_files["findings.html"])[0])


def test_former_ids_point_on(small_files: dict[str, bytes]) -> None:
    """A former id leaves a page that points to the new one; a former term leaves its anchor."""
    page = small_files["families/tarn-twelve.html"].decode()
    assert 'href="../families/tarn-15.html"' in page and 'content="0; url=../families/tarn-15.html"' in page
    assert "bias-old" in anchors(parsed(small_files["glossary.html"])[0])


def test_findings_stand_by_year(small_files: dict[str, bytes]) -> None:
    """The list names every job in a line and leads to its year; a finding whose id has no day stands in the list in full."""
    listed = small_files["findings.html"].decode()
    assert 'href="findings/2025.html#2025-03-04-tarn-15"' in listed and "plus end to chassis" not in listed
    assert "plus end to chassis" in small_files["findings/2025.html"].decode()
    assert "Nothing wrong was found." in listed


def test_cautions_are_on_their_pages(small_library: Library, small_files: dict[str, bytes]) -> None:
    """Every caution of an entry stands on its page, in a caution box and in words."""
    for kind in PLURALS:
        for id, entry in small_library.entries[kind].items():
            tree = parsed(small_files[page_of(kind, id)])[0]
            boxes = ["".join(e.itertext()) for e in tree.iter("div") if "caution" in e.attrib.get("class", "").split()]
            for caution in getattr(entry, "cautions", ()):
                assert any(caution.hazard in box and caution.words in box for box in boxes), (kind, id)


def test_live_steps_say_so(small_files: dict[str, bytes]) -> None:
    """A step with power on carries its warning and the words `power on`."""
    page = small_files["procedures/idle-measuring.html"].decode()
    assert page.count("power on</span>") == 2
    assert "290 V on pins 5 and 6 of both output sockets" in page


def test_prefilled_sums(small_files: dict[str, bytes]) -> None:
    """A family's page leads to the sum with this amp's own figure in the fragment."""
    page = small_files["families/tarn-15.html"].decode()
    assert 'href="../calculators/resistors-parallel.html#one=15k"' in page


def test_shop_links_are_filled_and_checked(small_files: dict[str, bytes]) -> None:
    """An RFC 6570 template is filled from the entry; the expansion is a web link."""
    page = small_files["families/tarn-15.html"].decode()
    assert 'href="https://bench.example/load?plate_volts=290%20V&amp;id=tarn-15"' in page


def test_fault_page_lists_its_families(small_files: dict[str, bytes]) -> None:
    """A fault's page says which families have it, and how often."""
    page = small_files["faults/filter-dried.html"].decode()
    assert "Moor 60" in page and "Tarn 15" in page and "comes with" in page and "now and then" in page
    assert "the first can dries out" in page  # what is special there


def test_same_entries_same_bytes(small_library: Library) -> None:
    """Rendering twice gives the same bytes."""
    assert render(small_library) == render(small_library)


def test_fields_page_names_every_field(small_files: dict[str, bytes]) -> None:
    """The reference of fields comes from the tables and misses none."""
    from benchlore.entries.kinds import KINDS

    page = small_files["fields.html"].decode()
    for kind, record in KINDS.items():
        for name, field in table_of(record).items():
            assert f'id="{kind}-{field.anchor}-field"' in page, (kind, name)
            assert isinstance(field.type, Code) or f"<code>{name}</code>" in page


def test_a_template_that_asks_for_what_is_not_there(small_library: Library) -> None:
    """A missing name is the builder's mistake, said with template and line."""
    plan = Plan("x.html", (), lambda here: PageView("x.html", "x", "x", template="pointer.html", extra=None))
    with pytest.raises(PageProblem, match=r"pointer\.html:\d+"):
        page_bytes(plan, small_library, scribe(small_library.entries), environment())


def test_an_empty_library_has_a_site() -> None:
    """A shelf without entries still gives a first page, safety and fields."""
    from benchlore.linking.library import library_of

    files = render(library_of([], {}))
    assert {"index.html", "safety.html", "fields.html"} <= set(files)
    assert broken_links(files) == []


def test_ways_of_asking_are_folded(small_files: dict[str, bytes]) -> None:
    """How it is asked for stands shut near the foot of the entry's page, below every caution, and on no list."""
    tree, _ = parsed(small_files["faults/filter-dried.html"])
    (place,) = [e for e in tree.iter() if e.attrib.get("id") == "asked"]
    (fold,) = place
    assert fold.tag == "details" and "open" not in fold.attrib
    assert [" ".join(part.itertext()) for part in fold] == ["Also asked for as", "growls like a lorry in the yard · murmur left when the knobs are shut"]
    whole = small_files["faults/filter-dried.html"].decode()
    assert whole.count("lorry") == 1 and whole.index("lorry") > whole.rindex('class="part')
    assert b"bottles" not in small_files["glossary.html"]


HEAVIEST = {"families": 168_000, "suspects.html": 156_000, "add.html": 250_000, "calculators": 192_000, "job.html": 400_000, "fields.html": 350_000}


def test_page_weight(small_files: dict[str, bytes]) -> None:
    """A page with its sheets and scripts stays under 150 KB, one that computes under its own figure; the search index is apart."""
    for path, content in pages(small_files).items():
        linked = re.findall(r'(?:href|src)="(?:\.\./)*(assets/[^"]+\.(?:css|js))"', content.decode())
        weight = len(content) + sum(len(small_files[asset]) for asset in linked)
        assert weight < HEAVIEST.get(path.split("/")[0], 150_000), (path, weight)
