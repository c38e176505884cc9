"""The idle block speaks of the tubes that the sockets hold.

Passes: ``idle: {tube: el34, tubes: 2}`` with two sockets of type ``el34``
Fails:  ``idle: {tube: el34, tubes: 4}`` with two sockets of type ``el34``
"""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.entries.family import Family
from benchlore.linking.library import Library
from benchlore.problem import Problem
from benchlore.reckoning.book import Sums


def check(family: Family, library: Library, sums: Sums) -> Iterator[Problem]:
    """Idle blocks whose tube or count is not that of the sockets; output sockets holding no output tube."""
    idle = family.idle
    held = sum(socket.type == idle.tube for socket in family.tubes)
    if held != idle.tubes:
        where = "idle.tubes" if held else "idle.tube"
        yield Problem(
            family.place(where),
            where,
            f"{idle.tubes} {idle.tube} here, but the sockets hold {held}",
            "correct the idle block or the tubes by socket",
        )
    tube = library.tubes.get(idle.tube)
    if (
        tube is not None
        and tube.role != "output"
        and "double" not in tube.construction
        and "triode-pentode" not in tube.construction
    ):
        yield Problem(
            family.place("idle.tube"), "idle.tube", f"{tube.title} is a {tube.role} tube", "name the output tube"
        )
