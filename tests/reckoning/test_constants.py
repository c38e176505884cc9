"""Published constants fill symbols: wire by its standard, tubes and fasteners by what their entries hold."""

from __future__ import annotations

import pytest
from tests.reckoning.making import entry_of, simple
from tests.reckoning.try_calculator import reference

from benchlore.entries.calculator import Input
from benchlore.linking.library import Library
from benchlore.reckoning.calculate import compile_calculator
from benchlore.reckoning.constants import BadPath, constant, offers, options_of


@pytest.fixture(scope="module")
def library() -> Library:
    """The reference shelf."""
    return reference()[0]


# ASTM B258 diameters, read against the fluids package; ohms per km at 20 degC with copper of IEC 60028.
@pytest.mark.parametrize(("gauge", "millimetres", "ohms_per_km"), [("18", 1.0237, 20.95), ("20", 0.8118, 33.31), ("22", 0.6438, 52.96)])
def test_wire_gauges(gauge: str, millimetres: float, ohms_per_km: float) -> None:
    """Diameter and resistance of copper wire are those of the standard."""
    form = Input(label="Wire", unit="1", kind="wire", takes={"d": "diameter", "r": "ohms_per_metre", "s": "area"})
    options, dimensions = options_of(form, Library({}))
    wire = next(option for option in options if option.value == gauge).symbols
    assert wire["d"] * 1e3 == pytest.approx(millimetres, abs=2e-4)
    assert wire["r"] * 1e3 == pytest.approx(ohms_per_km, rel=1e-3)
    assert dimensions == {"d": "length", "r": "resistance per length", "s": "area"}
    with pytest.raises(BadPath, match="colour"):
        options_of(Input(label="Wire", unit="1", kind="wire", takes={"c": "colour"}), Library({}))


@pytest.mark.parametrize(
    ("path", "value"),
    [("rating.plate_dissipation", 12.0), ("ratings[vibrator].plate_dissipation", 9.0), ("points[single-250].plate_current", 0.048), ("points[transconductance].transconductance", 0.0113),
     ("heater[0].amps", 0.76), ("heater[7].amps", None), ("rating.first_capacitor", None), ("role:output", 1.0), ("role:rectifier", 0.0)],
)
def test_paths_into_a_tube(library: Library, path: str, value: float | None) -> None:
    """A path leads by position, by key, or to the first record that has the field (EL84 data sheet, Philips 1955)."""
    found = constant(library.tubes["el84"], path)
    assert (found[0] if found else None) == (None if value is None else pytest.approx(value))


@pytest.mark.parametrize("path", ["nosuch", "rating.nosuch", "title", "a b", "rating[", "", "title.x", "role:singer", "title:EL84", "nosuch:output"])
def test_paths_that_lead_nowhere(library: Library, path: str) -> None:
    """A wrong path is refused, with the nearest right one where there is one."""
    with pytest.raises(BadPath) as refused:
        constant(library.tubes["el84"], path)
    assert refused.value.hint


def test_a_constant_that_may_be_missing_is_zero(library: Library) -> None:
    """A path with a question mark offers every tube of the role; where its sheet gives nothing the constant is 0."""
    form = Input(label="Tube", unit="1", kind="tube", only="rectifier", takes={"most": "rating.first_capacitor?"})
    options, dimensions = options_of(form, library)
    most = {option.value: option.symbols["most"] for option in options}
    assert dimensions == {"most": "capacitance"}
    assert set(most) == {id for id, tube in library.tubes.items() if tube.role == "rectifier"}
    assert most["ez80"] == pytest.approx(50e-6)  # Mazda, August 1963
    assert 0.0 in most.values()


def test_tubes_are_found_by_their_other_names(library: Library) -> None:
    """6BQ5 is the American name of the EL84 (the tube's entry): typed in the terminal it finds it, and the list shows it."""
    form = Input(label="Tube", unit="1", kind="tube", takes={"limit": "rating.plate_dissipation"})
    option = next(option for option in options_of(form, library)[0] if option.value == "el84")
    assert option.label == "EL84 (6BQ5)" and "6BQ5" in option.others and option.system == "design centre"
    compiled, _ = compile_calculator(library.calculators["idle-dissipation"], library)
    assert compiled is not None
    outcome = compiled.evaluate({"tube": "6bq5"})
    assert outcome.inputs["tube"] == ("el84", "") and outcome.results["share"].verdict is not None
    assert "12 W (design centre)" in outcome.results["share"].verdict.words


def test_only_what_has_every_constant_is_offered(library: Library) -> None:
    """Tubes without a law are not offered where a law is needed; a role narrows the choice."""
    law = Input(label="Tube", unit="1", kind="tube", takes={"mu": "laws[koren triode].mu", "k": "laws[koren triode].kg1"})
    offered = {option.value for option in options_of(law, library)[0]}
    assert "12ax7" in offered and "gz34" not in offered
    output = Input(label="Tube", unit="1", kind="tube", only="output", takes={"limit": "rating.plate_dissipation"})
    assert {library.tubes[option.value].role for option in options_of(output, library)[0]} == {"output"}
    for form in (law, output):
        assert {id for id in (*library.tubes, "nosuch") if offers(form, library, id)} == {option.value for option in options_of(form, library)[0]}


def test_fasteners(library: Library) -> None:
    """A thread brings its diameter into the sum (6-32: 0.138 in, ASME B1.1)."""
    text = "t: {label: Thread, unit: '1', kind: fastener, default: '%s', takes: {d: diameter, p: pitch}}"
    form = Input(label="Thread", unit="1", kind="fastener", takes={"d": "diameter", "p": "pitch"})
    threads = {option.value: option.symbols for option in options_of(form, library)[0]}
    six = next(name for name, symbols in threads.items() if symbols["d"] == pytest.approx(0.138 * 0.0254))
    compiled, problems = compile_calculator(entry_of(simple("d / p", "1", text % six)), library)
    assert compiled is not None, problems
    assert compiled.evaluate({}).results["out"].value == pytest.approx(0.138 * 32)
