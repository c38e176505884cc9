"""The drawings of families: places, leads, supply, idle, stages."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import replace
from itertools import combinations

import pytest

from benchlore.drawing.chain import chained, spread_of, supply_chain
from benchlore.drawing.family_idle import family_idle
from benchlore.drawing.fasteners import fastener_views
from benchlore.drawing.leads import lead_views, lettered
from benchlore.drawing.placing import Box, Room, around
from benchlore.drawing.sheet import Drawn
from benchlore.drawing.stages import MOST, stage_blocks
from benchlore.entries.family import Family, Spot
from benchlore.linking.library import Library
from benchlore.quantity import parse_quantity
from drawing.reading_svg import looks, outside, parsed, points, words
from hostile import RAW, poisoned_library

BADGES = ("badge-number", "badge-number-often")


def plain(words: str) -> str:
    """Words as they are."""
    return words


def everything(library: Library, family: Family) -> list[Drawn]:
    """Every drawing of a family."""
    blocks, idle = stage_blocks(library, family), family_idle(library, family)
    return [
        *(v.drawn for v in fastener_views(family, plain)),
        *(v.drawn for v in lead_views(family, plain)),
        supply_chain(family, plain),
        *([blocks.drawn] if blocks else []),
        *([idle] if idle else []),
    ]


def test_nothing_off_the_sheet_and_steady(whole_library: Library) -> None:
    """Every drawing of every family lies on its sheet and comes out alike twice."""
    for family in whole_library.families.values():
        first = everything(whole_library, family)
        assert first == everything(whole_library, family)
        for drawn in first:
            assert outside(drawn.svg) == [], family.id


def test_numbers_are_those_of_the_list(whole_library: Library) -> None:
    """A number stands in the drawing as often as its fastener has places there, and it is its number in the list."""
    for family in whole_library.families.values():
        listed = {item.key: n for n, item in enumerate(family.hardware, 1)}
        drawn: Counter[str] = Counter()
        for places in fastener_views(family, plain):
            numbers = Counter(words(parsed(places.drawn.svg), *BADGES))
            wanted = Counter(
                {str(listed[i.key]): sum(s.view == places.view.view for s in i.spots) for i in family.hardware}
            )
            assert numbers == +wanted, (family.id, places.view.view)
            assert {n.number: n.item.key for n in places.items} == {
                listed[n.item.key]: n.item.key for n in places.items
            }
            drawn += numbers
        assert sum(drawn.values()) == sum(len(item.spots) for item in family.hardware)


def test_badges_are_on_their_place_or_joined_to_it(whole_library: Library) -> None:
    """A number that had to give way is joined by a line to a dot at the very place."""
    for family in whole_library.families.values():
        for places in fastener_views(family, plain):
            root = parsed(places.drawn.svg)
            wide, high = 316.0, 316.0 * places.view.height.value / places.view.width.value
            dots = {(e.get("cx"), e.get("cy")) for e in looks(root, "spot")}
            badges = [(float(e.get("x", "")), float(e.get("y", "")) - 4.5) for e in looks(root, *BADGES)]
            for item in family.hardware:
                for spot in (s for s in item.spots if s.view == places.view.view):
                    x, y = 12 + spot.x / 100 * wide, 12 + spot.y / 100 * high
                    on_it = any(math.hypot(x - bx, y - by) < 0.2 for bx, by in badges)
                    beside = any(math.hypot(x - float(dx or 0), y - float(dy or 0)) < 0.2 for dx, dy in dots)
                    assert on_it or beside, (family.id, item.key)


def test_earth_and_often_differ_in_shape(whole_library: Library) -> None:
    """What carries the protective earth is a square, what is often loose is filled: neither is told by colour alone."""
    family = next(f for f in whole_library.families.values() if any(i.earth and i.spots for i in f.hardware))
    roots = [parsed(places.drawn.svg) for places in fastener_views(family, plain)]
    squares = sum(e.tag == "rect" for root in roots for e in looks(root, "badge", "badge-often"))
    assert squares == sum(len(i.spots) for i in family.hardware if i.earth)
    filled = sum(len(words(root, "badge-number-often")) for root in roots)
    assert filled == sum(len(i.spots) for i in family.hardware if i.found_loose in ("nearly every one", "common"))


def family_with_pair(library: Library, far: float, apart: str) -> Family:
    """A family whose first pair lies ``far`` hundredths of its view apart."""
    family = next(f for f in library.families.values() if f.lead_dress[0].ends and f.views)
    ends = (Spot(view=family.views[0].view, x=30, y=50), Spot(view=family.views[0].view, x=30 + far, y=50))
    pair = replace(family.lead_dress[0], ends=ends, apart=parse_quantity(apart, "length"))
    return replace(family, lead_dress=(pair, *family.lead_dress[1:]))


@pytest.mark.parametrize(("far", "close"), [(40.0, False), (2.0, True), (0.0, True)])
def test_too_close_is_drawn_too_close(whole_library: Library, far: float, close: bool) -> None:
    """The bar is as long, to scale, as the wires must lie apart: it passes the other end where they lie closer."""
    family = family_with_pair(whole_library, far, "40 mm")
    leads = lead_views(family, plain)[0]
    root = parsed(leads.drawn.svg)
    bar = looks(root, "too-close" if close else "wanted-apart")[0]
    long = math.hypot(*(float(bar.get(f"{a}2", "")) - float(bar.get(f"{a}1", "")) for a in "xy"))
    assert long == pytest.approx(0.040 * 316 / leads.view.width.value, abs=0.2)
    pair = lettered(family)[family.lead_dress[0].key]
    assert pair.too_close is close
    assert pair.drawn == pytest.approx(far / 100 * leads.view.width.value)
    tagged = [w for w in words(root, "close-words", "badge-number") if w.startswith("A")]
    assert tagged == [f"A {pair.words}" if close else "A"]
    assert ("\u2715" in tagged[0]) is close


def test_letters_are_those_of_the_list(whole_library: Library) -> None:
    """Each pair with a place is lettered once in each view where it has one."""
    for family in whole_library.families.values():
        letters = {p.key: chr(ord("A") + n) for n, p in enumerate(family.lead_dress)}
        for leads in lead_views(family, plain):
            drawn = [w[0] for w in words(parsed(leads.drawn.svg), "close-words", "badge-number")]
            wanted = [letters[p.key] for p in family.lead_dress if any(e.view == leads.view.view for e in p.ends)]
            assert drawn == wanted, family.id


def test_supply_hangs_below_what_feeds_it(whole_library: Library) -> None:
    """Every node stands once, below the node that feeds it, with its volts inside its spread's band."""
    for family in whole_library.families.values():
        links = chained(family.supply)
        order = [link.node.node for link in links]
        assert sorted(order) == sorted(n.node for n in family.supply)
        for link in links:
            if link.parent is not None:
                assert link.parent.node == link.node.fed_from
                assert order.index(link.parent.node) < order.index(link.node.node)
        root = parsed(supply_chain(family, plain).svg)
        bands, marks = looks(root, "band"), looks(root, "expected")
        assert len(bands) == len(family.supply) + 1  # one more in the legend
        for band, mark in zip(bands, marks, strict=True):
            left = float(band.get("x", ""))
            assert left <= float(mark.get("x1", "")) <= left + float(band.get("width", ""))


