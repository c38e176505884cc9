"""Makes ``.venv`` from the locks and hands over to the builder or to the tests; standard library only."""

from __future__ import annotations

import hashlib
import importlib.util
import io
import os
import re
import shlex
import shutil
import subprocess
import sys
import sysconfig
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
STAMP = VENV / "benchlore-stamp"
LOG = VENV / "benchlore-setup.log"
WINDOWS = os.name == "nt"
BIN = VENV / ("Scripts" if WINDOWS else "bin")
PYTHON = BIN / ("python.exe" if WINDOWS else "python")
LOCKS = ("runtime", "test")  # the second holds all of the first, at the same versions
UNDER_WAY = "under way"
BROWSERS = ("chromium", "chromium-browser", "chrome", "google-chrome", "google-chrome-stable", "msedge")
SPREAD = ("-n", "auto", "--dist", "loadfile", "--no-loadscope-reorder")  # the order is tests/conftest.py's: longest files first
USE = "Use: python3 builder [test [options of pytest]]"

REASONS = (
    (r"No space left|Errno 28", "the disk is full"),
    (r"DO NOT MATCH THE HASHES|Hashes are required", "a package is not the one that the lock names"),
    (r"name resolution|NewConnectionError|ConnectionError|Max retries|timed out|ProxyError|SSLError",
     "the package index cannot be reached; connect this machine to the network once and run this again"),
    (r"Permission denied|Read-only file system", "the folder cannot be written"),
)  # fmt: skip
"""What pip's words come down to, tried in this order."""


class Refused(Exception):
    """The machine cannot do it; the words say why, in one sentence."""


def main(words: Sequence[str]) -> int:
    """Set up, then build or test; return the exit status (2 wrong use, 3 the machine refused, 130 interrupted)."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a folder's name may hold what the terminal cannot show
    testing = list(words[:1]) == ["test"]
    if words and not testing:
        print(USE, file=sys.stderr)
        return 0 if words[0] in ("-h", "--help") else 2
    try:
        with one_at_a_time():
            set_up("test" if testing else "runtime")
        return run_tests(words[1:]) if testing else build()
    except Refused as reason:
        print(f"Benchlore cannot be set up: {reason}.", file=sys.stderr)
        return 3
    except OSError as error:
        print(f"Benchlore cannot be set up: {error.strerror or error}: {error.filename or ROOT}.", file=sys.stderr)
        return 3
    except KeyboardInterrupt:
        print("Interrupted; run it again to go on.", file=sys.stderr)
        return 130


def build() -> int:
    """Build both shelves of this repository into ``site/``."""
    here = Path() if Path.cwd() == ROOT else ROOT
    shelves = [word for name in ("reference", "workshop") for word in ("--shelf", str(here / "kb" / name))]
    return run([str(PYTHON), "-P", "-m", "benchlore", "build", *shelves, "--out", str(here / "site")])


def run_tests(options: Sequence[str]) -> int:
    """Run every test on every processor, with the Chromium found in ``BENCHLORE_CHROMIUM`` unless playwright has its own.

    A file's tests stay in one process, since they share what they build; an option given (``-n 0``) overrides ours.
    """
    browser = os.environ.get("BENCHLORE_CHROMIUM") or find_browser()
    found = {"BENCHLORE_CHROMIUM": browser} if browser else {}
    return run([str(PYTHON), "-P", "-m", "pytest", *SPREAD, *options], cwd=ROOT, extra=found)


def set_up(lock: str) -> None:
    """Install what ``requirements/LOCK.txt`` names into ``.venv``, unless its stamp says that it is there."""
    there = STAMP.read_text("utf-8") if STAMP.is_file() and PYTHON.exists() else ""
    wanted = stamp_of(lock)
    if there.startswith(wanted):
        return
    start = time.monotonic()
    print(f"Setting up {VENV} (once; this takes a minute or two) ...", flush=True)
    if UNDER_WAY in there or not there.startswith(stamp_of(None)):
        make_venv()
        there = stamp_of(None)
    STAMP.write_text(there + UNDER_WAY, "utf-8")
    if not install(ROOT / "requirements" / f"{lock}.txt"):
        STAMP.write_text(there, "utf-8")
        raise Refused(why_not())
    install_package()
    STAMP.write_text(wanted, "utf-8")
    print(f"Set up in {time.monotonic() - start:.0f} s.", flush=True)


def stamp_of(lock: str | None) -> str:
    """What a finished set-up leaves behind: the Python, then each lock up to the one named, with its digest.

    An unfinished one has ``UNDER_WAY`` at its end and is made anew, since pip cannot tell a half-unpacked package.
    """
    lines = [sys.version.replace("\n", " ")]
    for name in LOCKS[: LOCKS.index(lock) + 1 if lock else 0]:
        text = (ROOT / "requirements" / f"{name}.txt").read_bytes().replace(b"\r\n", b"\n")
        lines.append(f"{name} {hashlib.sha256(text).hexdigest()}")
    return "\n".join(lines) + "\n"


def make_venv() -> None:
    """Make ``.venv`` anew; one that somebody else made is left alone."""
    for module in ("venv", "ensurepip"):
        if importlib.util.find_spec(module) is None:
            raise Refused(f"this Python has no {module} module; install it (on Debian: apt install python3-venv)")
    if VENV.is_symlink() or (VENV.exists() and not STAMP.exists() and any(VENV.iterdir())):
        raise Refused(f"{VENV} was made by something else; rename it or take it away")
    try:
        shutil.rmtree(VENV, ignore_errors=True)
        VENV.mkdir(exist_ok=True)
        STAMP.write_text(UNDER_WAY, "utf-8")
    except OSError as error:
        raise Refused(f"{ROOT} cannot be written ({error.strerror}); copy it to a folder of your own") from error
    said = subprocess.run([sys.executable, "-m", "venv", str(VENV)], capture_output=True, text=True, env=environment())
    if said.returncode:
        raise Refused(f"this Python could not make a virtual environment: {last_line(said.stdout + said.stderr)}")


def install(lock: Path) -> bool:
    """Let pip install exactly what the lock names; what it said stays in the log. False: nothing was changed."""
    command = [str(PYTHON), "-m", "pip", "install", "--require-hashes", "--no-deps", "--no-input", "--retries", "2"]
    with LOG.open("w", encoding="utf-8") as log:
        said = subprocess.run(
            [*command, "--disable-pip-version-check", "-r", str(lock)], stdout=log, stderr=log, env=environment()
        )
    if said.returncode and "Installing collected packages" in LOG.read_text("utf-8", errors="replace"):
        raise Refused(why_not())
    return said.returncode == 0


def why_not() -> str:
    """What pip's last words come down to."""
    text = LOG.read_text("utf-8", errors="replace")
    known = (words for pattern, words in REASONS if re.search(pattern, text))
    return next(known, f"{last_line(text)} (all that pip said is in {LOG})")


