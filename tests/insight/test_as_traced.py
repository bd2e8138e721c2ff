"""The χ² of all readings against the circuit as traced, and what chance makes of it."""

import pytest
from scipy.stats import chi2, norm

from lidoff.circuit import Circuit, Part, Situation
from lidoff.evidence import NetVoltage
from lidoff.insight import Watched, chance_of_worst, fit_as_traced, rank_slips

PARTS = (
    Part(reference="V1", kind="dc_supply", pins={"plus": "rail", "minus": "gnd"}, values={"voltage": 9.0}),
    Part(reference="R1", kind="resistor", pins={"1": "rail", "2": "mid"}, values={"resistance": 1e3}),
    Part(reference="R2", kind="resistor", pins={"1": "mid", "2": "gnd"}, values={"resistance": 1e3}),
)
ON = (Situation(name="on"),)


def watched(*volts: float) -> tuple[Watched, ...]:
    return tuple(
        Watched(
            name=f"reading {number}",
            target=NetVoltage(net="mid"),
            situation="on",
            value=value,
            deviation=0.05,
        )
        for number, value in enumerate(volts)
    )


def test_slips_count_from_the_same_chi_square() -> None:
    circuit, readings = Circuit(parts=PARTS, ground="gnd"), watched(4.9, 4.1)
    assert rank_slips(circuit, ON, readings).chi_square == fit_as_traced(circuit, ON, readings).chi_square


def test_its_chance_is_the_tail_of_chi_square_by_the_number_of_readings() -> None:
    fit = fit_as_traced(Circuit(parts=PARTS, ground="gnd"), ON, watched(4.9, 4.1, 4.5))
    assert fit.readings == 3
    assert pytest.approx(chi2.sf(fit.chi_square, 3)) == fit.chance


def test_the_farthest_reading_comes_first() -> None:
    fit = fit_as_traced(Circuit(parts=PARTS, ground="gnd"), ON, watched(4.5, 4.1, 4.5))
    assert fit.strains[0].reading == "reading 1"


def test_without_readings_everything_is_chance() -> None:
    fit = fit_as_traced(Circuit(parts=PARTS, ground="gnd"), ON, ())
    assert (0.0, 0, 1.0) == (fit.chi_square, fit.readings, fit.chance)


@pytest.mark.parametrize(("score", "readings"), [(2.0, 1), (-3.9, 12), (5.0, 40)])
def test_the_worst_of_many_is_as_seldom_as_many_tries_make_it(score: float, readings: int) -> None:
    alone = 2.0 * norm.sf(abs(score))
    assert pytest.approx(1.0 - (1.0 - alone) ** readings, rel=1e-6) == chance_of_worst(score, readings)


def test_a_reading_right_on_its_prediction_is_no_wonder() -> None:
    assert chance_of_worst(0.0, 5) == 1.0
