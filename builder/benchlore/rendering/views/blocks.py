"""The pieces of which a page's sections are made; each knows the template that shows it and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Protocol

from markupsafe import Markup

NOTHING = Markup()
LONG = 44  # letters that a fact may have before it takes more than one column
"""No words at all; a template leaves the place out."""


@dataclass(frozen=True, slots=True)
class Link:
    """Words that lead somewhere; ``note`` stands after them, ``tag`` is a short label beside them."""

    words: str
    url: str
    note: Markup = NOTHING
    tag: str = ""


@dataclass(frozen=True, slots=True)
class CautionView:
    """A safety line; the hazard decides nothing but the words in front."""

    hazard: str
    words: Markup


@dataclass(frozen=True, slots=True)
class Prose:
    """Paragraphs."""

    template: ClassVar[str] = "blocks/prose.html"
    html: Markup


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a list."""

    html: Markup
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list; ``style`` is plain, ticks, numbered, marks or quotes."""

    template: ClassVar[str] = "blocks/bullets.html"
    items: tuple[Item, ...]
    style: str = "plain"
    label: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a piece of work."""

    number: int
    anchor: str
    do: Markup
    live: bool = False
    must: bool = False
    hazard: str = ""
    warning: Markup = NOTHING
    why: Markup = NOTHING
    tears: Markup = NOTHING
    expect: Markup = NOTHING


@dataclass(frozen=True, slots=True)
class Steps:
    """Steps in order."""

    template: ClassVar[str] = "blocks/steps.html"
    items: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """A table's cell; ``look`` is empty, number or tight."""

    html: Markup
    look: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """A table's row: its heading cell first."""

    head: Cell
    cells: tuple[Cell, ...]
    anchor: str = ""
    bar: Bar | None = None

    def labelled(self, head: tuple[Cell, ...]) -> tuple[tuple[str, Cell], ...]:
        """Each cell with the words of its column, for a narrow screen where every cell names itself."""
        return tuple((title.html.striptags(), cell) for title, cell in zip(head[1:], self.cells, strict=True))


@dataclass(frozen=True, slots=True)
class Bar:
    """A stretch on a scale from 0 to 100, as SVG percentages, and in words."""

    start: str
    width: str
    words: str
    middle: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table; ``look`` is plain (scrolls in its own box), short (the same, heads of rows no wider than
    their words) or stack (each row a card on a narrow screen).

    The caption is for those who listen, unless ``titled`` shows it to all."""

    template: ClassVar[str] = "blocks/table.html"
    caption: str
    head: tuple[Cell, ...]
    rows: tuple[Row, ...]
    look: str = "plain"
    titled: bool = False


@dataclass(frozen=True, slots=True)
class Fact:
    """A named figure or word."""

    label: str
    html: Markup
    note: Markup = NOTHING
    anchor: str = ""

    @property
    def long(self) -> bool:
        """Too long for a narrow column of figures."""
        return len(self.html.striptags()) > LONG


@dataclass(frozen=True, slots=True)
class Facts:
    """Named figures side by side."""

    template: ClassVar[str] = "blocks/facts.html"
    items: tuple[Fact, ...]
    label: str = ""


@dataclass(frozen=True, slots=True)
class Cautions:
    """Safety lines inside a section."""

    template: ClassVar[str] = "blocks/cautions.html"
    items: tuple[CautionView, ...]


@dataclass(frozen=True, slots=True)
class Links:
    """A list of links with their notes; ``look`` is plain or tiles."""

    template: ClassVar[str] = "blocks/links.html"
    items: tuple[Link, ...]
    label: str = ""
    look: str = "plain"


@dataclass(frozen=True, slots=True)
class Card:
    """A titled piece with facts and words, to be found by its anchor; ``anchors`` are the former ones."""

    title: Link
    anchor: str = ""
    anchors: tuple[str, ...] = ()
    kicker: str = ""
    often: Often | None = None
    body: tuple[Markup, ...] = ()
    facts: tuple[Fact, ...] = ()
    cautions: tuple[CautionView, ...] = ()
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Often:
    """How often, in words and in filled dots out of four or five."""

    words: str
    filled: str
    empty: str


@dataclass(frozen=True, slots=True)
class Cards:
    """Cards, in a grid (``tiles``) or one below the other (``rows``)."""

    template: ClassVar[str] = "blocks/cards.html"
    items: tuple[Card, ...]
    look: str = "tiles"
    label: str = ""


@dataclass(frozen=True, slots=True)
class Check:
    """One test that proves or clears a fault."""

    anchor: str
    do: Markup
    chips: tuple[str, ...]
    live: bool
    passes: Markup
    fails: Markup
    how: Markup = NOTHING
    caution: Markup = NOTHING
    tools: str = ""
    trust: str = ""
    after: tuple[Link, ...] = ()
    also: tuple[Link, ...] = ()


@dataclass(frozen=True, slots=True)
class Checks:
    """Checks in order."""

    template: ClassVar[str] = "blocks/checks.html"
    items: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class IdleScale:
    """Idle share on a scale, in percentages of the scale's width; each label says what its mark is."""

    template: ClassVar[str] = "blocks/idle.html"
    summary: str
    stock: Bar
    stock_label: str
    mark: str
    verdict: str
    aim: Bar
    aim_label: str
    limit: str
    over: str
    limit_label: str
    ticks: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A finished SVG of our own making, the list that belongs to it, and its figures as a table (head first); ``live``
    names the chart that a script draws again."""

    template: ClassVar[str] = "blocks/drawing.html"
    svg: Markup
    title: str
    caption: str
    key: tuple[KeyItem, ...] = ()
    marks: Markup = NOTHING
    figures: tuple[tuple[str, ...], ...] = ()
    live: str = ""


@dataclass(frozen=True, slots=True)
class KeyItem:
    """A line of the list beside a drawing: the mark as it stands in the drawing, and what it is."""

    mark: Markup
    html: Markup


@dataclass(frozen=True, slots=True)
class DrawingSet:
    """Drawings side by side."""

    template: ClassVar[str] = "blocks/drawings.html"
    items: tuple[Drawing, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a section."""

    template: ClassVar[str] = "blocks/heading.html"
    words: str
    anchor: str = ""


class Block(Protocol):
    """Anything with a template that shows it."""

    template: ClassVar[str]


@dataclass(frozen=True, slots=True)
class Folded:
    """A part of a section that is folded away on a phone; ``note`` says what is inside."""

    template: ClassVar[str] = "blocks/folded.html"
    words: str
    note: str
    blocks: tuple[Block, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A part of a page with a heading and an anchor of its own.

    With ``fold``, which says what is inside, a phone shows the heading and that line until it is opened. Cautions and steps that
    carry them are never put into such a section.
    """

    anchor: str
    heading: str
    blocks: tuple[Block, ...]
    lede: str = ""
    word: Markup = NOTHING
    fold: str = ""
