"""Pages opened from disk, watched: what the console says, what is fetched, what runs that should not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from watching import Opener, Watched


@pytest.fixture
def watch(chromium: Any) -> Iterator[Opener]:
    """Opens a watched page: ``watch(site, width=360, dark=True, scripts=False, ...)``."""
    contexts = []

    def opener(
        site: Path, *, width: int = 1280, height: int = 900, dark: bool = False, scripts: bool = True, **more: Any
    ) -> Watched:
        context = chromium.new_context(
            viewport={"width": width, "height": height},
            color_scheme="dark" if dark else "light",
            java_script_enabled=scripts,
            **more,
        )
        contexts.append(context)
        page = context.new_page()
        watched = Watched(page, site)
        page.on("console", lambda message: watched.console.append(f"{message.type}: {message.text}"))
        page.on("pageerror", lambda error: watched.console.append(f"error: {error}"))
        page.on("request", lambda request: watched.requests.append(request.url))
        page.on("dialog", lambda dialog: (watched.console.append(f"dialog: {dialog.message}"), dialog.dismiss()))
        return watched

    yield opener
    for context in contexts:
        context.close()
