"""``benchlore preview``: on this machine alone, built again at each save, and never without a page to look at.

Outside checks: the kernel's own list of listening sockets (/proc/net/tcp) says on which address it listens; Chromium shows the page.
"""

from __future__ import annotations

import _thread
import http.client
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from benchlore.cli import previewing

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"
PATIENCE = 40


def hears_ctrl_c() -> None:
    """As in a terminal: a program started in the background would be deaf to it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Preview:
    """A running preview of a copy of the small shelf."""

    def __init__(self, shelf: Path, *words: str) -> None:
        self.shelf = shelf
        env = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "PYTHONUNBUFFERED": "1"}
        command = [sys.executable, "-m", "benchlore", "preview", "--shelf", str(shelf), "--port", "0", *words]
        self.child = subprocess.Popen(
            command, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, preexec_fn=hears_ctrl_c
        )
        assert self.child.stdout is not None
        self.said: list[str] = []
        for line in self.child.stdout:
            self.said.append(line)
            if found := re.search(r"Preview at http://127\.0\.0\.1:(\d+)/", line):
                self.port = int(found[1])
                break
        else:
            raise AssertionError("".join(self.said))

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def get(self, path: str, host: str | None = None, method: str = "GET") -> tuple[int, str]:
        """Status and text of one answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request(method, path, headers={"Host": host or f"127.0.0.1:{self.port}"})
        answer = connection.getresponse()
        text = answer.read().decode()
        connection.close()
        return answer.status, text

    def save(self, name: str, old: str, new: str) -> None:
        """Change a file as an editor does."""
        path = self.shelf / name
        path.write_text(path.read_text("utf-8").replace(old, new), "utf-8")

    def stop(self) -> int:
        """Ctrl-C."""
        if self.child.poll() is None:
            self.child.send_signal(signal.SIGINT)
        out, _ = self.child.communicate(timeout=PATIENCE)
        self.said.append(out)
        return self.child.returncode


def until(met: Callable[[], bool]) -> None:
    """Wait for it, not forever."""
    end = time.monotonic() + PATIENCE
    while not met():
        assert time.monotonic() < end
        time.sleep(0.1)


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A copy of the small shelf."""
    return Path(shutil.copytree(SMALL, tmp_path / "shelf"))


@pytest.fixture
def preview(shelf: Path) -> Iterator[Preview]:
    """A preview of it, stopped at the end."""
    running = Preview(shelf)
    yield running
    running.stop()


def test_serves_this_machine_alone(preview: Preview) -> None:
    """It listens on 127.0.0.1 and nowhere else, answers to this machine's own names only, and serves nothing but the site."""
    kernel = Path("/proc/net/tcp")
    if kernel.exists():
        listening = [line.split()[1] for line in kernel.read_text("ascii").splitlines()[1:] if line.split()[3] == "0A"]
        assert [one for one in listening if one.endswith(f":{preview.port:04X}")] == [f"0100007F:{preview.port:04X}"]
    assert preview.get("/")[0] == 200
    assert preview.get("/", host="localhost")[0] == 200
    for host in ("shop.example", "127.0.0.1.shop.example", "192.168.0.2"):
        assert preview.get("/", host=host)[0] == 403
        assert preview.get("/assets/css/base.css", host=host, method="HEAD")[0] == 403
    for path in ("/../shelf/shop.yaml", "/..%2f..%2fshelf/shop.yaml", "/%2e%2e/shelf/shop.yaml", "//etc/passwd"):
        assert preview.get(path)[0] in (301, 404), path
    with socket.create_connection(("127.0.0.1", preview.port)) as strange:
        strange.sendall(b"\x00\xff nonsense\r\n\r\n")
    assert preview.get("/")[0] == 200


def test_pages_are_those_of_the_site_with_one_script_more(preview: Preview) -> None:
    """What is served is what would stand on disk; yours stays as it is, and the folder it was built in goes at the end."""
    status, page = preview.get("/families/tarn-15.html")
    assert status == 200
    assert page.count("/benchlore-preview.js") == 1 and "connect-src 'self'" in page
    assert "require-trusted-types-for" in page
    assert not (preview.shelf / "site").exists()
    assert preview.stop() == 130
    assert "Stopped." in "".join(preview.said)
    assert "Traceback" not in "".join(preview.said)


