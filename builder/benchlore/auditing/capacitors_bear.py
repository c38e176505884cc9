"""Each capacitor of the supply bears its node's volts, and a rectifier tube its first capacitor.

Passes: a node of 352 V on a capacitor of 450 V; 47 uF behind a rectifier that allows 60 uF
Fails:  a node of 352 V on a capacitor of 350 V; 100 uF behind the same rectifier
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Capacitors under their volts, and rectifier tubes behind which too large a capacitor stands."""
    for index, node in enumerate(family.supply):
        rating = node.capacitor_rating
        if rating is not None and abs(node.volts.value) > rating.value:
            at = f"supply[{index}].capacitor_rating"
            message = f"node {node.node} stands at {node.volts.text}, more than the capacitor's {rating.text}"
            yield Problem(family.place(at), at, message, "correct the rating or the volts")
    yield from _first_capacitor(family, library)


def _first_capacitor(family: Family, library: Library) -> Iterator[Problem]:
    types = (library.tubes.get(socket.type) for socket in family.tubes)
    rectifier = next((t for t in types if t is not None and t.role == "rectifier"), None)
    limit = rectifier.rating.first_capacitor if rectifier is not None and rectifier.rating else None
    for index, node in enumerate(family.supply):
        if rectifier is None or limit is None or node.fed_from is not None or node.capacitor is None:
            continue
        if node.capacitor.value > limit.value * (1 + 1e-9):
            at = f"supply[{index}].capacitor"
            message = f"{node.capacitor.text} stands behind a {rectifier.title}, which allows {limit.text}"
            yield Problem(
                family.place(at), at, message, "correct the capacitor or the rectifier; a larger one kills the tube"
            )
