"""Things worked out once and kept between runs, each under a digest of all that it depends on.

Losing any of it costs time and nothing else: what cannot be read is worked out anew, what cannot be written is not kept.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Keep:
    """A folder of kept things, or none."""

    folder: Path | None = None

    def get(self, kind: str, key: str) -> Any:
        """What was kept under ``key``, or None."""
        if self.folder is None:
            return None
        try:
            return json.loads((self.folder / f"{kind}-{key}.json").read_bytes())
        except (OSError, ValueError):
            return None

    def put(self, kind: str, key: str, data: Any) -> None:
        """Keep plain JSON data; a reader sees the whole of it or nothing."""
        if self.folder is None:
            return
        with suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=self.folder, prefix=".new-")
            try:
                with open(handle, "w", encoding="utf-8") as stream:
                    json.dump(data, stream, ensure_ascii=False, allow_nan=False)
                os.replace(name, self.folder / f"{kind}-{key}.json")
            except BaseException:
                with suppress(OSError):
                    os.unlink(name)
                raise


def usual_folder(environment: Mapping[str, str], platform: str) -> Path | None:
    """Where this user's machine keeps such things; None when it does not say."""
    if "BENCHLORE_CACHE" in environment:
        named = environment["BENCHLORE_CACHE"]
        return Path(named) if named else None
    if platform == "win32":
        home = environment.get("LOCALAPPDATA")
        return Path(home) / "benchlore" / "cache" if home else None
    home = environment.get("XDG_CACHE_HOME") or (environment.get("HOME") and str(Path(environment["HOME"]) / ".cache"))
    return Path(home) / "benchlore" if home else None


@cache
def code_digest() -> str:
    """A digest of this package's own files as this process met them: what was worked out by other code is not used."""
    here = Path(__file__).resolve().parent
    digest = hashlib.sha256()
    for source in sorted(p for p in here.rglob("*") if p.suffix in (".py", ".html", ".css", ".js", ".svg")):
        digest.update(source.relative_to(here).as_posix().encode() + b"\0" + source.read_bytes())
    return digest.hexdigest()
