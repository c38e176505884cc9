"""A page opened from disk, watched: what the console says, what is fetched, what runs that should not."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any


@dataclass
class Watched:
    """An open page, and everything suspicious that it did."""

    page: Any
    site: Path
    console: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def open(self, path: str) -> Any:
        """Open a page of the site from disk."""
        self.page.goto(f"{self.site.as_uri()}/{path}")
        return self.page

    def outside(self) -> list[str]:
        """Requests to anything but the site's own files."""
        home = self.site.as_uri()
        return [url for url in self.requests if not url.startswith((home, "data:"))]


Opener = Callable[..., Watched]


def one_of_each(site: Path) -> list[str]:
    """One page of each kind: every page at the root, and the largest of each folder."""
    pages = sorted(p.name for p in site.glob("*.html"))
    for folder in sorted(p for p in site.iterdir() if p.is_dir() and p.name != "assets"):
        found = sorted(folder.glob("*.html"), key=lambda p: (-p.stat().st_size, p.name))
        pages += [f"{folder.name}/{found[0].name}"] if found else []
    return pages
