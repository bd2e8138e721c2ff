"""One reading by itself against predictions that hang on wide tolerances."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, Situation, Spread, predict_spread, strongest
from lidoff.evidence import Comparison, NetVoltage, Reading, compare, measure
from lidoff.insight import Watched, fit_as_traced, with_wide_tolerances
from lidoff.quantities import Quantity
from tests.circuit.build import circuit, npn, resistor, supply

ON = Situation(name="on")


def driven(**told: Spread) -> Circuit:
    """Transistor in deep saturation whose collector has no resistance of its own."""
    bare = npn("Q1", "out", "base", "gnd", collector_resistance=0.0)
    part = Part(reference="Q1", kind="npn", pins=bare.pins, values=bare.values, spreads=told)
    return circuit(
        supply("V1", "rail", 5.0),
        resistor("R1", "rail", "out", 82.0),
        resistor("R2", "rail", "base", 1e3),
        part,
    )


def compared(whole: Circuit, shown: str) -> tuple[Comparison, Watched]:
    spreading = predict_spread(whole, [ON])
    prediction = spreading.of(lambda solution: solution.voltage("out"))
    reading = measure(Reading(name="out", target=NetVoltage(net="out"), shown=(shown,), situation="on"), {})
    predicted = Quantity(float(prediction.value[0]), "V", float(prediction.uncertainty[0]))
    causes = strongest(prediction, spreading.parameters, 0)
    seen = reading.quantity
    watched = Watched(
        name="out",
        target=NetVoltage(net="out"),
        situation="on",
        value=seen.value,
        deviation=seen.normal_uncertainty,
    )
    return compare(reading, predicted, causes=causes), watched


def test_a_reading_off_by_a_wide_gain_is_as_far_off_as_slips_have_it() -> None:
    whole = driven()
    first, watched = compared(whole, "148 mV ± 10 mV")
    (held,) = with_wide_tolerances(whole, [ON], [first], [watched])
    assert held.score**2 == pytest.approx(fit_as_traced(whole, [ON], [watched]).chi_square)
    assert abs(held.score) < 0.6 * abs(first.score)


def test_its_prediction_is_told_as_uncertain_as_the_score_takes_it() -> None:
    whole = driven()
    first, watched = compared(whole, "148 mV ± 10 mV")
    (held,) = with_wide_tolerances(whole, [ON], [first], [watched])
    assert held.predicted.value == first.predicted.value
    both = (held.predicted.uncertainty**2 + 0.005**2) ** 0.5
    assert held.difference / both == pytest.approx(held.score, rel=1e-6)


def test_a_misfit_with_told_gains_keeps_its_sharp_prediction() -> None:
    whole = driven(reverse_gain=Spread(half_width=0.05), current_gain=Spread(half_width=0.05))
    first, watched = compared(whole, "148 mV ± 10 mV")
    assert first.fit == "misfit"
    assert with_wide_tolerances(whole, [ON], [first], [watched]) == (first,)


def test_a_reading_that_agrees_stays_as_it_is() -> None:
    whole = driven()
    first, watched = compared(whole, "60 mV ± 10 mV")
    assert first.fit == "agrees"
    assert with_wide_tolerances(whole, [ON], [first], [watched]) == (first,)
