"""Two general site builders from the registry, put to work on the same text as Markdown: hugo and mkdocs.

They know nothing of this trade: they check nothing, compute nothing and draw nothing, and their pages are as bare as can be.  hugo also writes one JSON list of
all text, mkdocs its own search index.  Both are installed into a folder of the bench's own.
"""

from __future__ import annotations

import subprocess
import venv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bench.shelves import loaded

WANTED = ("hugo", "mkdocs")
LIST = '[{{ range $n, $p := .Site.RegularPages }}{{ if $n }},{{ end }}{{ dict "title" .Title "url" .RelPermalink "text" .Plain | jsonify }}{{ end }}]'
PAGE = (
    "<!doctype html><html lang=en><head><meta charset=utf-8><title>{{ .Title }}</title></head>"
    "<body><h1>{{ .Title }}</h1>{{ .Content }}</body></html>"
)
BARE = (
    "<!doctype html><html lang=en><head><meta charset=utf-8><title>{{ page.title }}</title></head>"
    "<body>{{ page.content }}</body></html>"
)
MANY = "<!doctype html><html lang=en><title>{{ .Title }}</title><ul>{{ range .Pages }}<li><a href={{ .RelPermalink }}>{{ .Title }}</a>{{ end }}</ul></html>"


@dataclass(frozen=True)
class Builder:
    """A general builder: its name and version, its folder, its command to build and to serve, and where the pages go."""

    name: str
    folder: Path
    source: Path
    out: Path
    build: tuple[str, ...]
    again: tuple[str, ...]
    serve: tuple[str, ...]


def installed(folder: Path) -> tuple[Path, list[str]]:
    """A virtual environment with the builders, made where there is none; and what could not be installed."""
    place = folder / "builders"
    if not place.exists():
        venv.create(place, with_pip=True)
    missing = []
    for name in WANTED:
        if not (place / "bin" / name).exists():
            done = subprocess.run([place / "bin" / "pip", "install", "-q", name], capture_output=True)
            missing += [name] if done.returncode else []
    return place / "bin", missing


def builders(bin: Path, shelves: Sequence[Path], folder: Path, port: int) -> list[Builder]:
    """The builders that are there, each with its own copy of the text of the shelves."""
    found = []
    if (bin / "hugo").exists():
        place = folder / "hugo"
        _write(shelves, place / "content", "---\ntitle: {title}\n---\n")
        _plain(
            place / "hugo.yaml",
            f"baseURL: http://127.0.0.1:{port}/\ndisableKinds: [taxonomy, term, rss, sitemap]\noutputs: {{home: [html, json]}}\n",
        )
        for name, text in (("home.html", MANY), ("section.html", MANY), ("page.html", PAGE), ("home.json", LIST)):
            _plain(place / "layouts" / name, text)
        command = (str(bin / "hugo"), "--quiet", "--cacheDir", str(place / "cache"))
        serve = (
            str(bin / "hugo"),
            "server",
            "--port",
            str(port),
            "--disableLiveReload",
            "--cacheDir",
            str(place / "cache"),
        )
        found.append(
            Builder(_said(bin, "hugo", "version"), place, place / "content", place / "public", command, command, serve)
        )
    if (bin / "mkdocs").exists():
        place = folder / "mkdocs"
        _write(shelves, place / "docs", "# {title}\n")
        theme = "theme: {name: null, custom_dir: theme}\n"
        _plain(
            place / "mkdocs.yml",
            f"site_name: Bench\nsite_url: http://127.0.0.1:{port + 1}/\n{theme}plugins: [search]\n",
        )
        _plain(place / "theme" / "main.html", BARE)
        command = (str(bin / "mkdocs"), "build", "-q")
        serve = (str(bin / "mkdocs"), "serve", "-q", "-a", f"127.0.0.1:{port + 1}")
        found.append(
            Builder(
                _said(bin, "mkdocs", "--version"),
                place,
                place / "docs",
                place / "site",
                command,
                (*command, "--dirty"),
                serve,
            )
        )
    return found


def _said(bin: Path, name: str, question: str) -> str:
    said = subprocess.run([bin / name, question], capture_output=True, text=True).stdout
    version = next((word.strip("v,").partition("-")[0] for word in said.split() if word.strip("v")[:1].isdigit()), "")
    return f"{name} {version}"


def _plain(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")


def _write(shelves: Sequence[Path], folder: Path, head: str) -> None:
    """Every entry of the shelves as a page of Markdown."""
    for shelf in shelves:
        for path in sorted(shelf.rglob("*.yaml")):
            entry = loaded(path)
            _plain(
                folder / path.relative_to(shelf).with_suffix(".md"),
                head.format(title=entry["title"].replace(":", " ")) + markdown(entry),
            )


def markdown(entry: Mapping[str, Any]) -> str:
    """An entry's text: a heading for each field, a list for each list."""
    return "\n".join(
        line for name, value in entry.items() if name != "title" for line in ("", f"## {name}", "", *_lines(value, ""))
    )


def _lines(value: Any, indent: str) -> Iterator[str]:
    if isinstance(value, dict):
        for name, of in value.items():
            if isinstance(of, str):
                yield f"{indent}- **{name}**: {' '.join(of.split())}"
            else:
                yield f"{indent}- **{name}**"
                yield from _lines(of, indent + "    ")
    elif isinstance(value, list):
        for item in value:
            if isinstance(item, str):
                yield f"{indent}- {' '.join(item.split())}"
            else:
                yield from _lines(item, indent)
    elif indent:
        yield f"{indent}- {' '.join(value.split())}"
    else:
        yield value
