"""What a page weighs, and how long a technician waits in it, in Chromium from disk.

    python tests/bench/page_bench.py SITE

SITE is a built site, such as one of 1,000 families (``shelves.py``).  Times are of the page's own clock: on a machine at
other work they are upper bounds.
"""

from __future__ import annotations

import re
import shutil
import sys
from collections import defaultdict
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).resolve().parents[1])]

from bench.search_scale import TYPING, quantile  # noqa: E402  (after the path is set)

MOST = 150_000
QUERIES = ("hum with the volume down", "6v6gt glows red", "loose ribbon", "no reverb", "crackle when warm")
ANSWER = """(words) => {
  const box = document.querySelector('main input[type=text]:not([type=search])'), times = [];
  if (!box) return times;
  for (const typed of words) {
    const start = performance.now();
    box.value = typed;
    box.dispatchEvent(new Event('input', { bubbles: true }));
    box.dispatchEvent(new Event('change', { bubbles: true }));
    document.body.getBoundingClientRect();
    times.push(performance.now() - start);
  }
  return times;
}"""
JOBS = """() => {
  const J = Benchlore.job;
  for (let n = 0; n < 200; n += 1) {
    const job = J.record.fresh();
    job.rev = 3;
    job.id = `jseed${n}`;
    for (let k = 0; k < 90; k += 1) job.fields.set(`answer/field${k}/1`, 'words that a technician might write here, twice over');
    job.fields.set('ticket', String(n));
    J.store.keep(job);
  }
}"""
TICKET = """() => {
  const box = [...document.querySelectorAll('main input[type=text], main textarea')].find((one) => one.offsetParent), times = [];
  for (let n = 0; n < 40; n += 1) {
    const start = performance.now();
    box.value = `ticket ${n}`;
    box.dispatchEvent(new Event('input', { bubbles: true }));
    document.body.getBoundingClientRect();
    times.push(performance.now() - start);
  }
  return times;
}"""
PAINT = "() => performance.getEntriesByName('first-contentful-paint').map((one) => one.startTime)"


def main() -> None:
    """Measure and print."""
    site = Path(sys.argv[1]).resolve()
    weights(site)
    waits(site)


def weights(site: Path) -> None:
    """Kilobytes of each kind of page: its own HTML, the script that no other kind loads, and what all share and load once."""
    pages: dict[str, list[tuple[int, str, set[str]]]] = defaultdict(list)
    eager = 0
    for page in sorted(site.rglob("*.html")):
        text = page.read_text("utf-8")
        scripts = re.findall(r'<script([^>]*) src="([^"]+)"', text)
        eager += sum("defer" not in attributes for attributes, _ in scripts)
        loaded = [*(path for _, path in scripts), *re.findall(r'<link rel="stylesheet" href="([^"]+)"', text)]
        files = {(page.parent / path).resolve().relative_to(site).as_posix() for path in loaded}
        kind = page.relative_to(site).parts[0]
        pages[kind].append((page.stat().st_size, page.relative_to(site).as_posix(), files))
    shared = set.intersection(*(files for of in pages.values() for _, _, files in of))
    common = sum((site / file).stat().st_size for file in shared)
    print(f"scripts that are not deferred: {eager}; sheets and scripts of every page: {common / 1000:.0f} kB\n")
    print(
        "| pages | how many | heaviest, HTML kB | its further scripts kB | over 150 kB (HTML) |\n| --- | --- | --- | --- | --- |"
    )
    for kind, of in sorted(pages.items()):
        size, _, files = max(of, key=lambda one: one[0])
        further = sum((site / file).stat().st_size for file in files - shared if (site / file).is_file())
        heavy = sum(size > MOST for size, _, _ in of)
        print(f"| {kind} | {len(of)} | {size / 1000:.0f} | {further / 1000:.0f} | {heavy} |")


def waits(site: Path) -> None:
    """Milliseconds from a key to what follows from it."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page()
        page.set_default_timeout(120_000)
        heaviest = max((site / "families").glob("*.html"), key=lambda path: path.stat().st_size)
        page.goto(heaviest.as_uri())
        said("first paint of the heaviest family", page.evaluate(PAINT))
        said("search, first letter", page.evaluate(TYPING, ["h", True]))
        said("search, a letter", [time for words in QUERIES for time in page.evaluate(TYPING, [words, False])])
        times: list[float] = []
        for path in sorted((site / "calculators").glob("*.html")):
            page.goto(path.as_uri())
            times += page.evaluate(ANSWER, ["3", "38.2", "401", "0.5"])
        said("calculators, a value", times)
        page.goto((site / "job.html").as_uri())
        page.wait_for_selector("[data-job=ready]", state="attached")
        page.evaluate(JOBS)
        page.wait_for_timeout(1500)
        page.goto((site / "job.html").as_uri())
        page.wait_for_selector("[data-job=ready]", state="attached")
        said("job sheet with 200 jobs, a letter", page.evaluate(TICKET))
        browser.close()


def said(what: str, times: Any) -> None:
    """One line: median, p95 and how many."""
    if times:
        print(
            f"{what}: p50 {quantile(times, 0.5):.1f} ms, p95 {quantile(times, 0.95):.1f} ms of {len(times)}", flush=True
        )


if __name__ == "__main__":
    main()
