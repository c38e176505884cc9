"""``benchlore preview``: the site on this machine alone, built again at each save."""

from __future__ import annotations

import tempfile
import threading
import webbrowser
from pathlib import Path

import click

from benchlore.cli.options import keep, shelf_option, stack
from benchlore.cli.words import complain, complain_of, say


@click.command()
@shelf_option
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    default=8613,
    show_default=True,
    help="Port on 127.0.0.1; 0 takes any that is free.",
)
@click.option("--open", "open_", is_flag=True, help="Open it in the browser.")
def preview(shelves: tuple[Path, ...], port: int, open_: bool) -> int:
    """Serve the site on 127.0.0.1 only; build and reload on every save, with problems shown over the page.

    \b
    Example: benchlore preview --open
    """
    from watchfiles import watch

    from benchlore.pipeline import build
    from benchlore.serving import News, serve

    stacked = stack(shelves)
    news = News()
    with tempfile.TemporaryDirectory(prefix="benchlore-preview-") as folder:
        out = Path(folder) / "site"

        def make() -> None:
            built = build(stacked, out, keep())
            news.tell([str(p) for p in built.checked.problems if p.severity == "error"])
            complain_of(built.checked.problems)
            say(
                f"{'Built' if built.published else 'Not built; the page shows the last good site'} ({built.seconds:.2f} s)"
            )

        make()
        server = serve(out, news, port)
        address = f"http://127.0.0.1:{server.server_port}/"
        threading.Thread(target=server.serve_forever, daemon=True).start()
        say(f"Preview at {address}  (Ctrl-C stops it)")
        if open_:
            webbrowser.open(address)
        try:
            for _ in watch(*stacked, step=50, debounce=200, raise_interrupt=False):
                try:
                    make()
                except OSError as error:
                    complain(f"not built: {error.strerror or error}")
        finally:
            server.shutdown()
            server.server_close()
    return 0
