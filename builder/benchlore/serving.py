"""A small server for ``preview``: files of the site on loopback, and a stream that tells the page when to reload.

Served pages differ from those on disk in two ways only: one script more, and leave to hear from this server.
"""

from __future__ import annotations

import json
import re
import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

LISTENER = "/benchlore-preview.js"
STREAM = "/benchlore-preview-events"
SCRIPT = """
(function () {
  "use strict";
  var kept = sessionStorage.getItem("benchlore-scroll " + location.pathname);
  if (kept !== null) { window.scrollTo(0, Number(kept)); sessionStorage.removeItem("benchlore-scroll " + location.pathname); }
  var last = null;
  new EventSource("/benchlore-preview-events").onmessage = function (event) {
    var news = JSON.parse(event.data);
    var old = document.getElementById("benchlore-preview-problems");
    if (old) { old.remove(); }
    if (news.problems.length) {
      var box = document.createElement("div");
      box.id = "benchlore-preview-problems";
      box.setAttribute("role", "alert");
      box.style.cssText = "position:fixed;inset:auto 0 0 0;max-height:60vh;overflow:auto;background:#fff;color:#7a0016;border-top:4px solid;padding:1rem;font:14px/1.5 monospace;white-space:pre-wrap;z-index:9999";
      box.textContent = news.problems.length + " to mend; this is the last good page.\\n\\n" + news.problems.join("\\n");
      document.body.append(box);
    } else if (last !== null && news.build !== last) {
      sessionStorage.setItem("benchlore-scroll " + location.pathname, String(window.scrollY));
      location.reload();
    }
    last = news.build;
  };
})();
"""


POLICY = re.compile(rb"default-src (?:'none'|&#39;none&#39;);")
EMPTY = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>Preview</title>
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self';"></head>
<body><h1>Nothing is built yet</h1><p>The page comes by itself as soon as nothing is wrong in the entries.</p></body></html>
"""


class News:
    """What the pages wait for: the number of the last good build, and the problems of the last try."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self.build = 0
        self.version = 0
        self.problems: list[str] = []

    def tell(self, problems: list[str]) -> None:
        """A build ended, with these problems or none."""
        with self._changed:
            self.version += 1
            self.problems = problems
            self.build += not problems
            self._changed.notify_all()

    def wait(self, version: int, seconds: float) -> tuple[int, str]:
        """The news after ``version``, waiting for it at most ``seconds``: its version, and the data for the page."""
        with self._changed:
            self._changed.wait_for(lambda: self.version != version, seconds)
            return self.version, json.dumps({"build": self.build, "problems": self.problems})


class _Handler(SimpleHTTPRequestHandler):
    news: News

    def log_message(self, format: str, *args: object) -> None:
        """Nothing: the terminal belongs to the problems."""

    def do_HEAD(self) -> None:
        if self._welcome():
            super().do_HEAD()

    def do_GET(self) -> None:
        if not self._welcome():
            return
        if self.path == LISTENER:
            self._send(SCRIPT.encode(), "text/javascript")
        elif self.path == STREAM:
            self._stream()
        elif (page := self._page()) is not None:
            self._send(page, "text/html; charset=utf-8")
        else:
            super().do_GET()

    def _welcome(self) -> bool:
        """Was the page asked for under this machine's own name?  A page elsewhere must not read the book under another."""
        host = self.headers.get("Host", "").rpartition(":")[0] or self.headers.get("Host", "")
        if host not in ("127.0.0.1", "localhost"):
            self.send_error(403)
            return False
        return True

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-store")
        super().end_headers()

    def _page(self) -> bytes | None:
        path = Path(self.translate_path(self.path))
        path = path / "index.html" if path.is_dir() or self.path == "/" else path
        if path.suffix != ".html" or not (path.is_file() or self.news.build == 0):
            return None
        page = POLICY.sub(
            rb"\g<0> connect-src 'self';", path.read_bytes() if path.is_file() else EMPTY.encode(), count=1
        )
        return page.replace(b"</body>", f'<script src="{LISTENER}"></script></body>'.encode(), 1)

    def _send(self, body: bytes, kind: str) -> None:
        self.send_response(200)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def _stream(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/event-stream")
        self.end_headers()
        version = -1
        try:
            while True:
                version, data = self.news.wait(version, 15)
                self.wfile.write(f"data: {data}\n\n".encode())
                self.wfile.flush()
        except OSError:
            return  # the page was closed


Server = ThreadingHTTPServer


def serve(folder: Path, news: News, port: int) -> Server:
    """A server of ``folder`` on 127.0.0.1, not yet running.  Raises ``OSError`` when the port is taken."""
    handler = type("Handler", (_Handler,), {"news": news})
    server = ThreadingHTTPServer(("127.0.0.1", port), partial(handler, directory=str(folder)))
    server.daemon_threads = True
    return server
