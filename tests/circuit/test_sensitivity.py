from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.plausible import plausible_circuit
from lidoff.circuit import operating_point, sensitivities
from lidoff.errors import UnknownName
from tests.circuit.build import circuit, led, resistor, supply


def test_divider_has_its_closed_form_elasticities() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R1", "a", "t", 1e3), resistor("R2", "t", "gnd", 3e3))
    found = {
        one.reference: one
        for one in sensitivities(made, lambda s: s.voltage("t"))
        if one.parameter != "temperature"
    }
    wanted = [("V", "voltage"), ("R1", "resistance"), ("R2", "resistance")]
    told = {
        (one.reference, one.parameter): one
        for one in sensitivities(made, lambda s: s.voltage("t"), parameters=wanted)
    }
    assert told["V", "voltage"].elasticity == pytest.approx(1.0, rel=1e-6)
    assert told["R1", "resistance"].elasticity == pytest.approx(-0.25, rel=1e-6)
    assert told["R2", "resistance"].slope == pytest.approx(5.0 * 1e3 / 4e3**2, rel=1e-6)
    assert set(found) == {"V", "R1", "R2"}


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_adjoint_agrees_with_solving_again(seed: int) -> None:
    made = plausible_circuit(seed, pieces=3)
    if any(net.startswith("latch") for net in made.nets):
        return  # near the tipping point of a latch slopes have no bound
    rng = np.random.default_rng(seed)
    resistors = [part for part in made.parts if part.kind == "resistor"]
    part = resistors[int(rng.integers(len(resistors)))]
    key = (part.reference, "resistance")

    def supply_current(solution):  # type: ignore[no-untyped-def]
        return solution.current("V1")

    (told,) = sensitivities(made, supply_current, parameters=[key])
    value = float(part.values["resistance"])
    move = 1e-3 * value
    both = operating_point(made, variations={key: np.array([value + move, value - move])}).current("V1")
    again = (both[0] - both[1]) / (2.0 * move)
    assert told.slope == pytest.approx(again, rel=1e-2, abs=1e-9 / value)


def test_result_that_depends_on_the_parameter_directly_is_told_whole() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))
    (told,) = sensitivities(made, lambda s: s.current("R"), parameters=[("R", "resistance")])
    assert told.slope == pytest.approx(-5.0 / 1e6, rel=1e-6)
    assert told.elasticity == pytest.approx(-1.0, rel=1e-6)


def test_sentence_says_more_or_less() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "k", 150.0), led("D", "k", "gnd"))
    told = sensitivities(made, lambda s: s.current("D"), parameters=[("R", "resistance")])
    assert told[0].sentence("LED current") == "1 % more resistance of R gives 0.96 % less LED current"


def test_unknown_parameter_is_refused() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))
    with pytest.raises(UnknownName, match="R has no parameter 'colour'"):
        sensitivities(made, lambda s: s.current("R"), parameters=[("R", "colour")])