def test_a_save_is_seen_a_slip_is_told_and_the_page_stays(preview: Preview, chromium: Any) -> None:
    """A good save reloads the page where it was; a bad one shows file and line over the last good page; mended, it goes on."""
    context = chromium.new_context(viewport={"width": 1000, "height": 400})
    page = context.new_page()
    console: list[str] = []
    page.on("console", lambda message: console.append(message.text))
    page.on("pageerror", lambda error: console.append(str(error)))
    page.goto(preview.address + "faults/filter-dried.html")
    page.wait_for_timeout(500)
    page.evaluate("window.scrollTo(0, 700)")
    preview.save("faults/filter-dried.yaml", "Dried-out filter capacitor", "Thirsty filter capacitor")
    page.get_by_role("heading", name="Thirsty filter capacitor").wait_for(timeout=PATIENCE * 1000)
    page.wait_for_timeout(300)
    assert page.evaluate("Math.round(window.scrollY)") == pytest.approx(700, abs=2)

    preview.save("faults/filter-dried.yaml", "fix_minutes: 25", "fix_minutes: a while")
    box = page.locator("#benchlore-preview-problems")
    box.wait_for(timeout=PATIENCE * 1000)
    told = box.inner_text()
    line = next(
        n
        for n, text in enumerate((preview.shelf / "faults/filter-dried.yaml").read_text("utf-8").splitlines(), 1)
        if "a while" in text
    )
    assert f"faults/filter-dried.yaml:{line}:" in told and '"a while" is not a whole number' in told
    assert "1 to mend; this is the last good page" in told
    assert page.get_by_role("heading", name="Thirsty filter capacitor").is_visible()
    preview.save("faults/filter-dried.yaml", "title:", "title: [")  # worse still
    until(lambda: "title" in box.inner_text() or "bracket" in box.inner_text())
    (preview.shelf / "faults/ribbon-cracked.yaml").write_bytes(b"\xff\xfe\x00")
    until(lambda: "UTF-8" in box.inner_text())
    shutil.copy(SMALL / "faults/ribbon-cracked.yaml", preview.shelf / "faults/ribbon-cracked.yaml")
    shutil.copy(SMALL / "faults/filter-dried.yaml", preview.shelf / "faults/filter-dried.yaml")
    page.get_by_role("heading", name="Dried-out filter capacitor").wait_for(timeout=PATIENCE * 1000)
    assert box.count() == 0
    assert console == []
    context.close()


def test_it_begins_with_a_broken_shelf(shelf: Path, chromium: Any) -> None:
    """Nothing built yet: the page says so, shows the problems, and becomes the site when they are mended."""
    good = (shelf / "shop.yaml").read_text("utf-8")
    (shelf / "shop.yaml").write_text(good + "colour: red\n", "utf-8")
    running = Preview(shelf, "--quiet")
    try:
        page = chromium.new_page()
        page.goto(running.address)
        assert "Nothing is built yet" in page.inner_text("body")
        box = page.locator("#benchlore-preview-problems")
        box.wait_for(timeout=PATIENCE * 1000)
        assert '"colour" is not a field here' in box.inner_text()
        (shelf / "shop.yaml").write_text(good, "utf-8")
        page.locator("input[type=search]").wait_for(timeout=PATIENCE * 1000)
        page.close()
    finally:
        running.stop()


def test_a_taken_port_is_said_in_words(preview: Preview) -> None:
    """One sentence and exit status 3."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
    command = [sys.executable, "-m", "benchlore", "preview", "--shelf", str(SMALL), "--port", str(preview.port)]
    done = subprocess.run(command, env=env, capture_output=True, text=True, timeout=PATIENCE)
    assert done.returncode == 3
    assert (
        done.stderr
        == f"Could not serve on port {preview.port}: Address already in use. Name another with --port, or --port 0.\n"
    )


def test_a_save_during_the_first_build_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The watch begins before the first build does: what is saved while that runs is built right after it."""
    shelf = Path(shutil.copytree(SMALL, tmp_path / "shelf"))
    builds: list[int] = []
    patience = threading.Timer(PATIENCE, _thread.interrupt_main)  # else a deaf watch would wait for ever

    def build(*given: object) -> str:
        builds.append(len(builds))
        if len(builds) == 1:
            (shelf / "terms" / "saved-meanwhile.yaml").write_text("title: Saved\nmeaning: meanwhile\n", "utf-8")
            patience.start()
            return ""
        raise KeyboardInterrupt

    monkeypatch.setattr(previewing, "_build", build)
    assert previewing.preview.callback is not None
    ended = previewing.preview.callback(shelves=(shelf,), port=0, open_=False, quiet=True)
    patience.cancel()
    assert (ended, builds) == (previewing.INTERRUPTED, [0, 1])
