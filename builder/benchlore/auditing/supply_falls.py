"""Volts fall along the dropping chain, and each dropping resistor bears what it drops.

Passes: node B of 296 V fed from A of 352 V through 4k7 rated 3 W
Fails:  node B of 360 V fed from A of 352 V; or 4k7 rated 0.5 W between them
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.auditing.physics import ask, in_si, known
from benchlore.entries.family import Family, Node
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Nodes above the one that feeds them, and resistors run above their rating."""
    nodes = {node.node: node for node in family.supply}
    for index, node in enumerate(family.supply):
        source = nodes.get(node.fed_from or "")
        if source is None:
            continue
        if abs(node.volts.value) >= abs(source.volts.value):
            at = f"supply[{index}].volts"
            message = f"node {node.node} ({node.volts.text}) is not below node {source.node} ({source.volts.text}) that feeds it"
            yield Problem(family.place(at), at, message, "correct one of the two, or fed_from")
        else:
            yield from _overloaded(family, index, node, source, sums)


def _overloaded(family: Family, index: int, node: Node, source: Node, sums: Sums) -> Iterator[Problem]:
    through, rating = known(node.through), node.through_rating
    if through is None or rating is None or through.value <= 0:
        return
    drop = source.volts.value - node.volts.value
    given = {
        "from_volts": in_si(source.volts.value, "V"),
        "to_volts": in_si(node.volts.value, "V"),
        "current": in_si(drop / through.value, "A"),
        "fitted": in_si(through.value, "ohm"),
    }
    found = ask(sums, "dropping-resistor", given, "fitted_power")
    if found and found[0] > rating.value:
        at = f"supply[{index}].through_rating"
        message = f"{through.text} dropping {drop:.0f} V turns {found[0]:.2g} W into heat, more than its {rating.text}"
        yield Problem(family.place(at), at, message, "correct the rating, the resistor or the volts")
