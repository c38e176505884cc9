"""Words of entries to HTML: careful Markdown, mentions resolved, names linked, nothing that could run.

``Text`` and ``Prose`` fields come through here and nowhere else.  Raw HTML and pictures are off, links may lead only
to http, https and other entries, and what a page's words become is made of our own tags alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup, escape

from benchlore.addresses import relative, url_of
from benchlore.entries.common import Entry
from benchlore.entries.kinds import KINDS
from benchlore.rendering.lexicon import Lexicon, lexicon

OUTSIDE = re.compile(r"https?://[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?(?::\d{1,5})?(?:[/?#][^\s\\]*)?", re.IGNORECASE)
MENTION = re.compile(r"([a-z]+):([a-z0-9-]{1,60})(?:#([a-z0-9-]{1,120}))?")
OUTSIDE_MARK = Markup('<span class="said"> (link to the outside)</span>')
_NEEDS_PARSER = re.compile(r"[\\`*_\[\]<>&~!|#\n\t]|  ")
_PLAIN_PARAGRAPHS = re.compile(r"(?:\w[^\\`*_\[\]<>&~!|#\n\t]*\n)*\w[^\\`*_\[\]<>&~!|#\n\t]*")
_LIST_START = re.compile(r"^\d{1,9}[.)]", re.MULTILINE)


class Mention(NamedTuple):
    """An entry spoken of, and the section of its page where one is named."""

    kind: str
    id: str
    section: str = ""


class _Careful(MarkdownIt):
    """markdown-it with our own idea of which links are allowed."""

    def validateLink(self, url: str) -> bool:  # noqa: N802 - the library's name
        """Only the web and other entries; the rest stays as typed."""
        return is_outside(url) or mention_of(url) is not None


def is_outside(url: str) -> bool:
    """Whether ``url`` is a plain web address."""
    return OUTSIDE.fullmatch(url) is not None


def mention_of(url: str) -> Mention | None:
    """The entry meant by ``fault:filter-dried`` or ``stage:spring-reverb#lead-dress``, or None."""
    match = MENTION.fullmatch(url)
    return Mention(match[1], match[2], match[3] or "") if match and match[1] in KINDS else None


def _parser() -> MarkdownIt:
    return _Careful("js-default", {"html": False, "linkify": False, "typographer": False}).disable(["image"])


@dataclass(frozen=True)
class Scribe:
    """Writes the words of one site; hands out a pen for each page."""

    entries: Mapping[str, Mapping[str, Entry]]
    names: Lexicon
    parser: MarkdownIt = field(default_factory=_parser)

    def pen(self, page: str, about: Iterable[tuple[str, str]] = ()) -> Pen:
        """A pen for the page at ``page``, which does not link to what the page is ``about``."""
        return Pen(self, page, frozenset(about))


def scribe(entries: Mapping[str, Mapping[str, Entry]]) -> Scribe:
    """A scribe that knows every entry by its names."""
    return Scribe(entries, lexicon(entries))


