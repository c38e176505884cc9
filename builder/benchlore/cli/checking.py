"""Shelves checked for a command that needs them sound."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.cli.options import keep
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain_of
from benchlore.meter import CHECKING

if TYPE_CHECKING:
    from benchlore.pipeline import Checked


def sound(shelves: Sequence[Path], doing: str, quiet: bool) -> Checked | None:
    """The shelves checked, under a bar that says ``doing``; None, with every error said, where they are not sound."""
    from benchlore.pipeline import check

    with waiting(doing, quiet, CHECKING) as meter:
        checked = check(shelves, keep(), meter=meter)
    if checked.sound:
        return checked
    complain_of(checked.errors)
    return None
