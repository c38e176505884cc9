"""Names of entries' files, made where none is given. ``tests/browser/test_add_rules.py`` holds the pages to the same names."""

from __future__ import annotations

import pytest

from benchlore.reading.files import NAME
from benchlore.sharing.naming import id_for

JOB = {"date": "2026-11-25", "family": "lapwing-22", "technician": "RK"}


@pytest.mark.parametrize(
    ("given", "taken", "id"),
    [
        (JOB, [], "2026-11-25-lapwing-22-rk"),
        (JOB, ["2026-11-25-lapwing-22-rk"], "2026-11-25-lapwing-22-rk-2"),
        ({**JOB, "technician": ""}, [], "2026-11-25-lapwing-22-a"),
        ({**JOB, "technician": ""}, ["2026-11-25-lapwing-22-a"], "2026-11-25-lapwing-22-b"),
        ({"date": "2026-11-25"}, [], "2026-11-25-a"),
        ({}, [], ""),
        ({"technician": "RK"}, [], ""),
    ],
)
def test_a_finding_is_called_after_day_family_and_initials(given: dict[str, str], taken: list[str], id: str) -> None:
    """As the README, the form and the job sheet write them."""
    assert id_for("finding", given, taken) == id


def test_other_entries_are_called_after_their_title() -> None:
    """Small letters, digits and hyphens; a number where the name is taken."""
    assert id_for("fault", {"title": "Ribbon cracked, again!"}, []) == "ribbon-cracked-again"
    assert id_for("fault", {"title": "Ribbon cracked"}, ["ribbon-cracked", "ribbon-cracked-2"]) == "ribbon-cracked-3"
    assert id_for("fault", {"title": ["a", "list"]}, []) == ""


def test_long_names_are_cut_and_keep_the_initials() -> None:
    """Never over the length of an id, however often it is taken, and never without who signs."""
    taken: set[str] = set()
    for _ in range(120):
        id = id_for("finding", {**JOB, "family": "a" * 58}, taken)
        assert len(id) <= 60 and NAME.fullmatch(id) and "-rk" in id and id not in taken
        taken.add(id)
