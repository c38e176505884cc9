"""What search costs on a generated shelf: bytes an entry, seconds to index, milliseconds to the first result and for each letter.

    python tests/bench/search_scale.py FOLDER FAMILIES

makes a shelf of that many families beside the shipped entries (``shelves.py``), its index for the browser and for the
terminal, and asks both.  With Node on PATH the page's own scripts are timed; with Chromium, a page opened from disk.
"""

from __future__ import annotations

import gzip
import json
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar
from unittest.mock import patch

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parents[2] / "builder")]

from bench.shelves import write_shelf  # noqa: E402  (after the path is set)
from benchlore.keeping import Keep  # noqa: E402
from benchlore.pipeline import build  # noqa: E402
from benchlore.searching.documents import documents_of  # noqa: E402
from benchlore.searching.export import files_of  # noqa: E402
from benchlore.searching.finding import find  # noqa: E402
from benchlore.searching.indexing import index_of  # noqa: E402
from benchlore.searching.patching import bring_up  # noqa: E402
from benchlore.searching.store import store_of  # noqa: E402
from building import sound_library  # noqa: E402
from search.measures import judged  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
SCRIPTS = ROOT / "builder" / "benchlore" / "rendering" / "assets" / "js"
NAMES = ("carry", "bench", "search-words", "search-index", "search-rank", "search", "mark")
PAGE = (
    '<!doctype html><html lang="en" data-root=""><meta charset="utf-8"><title>bench</title>'
    + "".join(f'<script defer src="assets/js/{name}.js"></script>' for name in NAMES)
    + '<search data-search><input type="search" aria-label="Search"></search>'
)
T = TypeVar("T")


def main() -> None:
    """Measure and say."""
    folder, families = Path(sys.argv[1]), int(sys.argv[2])
    shelf = folder / "shelf"
    if not shelf.exists():
        write_shelf(shelf, families)
    library, seconds = timed(lambda: sound_library([ROOT / "kb" / "reference", shelf]))
    say("read and linked", f"{seconds:.2f} s")
    documents, seconds = timed(lambda: documents_of(library))
    say("documents", f"{seconds:.2f} s", f"{len(documents.documents)} entries")
    index, counting = timed(lambda: index_of(documents))
    files, writing = timed(lambda: files_of(index))
    say("counted, exported", f"{counting:.2f} s", f"{writing:.2f} s", f"{len(index.lexicon.words)} words")
    sizes(files, len(documents.documents))
    site = folder / "site"
    shutil.rmtree(site, ignore_errors=True)
    for path, content in [*files.items(), ("index.html", PAGE.encode()), *((f"assets/js/{n}.js", (SCRIPTS / f"{n}.js").read_bytes()) for n in NAMES)]:
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(content)
    terminal(folder / "cache", documents)
    keystrokes = [words[:end] for words in (one.words for one in judged()[:40]) for end in range(1, len(words) + 1)]
    if shutil.which("node"):
        node(site, keystrokes)
    chromium(site)
    share_of_build([ROOT / "kb" / "reference", shelf], folder / "built")


def say(what: str, *figures: str) -> None:
    """One line of the report."""
    sys.stdout.write(f"{what:28} {'   '.join(figures)}\n")
    sys.stdout.flush()


def timed(work: Callable[[], T]) -> tuple[T, float]:
    """The result, and seconds of this process (other work on the machine does not count)."""
    start = time.process_time()
    return work(), time.process_time() - start


def quantile(values: Sequence[float], share: float) -> float:
    """The value below which ``share`` of them lie."""
    return sorted(values)[min(int(len(values) * share), len(values) - 1)]


def sizes(files: Any, entries: int) -> None:
    """Bytes an entry, raw and gzipped, words' places apart from the texts that are shown."""
    for name, kinds in (("places", ("start", "formulas", "words", "cards", "hits-")), ("texts", ("texts-",))):
        parts = [content for path, content in files.items() if path.rpartition("/")[2].startswith(kinds)]
        raw, packed = sum(map(len, parts)), sum(len(gzip.compress(part)) for part in parts)
        say(f"{name}, bytes an entry", f"{raw / entries:.0f} raw", f"{packed / entries:.0f} gzipped", f"{len(parts)} files")
    start = sum(len(content) for path, content in files.items() if path.rpartition("/")[2] in ("start.js", "formulas.js", "words.js", "cards.js"))
    say("before the first letter", f"{start / 1000:.0f} kB")


