"""A meter says how much of the whole is done, and never goes back. No outside reference: its own promise."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from benchlore.keeping import Keep
from benchlore.meter import BUILDING, CHECKING, PAGES, READ, Meter, unwatched
from benchlore.pipeline import build, check

SMALL = Path(__file__).resolve().parent / "kb_small"


class Noted(Meter):
    """A meter that notes every share it was at."""

    def begin(self, phase: str, of: int) -> None:
        super().begin(phase, of)
        self.note(phase)

    def step(self, steps: int = 1) -> None:
        super().step(steps)
        self.note(self.phase)

    def note(self, phase: str) -> None:
        noted: list[tuple[str, float | None]] = self.__dict__.setdefault("noted", [])
        noted.append((phase, self.share))


def test_shares() -> None:
    """Phases count by their weight, steps within them evenly; nothing is over 1, and nothing is known before the first phase."""
    meter = Meter({READ: 10, PAGES: 30})
    assert meter.share is None and unwatched().share is None
    meter.begin(READ, 5)
    meter.step()
    assert meter.share == pytest.approx(0.05)
    meter.begin(PAGES, 0)
    assert meter.share == pytest.approx(0.25), "a phase without steps has only begun"
    meter.begin(PAGES, 3)
    meter.step(2)
    assert meter.share == pytest.approx(0.75)
    meter.step(9)
    assert meter.share == 1


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_build_goes_forward_through_all_its_phases(tmp_path: Path, jobs: int) -> None:
    """Read, proved, checked, indexed, made: in this order, never back, and whole at the end; the same when nothing is to be done."""
    shelf = Path(shutil.copytree(SMALL, tmp_path / "shelf"))
    for _ in range(2):
        meter = Noted(BUILDING)
        build([shelf], tmp_path / "site", Keep(tmp_path / "kept"), jobs, meter)
        shares = [share for _, share in meter.__dict__["noted"] if share is not None]
        assert shares == sorted(shares)
    meter = Noted(BUILDING)
    build([shelf], tmp_path / "other", Keep(), jobs, meter)
    noted = meter.__dict__["noted"]
    assert list(dict.fromkeys(phase for phase, _ in noted)) == list(BUILDING)
    assert meter.share == pytest.approx(1)
    assert len({share for _, share in noted}) > 20, "a bar that moves"


def test_an_audit_ends_whole(tmp_path: Path) -> None:
    """The phases of checking alone make a whole too."""
    meter = Meter(CHECKING)
    check([SMALL], Keep(), meter=meter)
    assert meter.share == pytest.approx(1)
