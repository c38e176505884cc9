"""A shelf to build again and again, its two versions, and the command run on it as a technician would."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

THOROUGH = bool(os.environ.get("BENCHLORE_THOROUGH"))
"""Asked for by hand, before a release: the promises' full numbers, which take an hour.  CI keeps the smaller ones."""

ROOT = Path(__file__).resolve().parents[2]
SMALL = ROOT / "tests" / "kb_small"
MANY = 130
"""Symptoms put to the small shelf, so that a second process is worth while."""


class Bench:
    """A folder with a shelf, a site and what is kept between runs."""

    def __init__(self, folder: Path, many: int = MANY) -> None:
        self.shelf, self.out, self.cache = folder / "shelf", folder / "site", folder / "cache"
        shutil.copytree(SMALL, self.shelf)
        text = (self.shelf / "symptoms" / "hum-steady-low.yaml").read_text("utf-8")
        title = next(line for line in text.splitlines() if line.startswith("title:"))
        for number in range(many):
            (self.shelf / "symptoms" / f"made-{number}.yaml").write_text(
                text.replace(title, f"title: Made {number}"), "utf-8"
            )
        self.version(1)

    def version(self, number: int) -> None:
        """Make the shelf another book: one word that stands on many pages."""
        path = self.shelf / "stages" / "boards-ribbon-joined.yaml"
        lines = path.read_text("utf-8").splitlines()
        lines[next(n for n, line in enumerate(lines) if line.startswith("title:"))] = (
            f"title: Boards of version {number}"
        )
        path.write_text("\n".join(lines) + "\n", "utf-8")

    def start(self, *words: str) -> subprocess.Popen[str]:
        """Start a build in a process group of its own."""
        command = [
            sys.executable,
            "-m",
            "benchlore",
            "build",
            "--shelf",
            str(self.shelf),
            "--out",
            str(self.out),
            *words,
        ]
        env = {**os.environ, "PYTHONPATH": str(ROOT / "builder"), "BENCHLORE_CACHE": str(self.cache)}
        return subprocess.Popen(
            command, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True
        )

    def build(self, *words: str) -> dict[str, bytes]:
        """Build; gives the site."""
        process = self.start(*words)
        _, said = process.communicate(timeout=120)
        assert process.returncode == 0, said
        return self.site()

    def forget(self) -> None:
        """Lose what was kept of earlier builds, all but the sums, which take long."""
        for kept in self.cache.glob("works-*"):
            kept.unlink()

    def site(self) -> dict[str, bytes]:
        """Every file of the site."""
        return {p.relative_to(self.out).as_posix(): p.read_bytes() for p in sorted(self.out.rglob("*")) if p.is_file()}

    def beside(self) -> list[str]:
        """What lies beside the site and is not the bench's own."""
        return sorted(p.name for p in self.out.parent.iterdir() if p not in (self.shelf, self.out, self.cache))
