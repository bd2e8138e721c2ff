import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.circuit import Circuit, Part, Situation, Spread, predict_spread
from lidoff.errors import UnknownName
from lidoff.insight import Budget, all_limiters, budget_of, knowledge_of, main_budgets
from lidoff.insight.knowledge import Seen
from tests.circuit.build import circuit, led, resistor, supply

AS_IT_STANDS = Situation(name="as it stands")


def series(*ohms: float, volts: float = 12.0) -> Circuit:
    """Supply and resistors in one loop."""
    nets = ["top", *(f"n{k}" for k in range(1, len(ohms))), "gnd"]
    parts = [resistor(f"R{k + 1}", nets[k], nets[k + 1], value) for k, value in enumerate(ohms)]
    return circuit(supply("V1", "top", volts), *parts)


def budget(whole: Circuit, about: str) -> Budget:
    return budget_of(predict_spread(whole, [AS_IT_STANDS]), 0, about)


def lamp() -> Circuit:
    """LED and resistor at the end of a cable with resistance both ways."""
    pins = {"near_plus": "plug", "near_minus": "minus", "far_plus": "rail", "far_minus": "gnd"}
    return circuit(
        supply("V1", "plug", 5.0, minus="minus"),
        Part(reference="W1", kind="cable", pins=pins, values={"loop_resistance": 2.0}),
        resistor("R1", "rail", "anode", 150.0),
        led("LED1", "anode", "gnd", forward_drop=2.0),
    )


def test_shares_of_a_divider_are_those_of_its_resistances() -> None:
    shares = [step.share for step in budget(series(1e3, 3e3), "R1").steps if not step.raises]
    assert shares == pytest.approx([0.25, 0.75])


def test_the_loop_begins_behind_its_supply() -> None:
    assert ["R1", "R2", "V1"] == [step.reference for step in budget(series(1e3, 3e3), "R2").steps]


@settings(max_examples=25)
@given(st.lists(st.floats(min_value=10.0, max_value=1e5), min_size=1, max_size=5), st.floats(1.0, 50.0))
def test_what_is_raised_is_dropped(ohms: list[float], volts: float) -> None:
    found = budget(series(*ohms, volts=volts), "R1")
    assert sum(step.volts.value for step in found.steps) == pytest.approx(0.0, abs=1e-9 * volts)
    assert found.raised == pytest.approx(volts)


@settings(max_examples=25)
@given(st.lists(st.floats(min_value=10.0, max_value=1e5), min_size=1, max_size=5))
def test_elasticities_to_all_resistances_add_up_to_minus_one(ohms: list[float]) -> None:
    # Euler's theorem on homogeneous functions: the current is of degree −1 in the resistances.
    limiters = all_limiters(series(*ohms), AS_IT_STANDS, "R1")
    found = sum(one.elasticity for one in limiters if one.parameter == "resistance" and one.reference != "V1")
    assert found == pytest.approx(-1.0, abs=0.005 * len(ohms))


def test_the_source_has_an_elasticity_of_one_over_resistances() -> None:
    limiters = all_limiters(series(1e3, 3e3), AS_IT_STANDS, "R1")
    assert {1.0} == {round(one.elasticity, 6) for one in limiters if one.parameter == "voltage"}


def test_the_larger_resistor_limits_more() -> None:
    limiters = budget(series(1e3, 3e3), "R1").limiters
    assert ["R2", "R1"] == [one.reference for one in limiters]
    assert [one.elasticity for one in limiters] == pytest.approx([-0.75, -0.25], rel=2e-3)


def test_what_limits_the_current_is_said_in_words() -> None:
    assert (
        budget(series(1e3, 3e3), "R1")
        .limits()
        .startswith("1 % more resistance of R2 gives 0.75 % less current of R1")
    )


def test_a_cable_stands_in_the_loop_there_and_back() -> None:
    found = budget(lamp(), "LED1")
    assert ["W1", "R1", "LED1", "W1", "V1"] == [step.reference for step in found.steps]
    there, back = (step.volts.value for step in found.steps if step.reference == "W1")
    assert there == pytest.approx(back)
    assert there == pytest.approx(found.amperes.value * 1.0, rel=1e-6)


def test_a_main_loop_is_named_for_what_drops_most() -> None:
    spreading = predict_spread(lamp(), [AS_IT_STANDS])
    assert ["R1"] == [one.about for one in main_budgets(spreading, 0)]


def test_loops_alike_are_told_once() -> None:
    parts = [resistor(f"R{k}", "top", f"n{k}", 150.0) for k in range(1, 5)]
    leds = [led(f"LED{k}", f"n{k}", "gnd", forward_drop=3.0) for k in range(1, 5)]
    spreading = predict_spread(circuit(supply("V1", "top", 5.0), *parts, *leds), [AS_IT_STANDS])
    (found,) = main_budgets(spreading, 0)
    assert ("LED2", "LED3", "LED4") == found.alike


def test_the_spread_of_a_drop_is_that_of_its_tolerances() -> None:
    # v = V·R1/(R1 + R2), dv/v = (dR1/R1 − dR2/R2)·R2/(R1 + R2); ±5 % limits are 5 %/√3 standard.
    step = budget(series(1e3, 3e3), "R1").steps[0]
    assert step.volts.uncertainty == pytest.approx(3.0 * 0.75 * 0.05 / math.sqrt(3) * math.sqrt(2), rel=2e-3)


def test_a_reading_narrows_the_budget() -> None:
    spreading = predict_spread(series(1e3, 3e3), [AS_IT_STANDS])
    slopes = spreading.of(lambda solution: solution.voltage("n1")).shares[0]
    seen = Seen(name="tap", unit="V", off=0.1, deviation=1e-4, slopes=slopes)
    found = budget_of(spreading, 0, "R1", knowledge=knowledge_of(spreading, [seen]))
    # The tap stands at 9 V as designed and at 9.1 V as read; what R1 drops is then known as well as the reading.
    assert found.steps[0].volts.value == pytest.approx(2.9, abs=2e-4)
    assert found.steps[0].volts.uncertainty == pytest.approx(1e-4, rel=0.05)


def test_without_readings_nothing_is_known_beyond_the_tolerances() -> None:
    spreading = predict_spread(series(1e3, 3e3), [AS_IT_STANDS])
    knowledge = knowledge_of(spreading, [])
    assert np.array_equal(np.eye(len(spreading.parameters)), knowledge.covariance)
    assert not knowledge.moved.any()


def test_a_part_without_current_has_no_loop() -> None:
    whole = circuit(
        supply("V1", "top", 5.0), resistor("R1", "top", "gnd", 1e3), resistor("R2", "top", "loose", 1e3)
    )
    with pytest.raises(UnknownName, match="no current runs through R2 in 'as it stands'"):
        budget(whole, "R2")


def test_a_part_with_an_exact_value_is_among_all_limiters() -> None:
    exact = Part(
        reference="R1",
        kind="resistor",
        pins={"1": "top", "2": "gnd"},
        values={"resistance": 1e3},
        spreads={"resistance": Spread()},
    )
    whole = circuit(supply("V1", "top", 5.0), exact)
    assert () == budget(whole, "R1").limiters
    assert "R1" in {one.reference for one in all_limiters(whole, AS_IT_STANDS, "R1")}
