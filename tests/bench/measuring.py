"""Commands run and measured: seconds of wall and of processors, memory of all their processes, bytes they left."""

from __future__ import annotations

import os
import statistics
import subprocess
import threading
import time
import urllib.request
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

EVERY = 0.2  # seconds between two looks at the memory


@dataclass(frozen=True)
class Cost:
    """Seconds on the clock, seconds of all processors, and the most memory of all processes together, in MB."""

    wall: float
    process: float
    memory: float


def run(command: Sequence[str], folder: Path, env: Mapping[str, str]) -> Cost:
    """Run a command to its end; raises ``RuntimeError`` with its words when it fails."""
    start = time.perf_counter()
    with open(folder / "said.txt", "wb") as said:
        process = subprocess.Popen(command, cwd=folder, env={**os.environ, **env}, stdout=said, stderr=said)
        most = [0]
        watcher = threading.Thread(target=_watch, args=(process.pid, most), daemon=True)
        watcher.start()
        _, status, used = os.wait4(process.pid, 0)
    wall = time.perf_counter() - start
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        raise RuntimeError(f"{' '.join(command)}\n{(folder / 'said.txt').read_text('utf-8', 'replace')[-2000:]}")
    return Cost(wall, used.ru_utime + used.ru_stime, max(most[0], used.ru_maxrss) / 1000)


def median(costs: Sequence[Cost]) -> Cost:
    """The median of each figure by itself."""
    return Cost(*(statistics.median(of) for of in zip(*((c.wall, c.process, c.memory) for c in costs), strict=True)))


def _watch(pid: int, most: list[int]) -> None:
    """Note the most kB that a process and its children hold together; pages they share count once."""
    while True:
        held = sum(_held(one) for one in _family(pid))
        if not held:
            return
        most[0] = max(most[0], held)
        time.sleep(EVERY)


def _family(pid: int) -> list[int]:
    found = [pid]
    for parent in found:
        with suppress(OSError):
            for task in os.listdir(f"/proc/{parent}/task"):
                found += map(int, Path(f"/proc/{parent}/task/{task}/children").read_text().split())
    return found


def _held(pid: int) -> int:
    with suppress(OSError):
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines():
            if line.startswith("Pss:"):
                return int(line.split()[1])
    return 0


def bytes_of(folder: Path) -> int:
    """How many bytes the files below a folder hold."""
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


@dataclass(frozen=True)
class Served:
    """A server's command, where it runs, what is in its environment, and the page that is looked at."""

    command: Sequence[str]
    folder: Path
    env: Mapping[str, str]
    url: str


def save_to_reload(served: Served, first: str, edits: Sequence[tuple[str, Callable[[], None]]]) -> list[float]:
    """Start a server, wait for ``first`` in the page, then make each edit and wait for its word; seconds of each, on the clock."""
    with open(served.folder / "served.txt", "wb") as said:
        process = subprocess.Popen(
            served.command, cwd=served.folder, env={**os.environ, **served.env}, stdout=said, stderr=said
        )
    try:
        _wait_for(served.url, first, 900)
        time.sleep(3)  # the watcher has begun
        seconds = []
        for word, edit in edits:
            edit()
            start = time.perf_counter()
            _wait_for(served.url, word, 120)
            seconds.append(time.perf_counter() - start)
            time.sleep(4)  # as long as a shelf needs to settle
        return seconds
    finally:
        process.terminate()
        process.wait(20)


def _wait_for(url: str, word: str, seconds: float) -> None:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        with suppress(OSError), urllib.request.urlopen(url, timeout=5) as page:
            if word in page.read().decode("utf-8", "replace"):
                return
        time.sleep(0.01)
    raise RuntimeError(f"{url} did not show {word!r} in {seconds:.0f} s")
