"""Published constants that fill symbols: of tubes and fasteners from their entries, of wire from the gauge's definition."""

from __future__ import annotations

import dataclasses
import math
import re
from collections.abc import Iterable, Mapping
from typing import Any, Protocol

from benchlore.entries.calculator import Input
from benchlore.entries.common import Entry
from benchlore.entries.fields import Choice, table_of
from benchlore.problem import did_you_mean
from benchlore.quantity import Quantity, rounded
from benchlore.reckoning.forms import Option

COPPER = 1.7241e-8  # ohm m at 20 degC, the international annealed copper standard (IEC 60028)
GAUGES = tuple(range(8, 31))
WIRE_DIMENSIONS: Mapping[str, str] = {"diameter": "length", "area": "area", "ohms_per_metre": "resistance per length"}
_PART = re.compile(r"([a-z_][a-z0-9_]*)(?:\[([^\[\]]{1,60})\])?")


class Shelves(Protocol):
    """What the reckoning asks of a library: its tubes and its fasteners by id, in order."""

    @property
    def tubes(self) -> Mapping[str, Any]: ...

    @property
    def fasteners(self) -> Mapping[str, Any]: ...


class BadPath(ValueError):
    """A path that no entry of the kind can have."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


def options_of(form: Input, library: Shelves) -> tuple[tuple[Option, ...], dict[str, str]]:
    """Every tube, fastener or gauge that has all the constants, and the dimension of each symbol. Raises ``BadPath``.

    A path that ends in ``?`` may be missing in an entry: the constant is 0 there.
    """
    if form.kind == "wire":
        return _wires(form.takes)
    options: list[Option] = []
    dimensions: dict[str, str] = {}
    for id, entry in _entries(form, library).items():
        known = _known(form, entry)
        if known is not None:
            values = {symbol: known[symbol][0] if symbol in known else 0.0 for symbol in form.takes}
            options.append(_option(form.kind, id, entry, values))
            dimensions |= {symbol: dimension for symbol, (_, dimension) in known.items()}
    return tuple(options), dimensions


def offers(form: Input, library: Shelves, id: str) -> bool:
    """Whether ``options_of`` would hold this id; looks at that entry alone. Raises ``BadPath``."""
    if form.kind == "wire":
        return id in (str(gauge) for gauge in GAUGES)
    entry = _entries(form, library).get(id)
    return entry is not None and _known(form, entry) is not None


def _entries(form: Input, library: Shelves) -> Mapping[str, Entry]:
    return library.tubes if form.kind == "tube" else library.fasteners


def _known(form: Input, entry: Entry) -> dict[str, tuple[float, str]] | None:
    """The constants of an entry with their dimensions; None where one that must be there is not, or its role is another."""
    if form.only is not None and getattr(entry, "role", None) != form.only:
        return None
    found = {symbol: constant(entry, path.removesuffix("?")) for symbol, path in form.takes.items()}
    known = {symbol: value for symbol, value in found.items() if value is not None}
    whole = all(symbol in known or path.endswith("?") for symbol, path in form.takes.items())
    return known if whole else None


def _option(kind: str | None, id: str, entry: Entry, symbols: Mapping[str, float]) -> Option:
    """An entry as a choice; a tube with its other name beside its title, where that is another and not a longer or shorter one."""
    title, others = entry.title, entry.also_called
    other = others[0] if kind == "tube" and others and not others[0].startswith(title) and not title.startswith(others[0]) else None
    rating = getattr(entry, "rating", None)
    return Option(id, f"{title} ({other})" if other else title, symbols, (title, *others), getattr(rating, "system", ""))


def constant(entry: object, path: str) -> tuple[float, str] | None:
    """The number at a path of a record, in SI, and its dimension; None where it is not written. Raises ``BadPath``.

    ``system:inch`` is 1 where that field of the entry holds that word, else 0.
    """
    if ":" in path:
        return _word(entry, *path.split(":", 1))
    here: Any = entry
    for piece in path.split("."):
        found = _PART.fullmatch(piece)
        if found is None:
            raise BadPath(f'"{path}" is not a path', "write it as rating.plate_dissipation or points[KEY].plate_current")
        here = _step(here, found[1], found[2], path)
        if here is None:
            return None
    return _number(here, path)


def _word(entry: object, name: str, word: str) -> tuple[float, str]:
    field = table_of(type(entry)).get(name)
    if field is None or not isinstance(field.type, Choice) or word not in field.type.words:
        known = field.type.words if field is not None and isinstance(field.type, Choice) else ()
        raise BadPath(f'"{name}:{word}" leads nowhere', did_you_mean(word, known) if known else "name a field that holds one word of a list")
    return (1.0 if getattr(entry, name) == word else 0.0), "number"


def _step(record: Any, name: str, key: str | None, path: str) -> Any:
    known = [f.name for f in dataclasses.fields(record)] if dataclasses.is_dataclass(record) else []
    known += [n for of in type(record).__mro__ for n, v in vars(of).items() if isinstance(v, property)]
    if name not in known:
        raise BadPath(f'"{path}" leads nowhere: there is no {name}', did_you_mean(name, known))
    value = getattr(record, name)
    if key is None:
        return value
    return _pick(value, key) if isinstance(value, tuple) else None


def _pick(records: Iterable[Any], key: str) -> Any:
    """A record by position, by its key or form, or the first in which the named field is written."""
    listed = list(records)
    if key.isascii() and key.isdigit():
        return listed[int(key)] if int(key) < len(listed) else None
    for field in ("key", "form"):
        for record in listed:
            if getattr(record, field, None) == key:
                return record
    return next((record for record in listed if isinstance(getattr(record, key, None), Quantity | float | int)), None)


def _number(value: Any, path: str) -> tuple[float, str] | None:
    if isinstance(value, Quantity):
        return value.value, value.dimension
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value), "number"
    if dataclasses.is_dataclass(value) and not isinstance(value, type) and hasattr(value, "text"):
        return None  # unknown
    raise BadPath(f'"{path}" is not a number', "name a field that holds a quantity")


def _wires(takes: Mapping[str, str]) -> tuple[tuple[Option, ...], dict[str, str]]:
    for path in takes.values():
        if path not in WIRE_DIMENSIONS:
            raise BadPath(f'a wire has no "{path}"', did_you_mean(path, WIRE_DIMENSIONS))
    options = tuple(Option(str(gauge), _gauge_label(gauge), _gauge(gauge, takes)) for gauge in GAUGES)
    return options, {symbol: WIRE_DIMENSIONS[path] for symbol, path in takes.items()}


def _gauge(gauge: int, takes: Mapping[str, str]) -> dict[str, float]:
    """ASTM B258: 36 steps of the 39th root of 92 on 0.127 mm."""
    diameter = 0.127e-3 * 92 ** ((36 - gauge) / 39)
    area = math.pi / 4 * diameter**2
    known = {"diameter": diameter, "area": area, "ohms_per_metre": COPPER / area}
    return {symbol: known[path] for symbol, path in takes.items()}


def _gauge_label(gauge: int) -> str:
    return f"{gauge} AWG ({rounded(_gauge(gauge, {'d': 'diameter'})['d'] * 1e3, 3)} mm)"
