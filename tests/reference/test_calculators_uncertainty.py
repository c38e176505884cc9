"""The stated uncertainties against the package ``uncertainties`` and, where an unknown is solved, against SciPy and steps of the inputs."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from uncertainties import ufloat  # type: ignore[import-untyped]

Reckon = Callable[..., dict[str, Any]]


def band(value: float, half_width: float) -> Any:
    """A value known within a band, every place in it as likely (GUM 4.3.7, from memory)."""
    return ufloat(value, half_width / math.sqrt(3))


def test_winding_drop_against_uncertainties(reckon: Reckon) -> None:
    """Plate dissipation from the drop across a winding: expanded uncertainty (k = 2) and the input that rules it."""
    got = reckon("idle-transformer-drop", plate_volts="400 V", cathode_volts="0.00 V", first_ohms="118 ohm", first_drop="2.76 V")
    plate = band(400, 0.005 * 400 + 2) - band(0, 0.02)
    current = band(2.76, 0.005 * 2.76 + 0.02) / band(118, 0.01 * 118 + 2)
    expected = plate * current
    assert got["first_power"].value == pytest.approx(expected.nominal_value, rel=1e-12)
    assert got["first_power"].uncertainty == pytest.approx(2 * expected.std_dev, rel=1e-6)
    assert got["first_power"].dominant == "first_ohms"


def test_sag_against_uncertainties(reckon: Reckon) -> None:
    """A source resistance is a small difference of large readings; the same reading used twice stays correlated with itself."""
    got = reckon(
        "supply-sag", light_volts="417.14 V", light_current="74.49 mA", heavy_volts="394.97 V", heavy_current="141.06 mA", other_current="200 mA"
    )
    light, heavy = band(417.14, 0.001 * 417.14 + 0.01), band(394.97, 0.001 * 394.97 + 0.01)
    low, high = band(74.49e-3, 0.01 * 74.49e-3 + 1e-5), band(141.06e-3, 0.01 * 141.06e-3 + 1e-5)
    source = (light - heavy) / (high - low)
    other = light + source * low - source * 0.2
    assert got["source_resistance"].uncertainty == pytest.approx(2 * source.std_dev, rel=1e-6)
    assert got["other_volts"].uncertainty == pytest.approx(2 * other.std_dev, rel=1e-6)


def test_least_squares_against_uncertainties(reckon: Reckon) -> None:
    """The fitted line's slope, with every pull and the lever uncertain."""
    settings, pulls = [1, 3, 5, 7, 9, 11], [3.1, 5.2, 7.0, 9.3, 11.2, 12.9]
    lever = band(0.2, 0.001)
    torques = [band(p, 0.03 * p) * lever for p in pulls]
    middle, mean = sum(settings) / 6, sum(torques) / 6
    slope = sum((x - middle) * (t - mean) for x, t in zip(settings, torques, strict=True)) / sum((x - middle) ** 2 for x in settings)
    got = reckon("clutch-calibration")
    assert got["slope"].value == pytest.approx(slope.nominal_value, rel=1e-9)
    assert got["slope"].uncertainty == pytest.approx(2 * slope.std_dev, rel=1e-6)


# For solved unknowns the outside reference is a step of each input: half-width over root three, central difference.
SOLVED: dict[str, tuple[dict[str, tuple[float, str, float]], str]] = {
    "triode-stage": (
        {"supply": (300.0, "V", 0.005 * 300 + 0.2), "plate_resistor": (100e3, "ohm", 5e3), "cathode_resistor": (1.5e3, "ohm", 75.0)}, "plate_volts"
    ),
    "ripple": (
        {
            "winding": (300.0, "V", 6.0), "drop": (0.8, "V", 0.08), "source": (75.0, "ohm", 7.5), "current": (105.69, "mA", 0.05 * 105.69),
            "capacitor": (32.0, "uF", 6.4),
        },
        "ripple",
    ),
    "bias-change": (
        {
            "plate_volts": (400.0, "V", 2.0 + 0.2), "screen_volts": (340.0, "V", 1.7 + 0.2), "grid_volts": (-26.0, "V", 0.13 + 0.2),
            "cathode_current": (36.0, "mA", 0.36 + 0.2), "screen_current": (2.0, "mA", 0.4), "supply_resistance": (180.0, "ohm", 36.0),
            "screen_resistance": (470.0, "ohm", 23.5), "feed": (15e3, "ohm", 750.0), "ground": (15e3, "ohm", 750.0), "added": (47e3, "ohm", 2350.0),
        },
        "share_after",
    ),
}
TYPED = {
    "triode-stage": {"supply": "300.0 V", "plate_resistor": "100 kohm", "cathode_resistor": "1.5 kohm"},
    "ripple": {},
    "bias-change": {"plate_volts": "400.0 V", "screen_volts": "340.0 V", "grid_volts": "-26.0 V", "cathode_current": "36.0 mA"},
}


@pytest.mark.parametrize("name", SOLVED)
def test_solved_unknowns_against_steps(reckon: Reckon, name: str) -> None:
    """The implicit function theorem's answer is what stepping each input shows."""
    inputs, result = SOLVED[name]
    got = reckon(name, **TYPED[name])[result]
    total = 0.0
    for key, (value, unit, half_width) in inputs.items():
        step = half_width * 1e-3
        ends = [reckon(name, **{**TYPED[name], key: f"{value + sign * step:.12g} {unit}"})[result].value for sign in (-1, 1)]
        total += ((ends[1] - ends[0]) / (2e-3 * math.sqrt(3))) ** 2
    assert got.uncertainty == pytest.approx(2 * math.sqrt(total), rel=2e-3)
