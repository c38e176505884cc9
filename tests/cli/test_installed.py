"""The wheel in an environment of its own: it begins a shop, builds it, serves it, and speaks for itself.

Outside references: pip installs it; mypy, as another project would run it, sees its types (PEP 561).
"""

from __future__ import annotations

import http.client
import os
import re
import shutil
import signal
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clean virtual environment with the wheel in it; what it depends on is lent by the environment of the tests."""
    source, dist, home = (
        tmp_path_factory.mktemp("source") / "tree",
        tmp_path_factory.mktemp("dist"),
        tmp_path_factory.mktemp("clean") / "venv",
    )
    shutil.copytree(
        ROOT, source, ignore=shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", ".hypothesis", "tests")
    )
    words = [sys.executable, "-m", "build", "--no-isolation", "--wheel", "--outdir", str(dist), str(source)]
    subprocess.run(words, check=True, capture_output=True)
    venv.create(home, with_pip=False, symlinks=True)
    inside = home / "lib" / f"python{sys.version_info.major}.{sys.version_info.minor}" / "site-packages"
    (inside / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", "utf-8")
    wheel = next(dist.glob("benchlore-*.whl"))
    install = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(home / "bin/python"),
        "install",
        "-q",
        "--no-deps",
        "--no-index",
        "--no-warn-script-location",
        str(wheel),
    ]
    subprocess.run(install, check=True, capture_output=True)
    return home


def run(environment: Path, *words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The installed command, with nothing of this repository on its path."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return subprocess.run([environment / "bin/benchlore", *words], cwd=cwd, env=env, capture_output=True, text=True)


@pytest.fixture(scope="module")
def shop(environment: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A new shop, begun by the installed command."""
    place = tmp_path_factory.mktemp("town")
    done = run(environment, "start", "our-shop", cwd=place)
    assert (done.returncode, done.stderr) == (0, "")
    yield place / "our-shop"


def test_it_says_its_version(environment: Path, tmp_path: Path) -> None:
    """The same in the package, the wheel and the command."""
    from benchlore import __version__

    assert run(environment, "--version", cwd=tmp_path).stdout == f"benchlore, version {__version__}\n"
    assert next(environment.glob(f"lib/*/site-packages/benchlore-{__version__}.dist-info"))


def test_a_new_shop_builds_at_once(environment: Path, shop: Path) -> None:
    """The first build works, on the reference shelf inside the package; what is searched for is found."""
    done = run(environment, "build", cwd=shop)
    assert (done.returncode, done.stderr) == (0, "")
    assert (shop / "site/index.html").is_file() and (shop / "site/faults/filter-dried.html").is_file()
    assert str(ROOT) not in done.stdout
    found = run(environment, "find", "hums", "all", "the", "time", cwd=shop)
    assert found.returncode == 0 and "hum" in found.stdout.lower()
    done = run(environment, "reckon", "idle-dissipation", "plate_volts=300V", cwd=shop)
    assert done.returncode == 0, done.stderr


def test_it_previews_the_shop(environment: Path, shop: Path) -> None:
    """Served on loopback, and gone with Ctrl-C."""
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    with subprocess.Popen(
        [environment / "bin/benchlore", "preview", "--port", "0"],
        cwd=shop,
        env=env,
        stdout=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # as in a terminal
    ) as child:
        assert child.stdout is not None
        port = next(int(found[1]) for line in child.stdout if (found := re.search(r"127\.0\.0\.1:(\d+)/", line)))
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        connection.request("GET", "/index.html")
        assert connection.getresponse().status == 200
        connection.close()
        child.send_signal(signal.SIGINT)
        assert child.wait(timeout=30) == 130


def test_its_types_are_seen(environment: Path, tmp_path: Path) -> None:
    """Outside check: mypy, with this package installed, knows what a function of it takes and gives."""
    (tmp_path / "uses.py").write_text(
        "from benchlore.quantity import parse_quantity\nreveal_type(parse_quantity('1 V', 'voltage').low)\n", "utf-8"
    )
    words = [sys.executable, "-m", "mypy", "--python-executable", str(environment / "bin/python"), "uses.py"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True)
    assert 'Revealed type is "float"' in done.stdout.replace("builtins.float", "float"), done.stdout
