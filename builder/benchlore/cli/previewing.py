"""``benchlore preview``: the site on this machine alone, built again at each save."""

from __future__ import annotations

import tempfile
import threading
import webbrowser
from collections.abc import Sequence
from pathlib import Path

import click

from benchlore.cli.options import keep, quiet_option, shelf_option, stack
from benchlore.cli.waiting import waiting
from benchlore.cli.words import complain, complain_of, say
from benchlore.meter import BUILDING, Meter
from benchlore.serving import News, Server, serve
from benchlore.writing import MachineRefused

TURN = 200  # ms after which the watch says that nothing was saved
INTERRUPTED = 130
"""How every command ends that Ctrl-C stopped; this one has no other end."""


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
@quiet_option
def preview(shelves: tuple[Path, ...], port: int, open_: bool, quiet: bool) -> int:
    """Serve the site on 127.0.0.1 only; build and reload on every save, with problems shown over the page.

    The site is built in a folder of its own, which goes when you stop it; yours stays as it is.

    \b
    Example: benchlore preview --open
    """
    from watchfiles import watch

    stacked = stack(shelves)
    news = News()
    with tempfile.TemporaryDirectory(prefix="benchlore-preview-") as folder:
        out = Path(folder) / "site"
        server = _serving(out, news, port)
        saves = watch(*stacked, step=50, debounce=200, rust_timeout=TURN, yield_on_timeout=True)
        try:
            next(saves)  # the watch begins before the first build: what is saved meanwhile is not missed
            with waiting("Building the site", quiet, BUILDING) as meter:
                said = _build(stacked, out, news, meter)
            _tell(said, quiet)
            address = f"http://127.0.0.1:{server.server_port}/"
            say(f"Preview at {address}  (Ctrl-C stops it)")
            if open_:
                webbrowser.open(address)
            for saved in saves:
                if saved:
                    _tell(_build(stacked, out, news), quiet)
        except KeyboardInterrupt:
            _tell("Stopped.", quiet)
            return INTERRUPTED
        finally:
            server.shutdown()
            server.server_close()
    return 0


def _serving(out: Path, news: News, port: int) -> Server:
    """A server that runs by itself; a port that is taken is said in words."""
    try:
        server = serve(out, news, port)
    except OSError as error:
        raise MachineRefused(
            f"Could not serve on port {port}: {error.strerror or error}. Name another with --port, or --port 0."
        ) from None
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def _build(shelves: Sequence[Path], out: Path, news: News, meter: Meter | None = None) -> str:
    """One try; what came of it goes to the page, the problems also to the terminal."""
    from benchlore.pipeline import build

    try:
        built = build(shelves, out, keep(), meter=meter)
    except (OSError, MachineRefused) as refused:
        words = str(getattr(refused, "strerror", None) or refused)
        complain(f"Not built: {words}")
        news.tell([words])
        return ""
    news.tell([str(p) for p in built.checked.problems if p.severity == "error"])
    complain_of(built.checked.problems)
    if built.published is None:
        return f"Not built; the page shows the last good site ({built.seconds:.2f} s)"
    return f"Built ({built.seconds:.2f} s)"


def _tell(words: str, quiet: bool) -> None:
    if words and not quiet:
        say(words)
