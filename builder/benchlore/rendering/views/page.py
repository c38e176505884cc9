"""The page itself, and the helpers by which every view is put together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from benchlore.addresses import LISTED, PLURALS, relative
from benchlore.entries.common import Caution, Entry, Source
from benchlore.entries.fields import table_of
from benchlore.linking.library import Library
from benchlore.rendering.prose import Pen
from benchlore.rendering.views.blocks import (
    NOTHING,
    Block,
    Bullets,
    CautionView,
    Fact,
    Folded,
    Item,
    Link,
    Often,
    Section,
)

KIND_WORDS: Mapping[str, tuple[str, str]] = {
    "family": ("Family", "Families"),
    "stage": ("Stage", "Stages"),
    "fault": ("Fault", "Faults"),
    "symptom": ("Symptom", "Symptoms"),
    "tube": ("Tube", "Tubes"),
    "procedure": ("Procedure", "Procedures"),
    "calculator": ("Calculator", "Calculators"),
    "term": ("Term", "Glossary"),
    "fastener": ("Fastener", "Fasteners"),
    "finding": ("Finding", "Findings"),
    "shop": ("Shop", "This shop"),
}
NAMES_SHOWN = 5
NAMES_AT_MOST = 7
HOW_OFTEN = ("seldom", "now and then", "common", "nearly every one")


@dataclass(frozen=True, slots=True)
class PageView:
    """All that the template of an ordinary page shows."""

    path: str
    title: str
    kind: str
    kicker: tuple[Link, ...] = ()
    lede: Markup = NOTHING
    lede_anchor: str = "summary"
    other_names: tuple[str, ...] = ()
    asked: tuple[str, ...] = ()
    strip: tuple[Fact, ...] = ()
    cautions: tuple[CautionView, ...] = ()
    actions: tuple[Link, ...] = ()
    sections: tuple[Section, ...] = ()
    byline: tuple[Fact, ...] = ()
    template: str = "entry.html"
    extra: Any = None
    scripts: tuple[str, ...] = ()

    @property
    def names_shown(self) -> tuple[str, ...]:
        """The names that stand in the open: all, or the first where many more would push the cautions down."""
        return self.other_names if len(self.other_names) <= NAMES_AT_MOST else self.other_names[:NAMES_SHOWN]

    @property
    def names_folded(self) -> tuple[str, ...]:
        """The names that wait behind a line that opens; they are there for the search."""
        return self.other_names[len(self.names_shown) :]

    @property
    def contents(self) -> tuple[Link, ...]:
        """Links to the sections, where there are enough of them to get lost in."""
        links = tuple(Link(part.heading, f"#{part.anchor}") for part in self.sections)
        return links if len(links) > 2 else ()

@dataclass(frozen=True, slots=True)
class Here:
    """One page being written: what the book knows, and the pen that writes it."""

    library: Library
    pen: Pen
    path: str

    def to(self, target: str) -> str:
        """A path from the site's root as a link on this page."""
        return relative(target, self.path)

    def link(self, kind: str, id: str, note: str | Markup | None = None, tag: str = "", section: str = "") -> Link:
        """A link to an entry, in the words of its title."""
        entry = self.library.get(kind, id) or self.library.retired.get((kind, id))
        words = entry.title if entry else id
        return Link(
            words, self.pen.url(kind, id, section), note if isinstance(note, Markup) else self.pen.line(note), tag
        )

    def links(self, kind: str, ids: Iterable[str]) -> tuple[Link, ...]:
        """Links to entries of one kind."""
        return tuple(self.link(kind, id) for id in ids)

    def anchor(self, kind: str, id: str, words: str = "") -> Markup:
        """A link as HTML, for the inside of a sentence or a cell."""
        link = self.link(kind, id)
        return Markup('<a href="{}">{}</a>').format(link.url, words or link.words)

    def anchors(self, kind: str, ids: Iterable[str]) -> Markup:
        """Several links as HTML, parted by commas."""
        return Markup(", ").join(self.anchor(kind, id) for id in ids)

    def cautions(self, cautions: Iterable[Caution]) -> tuple[CautionView, ...]:
        """Safety lines."""
        return tuple(CautionView(c.hazard, self.pen.line(c.words)) for c in cautions)

    def list_of(self, name: str, texts: Iterable[str], style: str = "plain", label: str = "") -> Bullets:
        """A list of texts of the field ``name``, each with an anchor of its own."""
        anchor = name.replace("_", "-")
        return Bullets(tuple(Item(self.pen.line(t), f"{anchor}-{n}") for n, t in enumerate(texts, 1)), style, label)

    def link_list(self, name: str, kind: str, ids: Iterable[str]) -> Bullets:
        """A list of links of the field ``name``."""
        anchor = name.replace("_", "-")
        return many(tuple(Item(self.anchor(kind, id), f"{anchor}-{id}") for id in ids))


def many(items: tuple[Item, ...]) -> Bullets:
    """A list of links; a long one runs in columns."""
    return Bullets(items, "many" if len(items) > 6 else "ways")


def kicker(kind: str, here: Here, group: str = "") -> tuple[Link, ...]:
    """The line above a page's title: its kind, and its group."""
    one, _ = KIND_WORDS[kind]
    target = f"{PLURALS[kind]}.html" if kind in PLURALS else LISTED[kind]
    links = [Link(one, here.to(target))]
    if group:
        links.append(Link(group, here.to(f"{target}#{anchor_of(group)}")))
    return tuple(links)


