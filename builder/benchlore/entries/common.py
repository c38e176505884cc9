"""What every entry carries, and the small records that several kinds share."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from benchlore.entries.fields import Amount, Choice, Code, Date, Flag, Many, Part, Ref, Slug, Text, Whole, spec
from benchlore.place import Place
from benchlore.quantity import Quantity, Unknown

HOW_KNOWN = ("read", "computed", "memory", "common practice")
HAZARDS = ("stored charge", "mains", "high voltage", "hot glass", "earth", "glass", "weight", "sharp", "heat", "fumes", "lifting")
POWER = ("off", "on", "either")
HOW_COMMON = ("nearly every one", "common", "now and then", "seldom")


@dataclass(frozen=True, kw_only=True)
class Source:
    """Where a figure or a rule comes from. A bare text is its title; ``common practice`` says that there is none."""

    title: str = spec(Text(), "Title of the sheet, book or standard, or the words 'common practice'", need="required", example="EL84 data sheet")
    publisher: str | None = spec(Text(), "Who published it", example="Philips")
    date: str | None = spec(Text(), "Year, edition or sheet date as printed", example="1955")
    where: str | None = spec(Text(), "Page, table, clause or example", example="sheet 6")
    known: str | None = spec(Choice(HOW_KNOWN), "How we know it: read from it, computed from a package, recalled from memory, or common practice", example="read")
    note: str | None = spec(Text(), "What to mind when using it", example="the sheet does not name a rating system")


SOURCES = Many(Part(Source, shorthand="title"))


@dataclass(frozen=True, kw_only=True)
class Caution:
    """A safety line: what can hurt, and the words that the page must show."""

    hazard: str = spec(Choice(HAZARDS), "What kind of harm", need="required", example="stored charge")
    words: str = spec(Text(), "What to do about it, as one would say it to an apprentice", need="required", example="Prove the first capacitor dead with a meter before you touch anything near it.")


CAUTIONS = Many(Part(Caution))


@dataclass(frozen=True, kw_only=True)
class LeadDress:
    """Two things that must lie apart, and what is heard when they do not."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="heater-v1-grid")
    keep: str = spec(Text(), "The wire or part to keep in its place", need="required", example="heater pair to the first preamp socket")
    away_from: str = spec(Text(), "What it must stay away from", need="required", example="grid lead of the first stage")
    apart: Quantity | Unknown | None = spec(Amount("length", least=0, most=1), "How far apart at least", example="15 mm")
    heard: str = spec(Text(), "What is heard or measured when they lie together", need="required", example="steady low hum that follows no control")
    secure: str = spec(Text(), "How to hold it there", need="required", example="twist tightly, run along the chassis fold, cross signal leads at right angles")
    symptoms: tuple[str, ...] = spec(Many(Ref("symptom")), "Symptoms it gives", example="[hum-steady-low]")


@dataclass(frozen=True, kw_only=True)
class Change:
    """A change worth offering to an owner."""

    key: str = spec(Slug(), "Short key, unique in the list", need="required", example="cooler-idle")
    change: str = spec(Text(), "What is changed", need="required", example="Trim the bias network for a cooler idle")
    effect: str = spec(Text(), "What the owner will notice", need="required", example="Tubes last longer; slightly cleaner at low volume")
    limits: str = spec(Text(), "What stops it going further, or rules it out", need="required", example="Plate volts rise as the idle falls; stay under the tube's limit")
    reversible: bool = spec(Flag(), "Can it be undone without trace?", need="required", example="yes")
    minutes: int | None = spec(Whole(1, 2000), "Bench minutes", example="40")
    calculators: tuple[str, ...] = spec(Many(Ref("calculator")), "Sums to do first", example="[bias-change]")


@dataclass(frozen=True, kw_only=True)
class StageFault:
    """A fault that a stage is known for."""

    fault: str = spec(Ref("fault"), "The fault", need="required", example="bias-supply-dead")
    common: str = spec(Choice(HOW_COMMON), "How often it is met where the stage is", need="required", example="now and then")
    note: str | None = spec(Text(), "What is special about it here", example="shows first as one glowing plate")


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A usual figure, to judge a reading by."""

    what: str = spec(Text(), "What is measured, and where", need="required", example="grid volts at either output socket, pin 5")
    value: Quantity | Unknown = spec(Amount("any", range_ok=True), "What is usual", need="required", example="-45..-30 V")
    note: str | None = spec(Text(), "Conditions, or what a wrong one points to", example="no signal, after ten minutes")


@dataclass(frozen=True, slots=True)
class Amended:
    """An upper shelf's word on one field: ``how`` is set, add or retire; ``items`` are the keys that came or went."""

    field: str
    how: str
    shelf: str
    items: tuple[str, ...] = ()
    why: str = ""


@dataclass(frozen=True, slots=True)
class Retired:
    """An entry of a lower shelf that the shelf ``shelf`` leaves out of the book, and why."""

    kind: str
    id: str
    title: str
    shelf: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What every kind of entry carries. What follows ``sources`` comes from the files, not from their text."""

    title: str = spec(Text(120), "What people call it: short, and unlike any other title of its kind", need="required", example="Steady hum that follows no control")
    also_called: tuple[str, ...] = spec(Many(Text(120)), "Other names; they feed search", example="[6BQ5]")
    asked: tuple[str, ...] = spec(Many(Text(120)), "How people ask for it, in words that its names and text do not hold; it is found by them", example="[blows when the standby is thrown]")
    was: tuple[str, ...] = spec(Many(Slug()), "Former ids; each leaves a page that points here", example="[heron-twin-30]")
    added: datetime.date | None = spec(Date(), "Day it was first written", example="2025-03-14")
    changed: datetime.date | None = spec(Date(), "Day it last changed in substance", example="2026-01-20")
    by: tuple[str, ...] = spec(Many(Code(6)), "Initials of who wrote it", example="[RK]")
    sources: tuple[Source, ...] = spec(SOURCES, "Where its figures and rules come from; 'common practice' where there is no source", example="[common practice]")

    id: str = field(default="", compare=True)
    kind: str = field(default="")
    shelf: str = field(default="")
    located: Mapping[str, Place] = field(default_factory=dict, repr=False, compare=False)
    amended: tuple[Amended, ...] = field(default=(), compare=False)

    def place(self, path: str = "") -> Place:
        """Where the field at ``path`` (``idle.plate_volts``, ``supply[2].volts``) is written.

        Falls back to the nearest enclosing field that was written, and last to the file's first line.
        """
        while path:
            found = self.located.get(path)
            if found is not None:
                return found
            path = path[: max(path.rfind("."), path.rfind("["), 0)]
        return self.located.get("", Place(f"{self.kind}/{self.id}.yaml"))

    def file(self, name: str = "") -> str:
        """The file in which the field of that name is written, or the entry itself."""
        return self.place(name).file
