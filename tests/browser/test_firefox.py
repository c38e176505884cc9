"""The site opened from disk in a stock Firefox: it opens, finds, reckons and leads on, under Firefox's own rules for files."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from firefox import ENTER, Firefox, firefox_on_path
from watching import one_of_each

PROGRAM = firefox_on_path()
pytestmark = pytest.mark.skipif(
    PROGRAM is None, reason="no Firefox on this machine; Debian: apt-get install firefox-esr"
)


@pytest.fixture(scope="module")
def firefox(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    """One Firefox for this file."""
    browser = Firefox(str(PROGRAM), tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


def test_rules_for_files_are_a_readers(firefox: Firefox) -> None:
    """The rules that driving switches off are on, or what follows would prove nothing."""
    assert firefox.preference("security.fileuri.strict_origin_policy") is True


def test_every_kind_of_page_opens_quietly(firefox: Firefox, small_site: Path) -> None:
    """One page of each kind loads its sheets and scripts; the console holds no error and no breach of the policy."""
    for path in one_of_each(small_site):
        firefox.open(f"{small_site.as_uri()}/{path}")
        assert firefox.run("return document.querySelector('h1, .home-lede').textContent.trim()"), path
        assert firefox.run("return document.styleSheets.length") >= 4, path
    assert firefox.errors() == []


def test_search(firefox: Firefox, small_site: Path) -> None:
    """/ focuses, letters find, Enter opens; the index comes as scripts, since nothing may be fetched."""
    firefox.open(f"{small_site.as_uri()}/index.html")
    firefox.press("/")
    firefox.press("tarn")
    first = firefox.until(
        "const a = document.querySelector('[data-search-results] a'); return a && a.getAttribute('href')"
    )
    assert first.startswith("families/tarn-15.html")
    firefox.press(ENTER)
    firefox.until("return location.pathname.endsWith('/families/tarn-15.html') && document.readyState === 'complete'")
    assert firefox.run("return document.querySelector('h1').textContent") == "Tarn 15"
    assert firefox.errors() == []


def test_a_sum_arrives_filled_in_and_reckons(firefox: Firefox, small_site: Path) -> None:
    """A family's link fills the sum in; a new figure gives a new result at once."""
    firefox.open(f"{small_site.as_uri()}/families/tarn-15.html")
    firefox.run("document.querySelector('a[href*=\"resistors-parallel.html#one\"]').click()")
    firefox.until("return document.readyState === 'complete' && !!document.querySelector('[data-input=one]')")
    assert firefox.until("return document.querySelector('[data-input=one]').value").startswith("15")
    firefox.run("const e = document.querySelector('[data-input=other]'); e.value = ''; e.focus();")
    firefox.press("15k")
    firefox.until("return Math.abs(document.querySelector('[data-result=both]').dataset.si - 7500) < 1e-6")
    assert firefox.errors() == []


def test_ways_and_former_ids(firefox: Firefox, small_site: Path) -> None:
    """Links lead from page to page, a former id leads on, and the choice of colours goes along and out of the address again.

    Measured in Firefox 153: pages opened from disk share sessionStorage within a folder and not beyond it.
    """
    firefox.open(f"{small_site.as_uri()}/families/tarn-twelve.html")
    firefox.until("return location.pathname.endsWith('/families/tarn-15.html') && document.readyState === 'complete'")
    firefox.until("const b = document.querySelector('button.theme'); if (b) { b.click(); } return !!b")
    theme = firefox.run("return document.documentElement.dataset.theme")
    firefox.run("document.querySelector('a[href*=\"faults/filter-dried.html\"]').click()")
    firefox.until(
        "return location.pathname.endsWith('/faults/filter-dried.html') && document.readyState === 'complete'"
    )
    assert firefox.until("return document.documentElement.dataset.theme") == theme
    assert firefox.run("return location.search") == ""
    assert firefox.errors() == []


def test_the_family_on_the_bench_goes_into_other_folders(firefox: Firefox, small_site: Path) -> None:
    """The job sheet's family is known to search on a page of another folder, where Firefox shares no store with it, and so is its end."""
    firefox.open(f"{small_site.as_uri()}/job.html?family=tarn-15")
    firefox.until("const j = document.querySelector('[data-job]'); return !!j && j.dataset.job === 'ready'")
    for known in ("tarn-15", None):
        firefox.run("document.querySelector('a[href=\"symptoms.html\"]').click()")
        firefox.until("return location.pathname.endsWith('/symptoms.html') && document.readyState === 'complete'")
        firefox.run("document.querySelector('main a[href^=\"symptoms/\"]').click()")
        firefox.until("return /\\/symptoms\\/[^/]+$/.test(location.pathname) && document.readyState === 'complete'")
        assert firefox.run("return [Benchlore.bench.family(), location.search]") == [known, ""]
        firefox.run("document.querySelector('a[href=\"../job.html\"]').click()")
        firefox.until("const j = document.querySelector('[data-job]'); return !!j && j.dataset.job === 'ready'")
        firefox.run("document.querySelector('[data-do=new]').click()")
    assert firefox.errors() == []
