"""A family's own figures find their way into the address of a sum."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

import pytest

from benchlore.auditing.heaters_fit import heater_currents
from benchlore.entries.calculator import Calculator, Input
from benchlore.linking.library import Library
from benchlore.rendering.views.prefill import at, filled, typed_value


@pytest.mark.parametrize(
    ("path", "wanted"),
    [
        ("idle.plate_volts", "290 V"),
        ("idle.tube", "6aq5"),
        ("idle.tubes", "2"),
        ("supply[0].volts", "292 V"),
        ("supply[2].volts", "227 V"),
        ("supply[C].volts", "227 V"),
        ("supply[].volts", "292 V; 284 V; 227 V"),
        ("idle.network[to ground].value", "15k"),
        ("idle.network[R39].value", "18k"),
        ("idle.network[trimmer].value", None),
        ("supply[9].volts", None),
        ("supply[].through", None),
        ("idle.stock_share", None),
        ("nothing.at.all", None),
        ("idle..plate_volts", None),
        ("", None),
    ],
)
def test_paths(small_library: Library, path: str, wanted: str | None) -> None:
    """A path gives one figure, a list of them, or nothing; ranges and unknowns give nothing."""
    assert typed_value(at(small_library.families["tarn-15"], path)) == wanted


def summed(library: Library, inputs: Mapping[str, Input]) -> Calculator:
    """A calculator of the small shelf that asks for other things."""
    return dataclasses.replace(library.calculators["resistors-parallel"], inputs=inputs)


def asked(unit: str, prefill: str, **more: Any) -> Input:
    """An input with a path."""
    return Input(label="Label", unit=unit, prefill=prefill, **more)


def test_figures_travel_as_they_are_written(small_library: Library) -> None:
    """Spaces, units of several words and lists arrive whole: encoded in the fragment, never squeezed."""
    made = filled(
        summed(
            small_library, {"volts": asked("V", "supply[0].volts"), "chart": asked("V", "supply[].volts", kind="list")}
        ),
        small_library.families["tarn-15"],
        small_library,
    )
    assert made is not None and made.fragment == "volts=292%20V&chart=292%20V;%20284%20V;%20227%20V"


def test_a_figure_that_is_none_is_not_offered(small_library: Library) -> None:
    """Markup in a title, a unit of another kind, a value beyond the limits, a tube that lacks a constant: no such link."""
    family = dataclasses.replace(small_library.families["tarn-15"], title='"><script>&x=1#')
    refused = (
        asked("ohm", "title"),
        asked("A", "supply[0].volts"),
        asked("V", "supply[0].volts", most="200 V"),
        asked("V", "supply[].volts", kind="list", most_rows=2),
        asked("1", "idle.tube", kind="tube", takes={"mu": "laws[koren triode].mu"}),
        asked("1", "idle.arrangement", kind="choice", choices={"series": "in series"}),
    )
    for field in refused:
        assert filled(summed(small_library, {"one": field}), family, small_library) is None, field
        taken = dataclasses.replace(field, prefill="idle.nosuch")
        assert filled(summed(small_library, {"one": taken}), family, small_library) is None


def test_a_table_is_filled_whole_or_not_at_all(small_library: Library) -> None:
    """Columns of one table are equally long, so a family that knows one of them fills none."""
    columns = {
        "chart": asked("V", "supply[].volts", kind="list", table="nodes"),
        "through": asked("ohm", "supply[].through", kind="list", table="nodes"),
    }
    beside = {"one": asked("ohm", "idle.network[to ground].value")}
    family = small_library.families["tarn-15"]
    made = filled(summed(small_library, {**columns, **beside}), family, small_library)
    assert made is not None and [name for name in ("chart", "through") if name in made.fragment] == []
    assert filled(summed(small_library, columns), family, small_library) is None


def test_a_sum_without_what_it_needs_is_not_offered(small_library: Library) -> None:
    """Where a figure that the sum turns on is not known, the others would stand beside those of another amp."""
    inputs = {"volts": asked("V", "supply[0].volts"), "sense": asked("ohm", "idle.nosuch", needed=True)}
    family = small_library.families["tarn-15"]
    assert filled(summed(small_library, inputs), family, small_library) is None
    inputs["sense"] = dataclasses.replace(inputs["sense"], needed=None)
    assert filled(summed(small_library, inputs), family, small_library) is not None


def test_heaters_are_counted_from_the_tubes(small_library: Library) -> None:
    """Heaters on the winding, by current, with how many of each."""
    inputs = {
        "amps": asked("A", "heaters[].amps", kind="list", table="heaters"),
        "number": asked("1", "heaters[].number", kind="list", table="heaters"),
    }
    family = small_library.families["tarn-15"]
    made = filled(summed(small_library, inputs), family, small_library)
    assert made is not None
    counted = heater_currents(family, small_library)
    assert counted and made.figures == (
        ("Label", "; ".join(f"{amps:g} A" for amps in counted)),
        ("Label", "; ".join(str(number) for number in counted.values())),
    )


def test_nothing_to_fill(small_library: Library) -> None:
    """A sum that finds no figure in the family is not offered."""
    bare = summed(small_library, {"other": Input(label="Other", unit="ohm", default="1k")})
    assert filled(bare, small_library.families["tarn-15"], small_library) is None
