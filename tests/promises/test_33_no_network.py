"""Promise 33: once set up, a build needs no network: it works where there is none at all, not even a way to this machine itself."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ALONE = ["unshare", "--net"]


def may_be_alone() -> bool:
    """May this user make a network namespace with nothing in it (Linux, and mostly root alone)?"""
    return shutil.which("unshare") is not None and subprocess.run([*ALONE, "true"], capture_output=True, check=False).returncode == 0


@pytest.mark.skipif(not may_be_alone(), reason="may not take the network away here")
def test_a_build_without_a_network(tmp_path: Path) -> None:
    """Checking, building and finding from nothing, in a namespace in which the only interface is down."""
    env = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "BENCHLORE_CACHE": str(tmp_path / "cache")}
    look = [sys.executable, "-c", "import socket; print([name for _, name in socket.if_nameindex()]); socket.create_connection(('127.0.0.1', 9), 1)"]
    assert "Network is unreachable" in subprocess.run([*ALONE, *look], capture_output=True, text=True, check=False).stderr
    shelf = str(ROOT / "tests" / "kb_small")
    for words in (["build", "--shelf", shelf, "--out", str(tmp_path / "site")], ["find", "--shelf", shelf, "hum"]):
        done = subprocess.run([*ALONE, sys.executable, "-m", "benchlore", *words], env=env, capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
    assert (tmp_path / "site" / "index.html").is_file()
