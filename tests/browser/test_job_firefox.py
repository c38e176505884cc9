"""The job sheet in a stock Firefox, from disk: family files come as scripts, what is typed is kept, a reload is on the same job."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from firefox import Firefox, firefox_on_path

PROGRAM = firefox_on_path()
pytestmark = pytest.mark.skipif(PROGRAM is None, reason="no Firefox on this machine")
READY = "return document.querySelector('[data-job]')?.dataset.job === 'ready'"


@pytest.fixture(scope="module")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    """One Firefox for this file."""
    browser = Firefox(str(PROGRAM), tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


def test_a_job_is_worked_and_kept(firefox: Firefox, small_site: Path) -> None:
    """Typed, suspected, reloaded, and back by the bare address too; no error and no breach of the policy."""
    firefox.open(f"{small_site.as_uri()}/job.html")
    firefox.until(READY)
    firefox.run("document.getElementById('f-family-text').focus()")
    firefox.press("tarn 15")
    firefox.until("return Benchlore.job.known.family() !== null")
    firefox.run("document.getElementById('f-complaint').focus()")
    firefox.press("it hums all the time")
    firefox.until("return document.querySelector('[data-sign-offers] button')")
    firefox.run("document.querySelector('[data-sign-offers] button').click()")
    top = firefox.until("return document.querySelector('.suspect-head')?.textContent")
    assert top
    total = firefox.run("return Benchlore.job.reckon.outcome().probability.reduce((a, b) => a + b, 0)")
    assert total == pytest.approx(1, abs=1e-9)
    before = firefox.run("return JSON.stringify([...Benchlore.job.record.job.fields])")
    firefox.until("return document.querySelector('[data-kept]').textContent.startsWith('Kept')")
    for address in (firefox.run("return location.href"), f"{small_site.as_uri()}/job.html"):
        firefox.open(str(address))
        firefox.until(READY)
        assert firefox.run("return JSON.stringify([...Benchlore.job.record.job.fields])") == before
    assert firefox.errors() == []