def test_supply_branches_and_rings(whole_library: Library) -> None:
    """Two nodes fed from one get a lane each; nodes that feed each other in a ring are drawn all the same."""
    family = next(f for f in whole_library.families.values() if len(f.supply) >= 4)
    a, b, c, d = family.supply[:4]
    branched = replace(
        family, supply=(a, replace(b, fed_from=a.node), replace(c, fed_from=a.node), replace(d, fed_from=c.node))
    )
    assert [(link.node.node, link.lane) for link in chained(branched.supply)] == [
        (a.node, 0),
        (b.node, 0),
        (c.node, 1),
        (d.node, 1),
    ]
    assert outside(supply_chain(branched, plain).svg) == []
    ring = (replace(a, fed_from=b.node), replace(b, fed_from=a.node))
    assert sorted(link.node.node for link in chained(ring)) == sorted((a.node, b.node))


def test_spread_of_a_negative_node(whole_library: Library) -> None:
    """The spread of a bias node runs from the more negative end."""
    node = replace(
        next(iter(whole_library.families.values())).supply[0],
        volts=parse_quantity("-50 V", "voltage"),
        spread=parse_quantity("10 %", "ratio"),
    )
    assert spread_of(node) == pytest.approx((-55, -45))


def test_idle_point_and_range(whole_library: Library) -> None:
    """This amp's point lies on its measured volts, and its range spans its share as met."""
    for family in whole_library.families.values():
        drawn = family_idle(whole_library, family)
        assert drawn is not None
        root = parsed(drawn.svg)
        point = looks(root, "point")[0]
        curve = points(looks(root, "limit")[0])
        x, y = float(point.get("cx", "")), float(point.get("cy", ""))
        at = min(curve, key=lambda p: abs(p[0] - x))
        share = family.idle.stock_share
        if getattr(share, "high", 2.0) < 0.95:
            assert y > at[1] - 3, family.id  # below the limit on the sheet


def test_symptoms_start_where_they_say(whole_library: Library) -> None:
    """Each number of the list stands at every stage of the family in which the symptom's entry says it starts."""
    for family in whole_library.families.values():
        blocks = stage_blocks(whole_library, family)
        assert blocks is not None and len(blocks.starts) <= MOST
        drawn = Counter(words(parsed(blocks.drawn.svg), "badge-number"))
        for start in blocks.starts:
            inside = [s for s in family.stages if s in start.symptom.starts_in]
            assert [stage.id for stage in start.stages] == inside and inside
            assert drawn[str(start.number)] == len(inside)


def test_hostile_words_stay_words(whole_library: Library) -> None:
    """Words that try to be markup come out as the same words: no element and no attribute is made of them."""
    poisoned = poisoned_library(whole_library, " ".join(RAW)[:400])
    tags, attributes = set(), set()
    for family in list(poisoned.families.values())[:3]:
        for drawn in everything(poisoned, family):
            for element in parsed(drawn.svg).iter():
                tags.add(element.tag)
                attributes.update(element.keys())
    assert tags <= {"svg", "title", "desc", "line", "rect", "circle", "polyline", "polygon", "path", "text"}
    assert attributes <= {
        "class",
        "viewBox",
        "role",
        "points",
        "d",
        "text-anchor",
        "width",
        "height",
        "r",
        "cx",
        "cy",
        "x",
        "y",
        "x1",
        "y1",
        "x2",
        "y2",
    }


def test_room_is_found_without_overlap() -> None:
    """While there is room, nothing lies on anything; when there is none, something is still placed."""
    room = Room(100, 100)
    boxes = [room.place(around(50, 50, 18, 18, (0, 19, 28, 38))) for _ in range(9)]
    assert all(a.common(b) == 0 for a, b in combinations(boxes, 2))
    assert boxes[0] == Box(50, 50, 18, 18)
    assert Box(50, 50, 10, 10).common(Box(50, 50, 40, 40)) == 100
    crowded = Room(20, 20)
    assert len({crowded.place(around(10, 10, 18, 18, (0,))) for _ in range(3)}) == 1