def anchor_of(words: str) -> str:
    """An anchor made of words of a closed list."""
    return "".join(c if c.isalnum() else "-" for c in words.lower()).strip("-")


def often(words: str, scale: Sequence[str] = HOW_OFTEN) -> Often:
    """A frequency word with its dots; ``scale`` runs from seldom to always."""
    rank = scale.index(words) + 1
    return Often(words, "●" * rank, "○" * (len(scale) - rank))


def often_html(words: str, scale: Sequence[str] = HOW_OFTEN) -> Markup:
    """The same as HTML for a table's cell."""
    view = often(words, scale)
    dots = '<span class="often"><span class="often-dots" aria-hidden="true">{}{}</span> {}</span>'
    return Markup(dots).format(view.filled, view.empty, view.words)


def section(
    entry_or_record: type[Any], name: str, heading: str, *blocks: Block | None, lede: str = "", fold: str = ""
) -> Section | None:
    """The section of a field, under the field's own anchor, or None where there is nothing to show."""
    field = table_of(entry_or_record)[name]
    kept = tuple(b for b in blocks if b is not None and _holds(b))
    return Section(field.anchor, heading, kept, lede, fold=fold) if kept else None


def sections(*made: Section | None) -> tuple[Section, ...]:
    """The sections that have something to show."""
    return tuple(s for s in made if s is not None)


def folding(parts: Iterable[Section]) -> tuple[str, ...]:
    """The script that folds long parts on a phone, for a page that has some."""
    folds = any(part.fold or any(isinstance(block, Folded) for block in part.blocks) for part in parts)
    return ("assets/js/fold.js",) if folds else ()


def _holds(block: Block) -> bool:
    for name in ("items", "rows"):
        if hasattr(block, name):
            return bool(getattr(block, name))
    return bool(getattr(block, "html", True))


def source_html(here: Here, source: Source) -> Markup:
    """A source in one line, with how it is known."""
    pen = here.pen
    parts = [p for p in (pen.line(source.publisher), pen.line(source.date), pen.line(source.where)) if p]
    line = Markup('<span class="source-title">{}</span>').format(pen.line(source.title))
    if parts:
        line += Markup(", ") + Markup(", ").join(parts)
    chip = source.known if source.known != source.title else None
    if chip:
        line += Markup(' <span class="chip">{}</span>').format(HOW_KNOWN_WORDS[chip])
    return line + Markup(" {}" if chip else ". {}").format(pen.line(source.note)) if source.note else line


HOW_KNOWN_WORDS = {
    "read": "read from it",
    "computed": "computed",
    "memory": "from memory: check the sheet",
    "common practice": "common practice",
}


def sources_section(here: Here, entry: Entry) -> Section | None:
    """Where the entry's figures and rules come from."""
    items = tuple(Item(source_html(here, s), f"sources-{n}") for n, s in enumerate(entry.sources, 1))
    return section(Entry, "sources", "Sources", Bullets(items))


def byline(here: Here, entry: Entry) -> tuple[Fact, ...]:
    """Who wrote the entry, when, and on which shelf it stands."""
    rows: list[tuple[str, str, str]] = [
        ("Former ids", ", ".join(entry.was), "was"),
        ("Written", entry.added.isoformat() if entry.added else "", "added"),
        ("Changed", entry.changed.isoformat() if entry.changed else "", "changed"),
        ("By", ", ".join(entry.by), "by"),
        ("Shelf", entry.shelf, ""),
    ]
    written = tuple(Fact(label, escape(words), Markup(), anchor) for label, words, anchor in rows if words)
    return (*written, *_amended(entry))


def _amended(entry: Entry) -> Iterator[Fact]:
    """Which fields are an upper shelf's word, by the file in which each stands."""
    own = entry.file()
    by: dict[str, list[Markup]] = {}
    for field in table_of(type(entry)).values():
        file = entry.file(field.name)
        if file != own:
            link = Markup('<a href="#{}">{}</a>').format(field.anchor, field.label)
            by.setdefault("/".join(file.split("/")[:-2]), []).append(link)
    for shelf, fields in by.items():
        name = shelf.rpartition("/")[2]
        yield Fact("This shop's word" if name in ("", ".") else f"Word of {name}", Markup(", ").join(fields))


def facts(rows: Iterable[tuple[str, str | Markup, str]]) -> tuple[Fact, ...]:
    """Facts of (label, words, anchor), without those that have no words."""
    return tuple(Fact(label, escape(words), Markup(), anchor) for label, words, anchor in rows if words)


def grouped(entries: Iterable[Any], groups: Sequence[str], key: Callable[[Any], str]) -> list[tuple[str, list[Any]]]:
    """Entries by group, in the groups' own order, without empty groups."""
    by: dict[str, list[Any]] = {group: [] for group in groups}
    for entry in entries:
        by[key(entry)].append(entry)
    return [(group, of) for group, of in by.items() if of]


def run_on(lines: Iterable[Markup]) -> Markup:
    """Several lines as one: whole sentences follow each other, pieces are parted by semicolons."""
    said = Markup()
    for line in lines:
        gap = "" if not said else " " if said.rstrip().endswith((".", "!", "?")) else "; "
        said += Markup(gap) + line
    return said


def count_words(count: int, one: str, many: str) -> str:
    """``1 fault``, ``4 faults``."""
    return f"{count} {one if count == 1 else many}"