def terminal(cache: Path, documents: Any) -> None:
    """Whoosh: made anew, warm, one entry changed."""
    shutil.rmtree(cache, ignore_errors=True)
    _, cold = timed(lambda: store_of(cache, "1", lambda: documents))
    store, warm = timed(lambda: store_of(cache, "1", lambda: documents))
    times = [timed(lambda words=one.words: find(store, words))[1] * 1000 for one in judged()]
    say("Whoosh index", f"{cold:.2f} s anew", f"{warm * 1000:.0f} ms warm", f"{cold * 1000 / len(documents.documents):.1f} ms an entry")
    say("terminal, a query", f"p50 {quantile(times, 0.5):.1f} ms", f"p95 {quantile(times, 0.95):.1f} ms")


def share_of_build(shelves: Sequence[Path], out: Path) -> None:
    """What the browser's index takes of a first build with nothing kept; Whoosh has no part in it."""
    spent = []

    def index_timed(*given: Any) -> Any:
        found, seconds = timed(lambda: bring_up(*given))
        spent.append(seconds)
        return found

    def file_timed(path: str, make: Callable[[], bytes]) -> dict[str, bytes]:
        made, seconds = timed(make)
        spent.append(seconds)
        return {path: made}

    shutil.rmtree(out, ignore_errors=True)
    with patch("benchlore.upkeep.bring_up", index_timed), patch("benchlore.upkeep._file", file_timed):
        _, whole = timed(lambda: build(shelves, out, Keep()))
    say("first build", f"{whole:.1f} s", f"search {sum(spent):.1f} s", f"{100 * sum(spent) / whole:.0f} %")


def node(site: Path, keystrokes: Sequence[str]) -> None:
    """The page's scripts in Node, letter by letter."""
    command = ["node", str(ROOT / "tests" / "searching" / "replay.js"), str(site), str(SCRIPTS)]
    asked = "\n".join(json.dumps({"query": words}) for words in keystrokes)
    ran = subprocess.run(command, input=asked, capture_output=True, text=True, encoding="utf-8", check=True)
    times = [json.loads(line)["ms"] for line in ran.stdout.splitlines()]
    say("Node, a letter", f"p50 {quantile(times, 0.5):.2f} ms", f"p95 {quantile(times, 0.95):.2f} ms", f"p99 {quantile(times, 0.99):.2f} ms")


def chromium(site: Path) -> None:
    """A page opened from disk: bytes and milliseconds to the first result, then letter by letter."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        page = browser.new_page()
        read: list[str] = []
        page.on("request", lambda request: read.append(request.url))
        page.goto((site / "index.html").as_uri())
        read.clear()
        milliseconds = page.evaluate(TYPING, ["h", True])[0]
        size = sum((site / "assets" / "search" / url.rpartition("/")[2]).stat().st_size for url in read)
        say("Chromium, first letter", f"{milliseconds:.0f} ms", f"{size / 1000:.0f} kB in {len(read)} files")
        times = [t for one in judged()[:20] for t in page.evaluate(TYPING, [one.words, False])]
        say("Chromium, a letter", f"p50 {quantile(times, 0.5):.1f} ms", f"p95 {quantile(times, 0.95):.1f} ms")
        browser.close()


TYPING = """async ([words, only]) => {
  const box = document.querySelector('input[type=search]'), status = document.querySelector('[data-search-results]'), times = [];
  box.focus();
  for (let end = 1; end <= (only ? 1 : words.length); end++) {
    const start = performance.now();
    await new Promise((done) => {
      const watch = new MutationObserver(() => { watch.disconnect(); done(); });
      watch.observe(status, { childList: true });
      box.value = words.slice(0, end);
      box.dispatchEvent(new Event('input'));
      setTimeout(done, 3000);
    });
    times.push(performance.now() - start);
  }
  box.value = '';
  box.dispatchEvent(new Event('input'));
  return times;
}"""

if __name__ == "__main__":
    main()
