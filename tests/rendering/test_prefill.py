"""A family's own figures find their way into the address of a sum."""

from __future__ import annotations

import dataclasses

import pytest

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


def test_fragment_is_encoded(small_library: Library) -> None:
    """What stands in the fragment can only be data: everything but letters and digits is encoded."""
    calculator = small_library.calculators["resistors-parallel"]
    field = dataclasses.replace(calculator.inputs["one"], prefill="title")
    hostile = dataclasses.replace(calculator, inputs={"one": field})
    family = dataclasses.replace(small_library.families["tarn-15"], title='"><script>&x=1#')
    made = filled(hostile, family)
    assert made is not None and made.fragment == "one=%22%3E%3Cscript%3E%26x%3D1%23"


def test_nothing_to_fill(small_library: Library) -> None:
    """A sum that finds no figure in the family is not offered."""
    calculator = small_library.calculators["resistors-parallel"]
    bare = dataclasses.replace(calculator, inputs={"other": calculator.inputs["other"]})
    assert filled(bare, small_library.families["tarn-15"]) is None
