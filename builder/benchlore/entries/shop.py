"""Who keeps the shelf, and how its bench works."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.entries.common import Entry
from benchlore.entries.fields import Amount, Choice, Code, Many, Part, Prose, Real, Text, spec
from benchlore.quantity import Quantity


@dataclass(frozen=True, kw_only=True)
class Technician:
    """Someone who signs findings."""

    initials: str = spec(Code(6), "Initials", need="required", example="RK")
    name: str | None = spec(Text(80), "Name, if they wish it shown", example="R. K.")


@dataclass(frozen=True, kw_only=True)
class Link:
    """A link to a calculator or page the shop has elsewhere, as an RFC 6570 template."""

    title: str = spec(Text(80), "What the link is called", need="required", example="Our load-line sheet")
    template: str = spec(Code(300), "URI template; http, https or relative to the site; ``{plate_volts}`` is 345 V, ``{plate_volts_si}`` the bare number in SI", need="required", example="https://shop.example/load?va={plate_volts}")
    kind: str = spec(Choice(("family", "tube", "fault", "calculator")), "On which pages it stands", need="required", example="family")


@dataclass(frozen=True, kw_only=True)
class Shop(Entry):
    """The shop that keeps this shelf (file ``shop.yaml`` at the shelf's root)."""

    summary: str = spec(Prose(), "A few words about the shop and its shelf", need="required", example="...")
    currency: str = spec(Code(8), "Currency of parts costs and estimates", need="required", example="EUR")
    rate: float | None = spec(Real(0, 1e5), "Rate per hour, without tax; never put in a bundle", example="60")
    tax: Quantity | None = spec(Amount("ratio", least=0, most=1), "Tax on estimates", example="20 %")
    mains: Quantity | None = spec(Amount("voltage", least=90, most=260), "Nominal mains where the shop is", example="230 V")
    frequency: Quantity | None = spec(Amount("frequency", least=45, most=65), "Mains frequency", example="50 Hz")
    paper: str | None = spec(Choice(("A4", "Letter")), "Paper for printing", example="A4")
    technicians: tuple[Technician, ...] = spec(Many(Part(Technician), key="initials"), "Who signs findings", example="[]")
    links: tuple[Link, ...] = spec(Many(Part(Link)), "Calculators the shop already has elsewhere", example="[]")
    licence: str | None = spec(Text(120), "Licence under which the shelf is shared", example="CC BY 4.0")