class Pen:
    """Writes the words of one page, and remembers which terms it has linked already."""

    def __init__(self, scribe: Scribe, page: str, about: frozenset[tuple[str, str]]) -> None:
        self._scribe = scribe
        self._page = page
        self._about = about
        self._linked: set[tuple[str, str]] = set()

    def line(self, text: str | None) -> Markup:
        """One line of ``Text`` as HTML; nothing for None."""
        if not text:
            return Markup()
        if not _NEEDS_PARSER.search(text):
            return self._named(text.strip())
        parser = self._scribe.parser
        tokens = parser.parseInline(text, {})
        for token in tokens:
            token.children = self._inline(token.children or [])
        return Markup(parser.renderer.render(tokens, parser.options, {}).replace("\n", " ").strip())

    def paragraphs(self, text: str | None) -> Markup:
        """``Prose`` as HTML blocks; headings stand below the page's own. Nothing for None."""
        if not text:
            return Markup()
        parts = [p.strip("\n") for p in re.split(r"\n[ ]*\n", text.strip())]
        if all(_PLAIN_PARAGRAPHS.fullmatch(p) and not _LIST_START.search(p) and "  " not in p for p in parts):
            return Markup("\n").join(Markup("<p>{}</p>").format(self._named(p)) for p in parts)
        parser = self._scribe.parser
        tokens = parser.parse(text, {})
        _lower_headings(tokens)
        for token in tokens:
            if token.type == "inline":
                token.children = self._inline(token.children or [])
        return _boxed_tables(Markup(parser.renderer.render(tokens, parser.options, {}).strip()))

    def plain(self, text: str | None) -> str:
        """The same words without markup, for the inside of links, titles and labels."""
        if not text or not _NEEDS_PARSER.search(text):
            return (text or "").strip()
        tokens = self._scribe.parser.parseInline(text.replace("\n", " "), {})
        children = [c for t in tokens for c in t.children or []]
        return "".join(self._bare(children)).strip()

    def url(self, kind: str, id: str, section: str = "") -> str:
        """The entry's address as seen from this page."""
        return relative(url_of(kind, id, section), self._page)

    def _bare(self, tokens: Sequence[Token]) -> Iterable[str]:
        for at, token in enumerate(tokens):
            if token.type in ("text", "code_inline"):
                yield token.content
            elif token.type in ("softbreak", "hardbreak"):
                yield " "
            elif token.type == "link_open" and tokens[at + 1].type == "link_close":
                yield self._title(mention_of(str(token.attrGet("href"))))

    def _inline(self, tokens: Sequence[Token]) -> list[Token]:
        """The tokens with links finished and names linked."""
        done: list[Token] = []
        link: Token | None = None
        for at, token in enumerate(tokens):
            if token.type == "link_open":
                link = token
                done += self._opened(token, empty=tokens[at + 1].type == "link_close")
            elif token.type == "link_close":
                if link is not None and is_outside(str(link.attrGet("href"))):
                    done.append(_raw(OUTSIDE_MARK))
                link = None
                done.append(token)
            elif token.type == "text" and link is None:
                done.append(_raw(self._named(token.content)))
            elif token.type == "text" and link is not None and link.info == "auto":
                done.append(_raw(escape(self._title(link.meta.get("mention")) or token.content)))
            else:
                done.append(token)
        return done

    def _opened(self, token: Token, *, empty: bool) -> list[Token]:
        """The opening of a link, with its words where it has none of its own."""
        href = str(token.attrGet("href"))
        mention = mention_of(href)
        if mention is None:
            token.attrs = outside_attributes(href)
            return [token, _raw(escape(href))] if empty else [token]
        token.meta = {"mention": mention}
        token.attrs = {"href": self.url(*mention)}
        self._linked.add(mention[:2])
        return [token, _raw(escape(self._title(mention)))] if empty else [token]

    def _title(self, mention: Mention | None) -> str:
        entry = self._scribe.entries.get(mention.kind, {}).get(mention.id) if mention else None
        return entry.title if entry else (mention.id if mention else "")

    def _named(self, text: str) -> Markup:
        """Plain text as HTML, with the names of tubes, terms and fasteners linked on first mention."""
        done: list[Markup] = []
        at = 0
        for hit in self._scribe.names.hits(text):
            name = (hit.kind, hit.id)
            if name in self._about or name in self._linked:
                continue
            self._linked.add(name)
            link = Markup('<a class="name" href="{}">{}</a>').format(self.url(*name), text[hit.start : hit.end])
            done += [escape(text[at : hit.start]), link]
            at = hit.end
        return Markup().join([*done, escape(text[at:])])


def outside_attributes(href: str) -> dict[str, str | int | float]:
    """The attributes of a link that leaves the site."""
    return {"href": href, "class": "outside", "rel": "noreferrer noopener external", "referrerpolicy": "no-referrer"}


def _raw(html: Markup) -> Token:
    """A token that carries HTML of our own making."""
    return Token("html_inline", "", 0, content=str(html))


def _lower_headings(tokens: Sequence[Token]) -> None:
    """Move headings so that the highest of them is an h3, below the h2 of its section."""
    levels = [int(t.tag[1]) for t in tokens if t.type == "heading_open"]
    for token in tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(6, int(token.tag[1]) - min(levels) + 3)}"


def _boxed_tables(html: Markup) -> Markup:
    """Tables of the text in a box of their own, so that a wide one scrolls by itself."""
    opened = html.replace(Markup("<table>"), Markup('<div class="scroll" tabindex="0"><table>'))
    return opened.replace(Markup("</table>"), Markup("</table></div>"))