def install_package() -> None:
    """Point ``.venv`` at the source beside this file and give it the command ``benchlore``."""
    library = Path(sysconfig.get_path("purelib", "venv", {"base": str(VENV), "platbase": str(VENV)}))
    library.joinpath("benchlore.pth").write_text(f"{os.path.relpath(ROOT / 'builder', library)}\n", "ascii")
    if WINDOWS:
        BIN.joinpath("benchlore.cmd").write_text('@"%~dp0python.exe" -P -m benchlore %*\n', "ascii")
    else:
        command = BIN / "benchlore"
        command.write_text(f'#!/bin/sh\nexec {shlex.quote(str(PYTHON))} -P -m benchlore "$@"\n', "utf-8")
        command.chmod(0o755)


def find_browser() -> str | None:
    """The Chromium to test with: on the path, else Debian's package, else playwright's own (then None)."""
    if (found := browser_on_path()) is not None:
        return found
    if shutil.which("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        print("Installing Debian's chromium ...", flush=True)
        for words in (["update"], ["install", "-y", "--no-install-recommends", "chromium"]):
            subprocess.run(
                ["apt-get", *words], capture_output=True, stdin=subprocess.DEVNULL,
                env=environment(DEBIAN_FRONTEND="noninteractive"), check=False,
            )  # fmt: skip
        if (found := browser_on_path()) is not None:
            return found
    said = subprocess.run(
        [str(PYTHON), "-m", "playwright", "install", "chromium"], capture_output=True, text=True, env=environment()
    )
    if said.returncode:
        raise Refused("there is no Chromium for the tests and none could be downloaded; install one and run this again")
    return None


def browser_on_path() -> str | None:
    """The first Chromium on the path."""
    return next(filter(None, map(shutil.which, BROWSERS)), None)


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Two set-ups of one folder wait for each other (where the system can lock a folder); a dead one blocks nobody."""
    if WINDOWS:
        yield
        return
    import fcntl

    folder = os.open(ROOT, os.O_RDONLY)
    try:
        fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def run(command: Sequence[str], cwd: Path | None = None, extra: dict[str, str] | None = None) -> int:
    """Hand over to a program and return its exit status; Ctrl-C is its business until it has ended."""
    with subprocess.Popen(command, cwd=cwd, env=environment(**(extra or {}))) as child:
        while True:
            try:
                status = child.wait()
                return status if status >= 0 else 128 - status
            except KeyboardInterrupt:
                continue


def environment(**extra: str) -> dict[str, str]:
    """This process's environment without what would lead another Python astray."""
    astray = ("PYTHONHOME", "PYTHONPATH", "PIP_USER", "PIP_TARGET")
    return {name: value for name, value in os.environ.items() if name not in astray} | extra


def last_line(text: str) -> str:
    """The last line that says anything, without pip's word ERROR."""
    lines = [line.strip().removeprefix("ERROR: ").rstrip(".") for line in text.splitlines() if line.strip()]
    return lines[-1] if lines else "no reason given"
