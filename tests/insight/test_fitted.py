"""Values fitted to readings, against circuits whose truth is known."""

from __future__ import annotations

import pytest

from lidoff.circuit import operating_point
from lidoff.insight import fitted_value, rank_slips
from lidoff.insight.fitted import misfit_with
from lidoff.insight.refining import poor_from, posterior
from lidoff.insight.scene import scene_of
from lidoff.insight.variant import Variant
from tests.circuit.build import circuit, supply
from tests.insight.build import ON, SITUATIONS, switch, tolerant, volts
from tests.insight.test_slips import ALL, read


def test_a_value_far_off_is_found_again() -> None:
    whole = switch()
    true = 3.1e3
    watched = read(Variant(values={("R3", "resistance"): true}).applied_to(whole), *ALL)
    found = fitted_value(scene_of(whole, SITUATIONS, watched), "R3", "resistance")
    assert found is not None
    # R2 is known to 5 % only, and the tap tells no more than the ratio.
    assert found.value == pytest.approx(true, abs=2.0 * found.uncertainty)
    assert found.uncertainty == pytest.approx(true * 0.05 / 3.0**0.5, rel=0.3)
    assert found.unit == "Ω"


def test_a_value_that_no_reading_touches_is_not_fitted() -> None:
    whole = switch()
    watched = [one for one in read(whole, "rail") if one.situation == "off"]
    found = fitted_value(scene_of(whole, SITUATIONS, watched), "D1", "forward_drop")
    assert found is None or found.uncertainty > 0.05


def test_a_divider_tells_the_ratio_and_not_the_two() -> None:
    # Two resistors of variance s² and a tap that tells their ratio exactly: each is left with half of its variance.
    whole = circuit(
        supply("V1", "top", 10.0), tolerant("R1", "top", "mid", 1e3), tolerant("R2", "mid", "gnd", 1e3)
    )
    scene = scene_of(whole, [ON], [volts("tap", "mid", 5.0, deviation=1e-6)])
    _, left = posterior(scene)
    # What the equations themselves may be off keeps it from the exact half.
    assert left[0] == pytest.approx(0.5**0.5, rel=0.02)
    assert left[0] == pytest.approx(left[1], rel=1e-3)


def test_a_misfit_of_its_own_size_is_not_poor() -> None:
    assert 20.0 < poor_from(20) < 20.0 + 4.0 * 40.0**0.5


def test_the_misfit_with_a_fitted_value_is_that_of_the_circuit_solved_anew() -> None:
    # A value two thirds of the written one bends the circuit too much for slopes taken at the written one.
    whole = switch()
    true = {("R3", "resistance"): 3.1e3}
    watched = read(Variant(values=true).applied_to(whole), *ALL)
    scene = scene_of(whole, SITUATIONS, watched)
    with_truth = misfit_with(scene, "R3", "resistance", 3.1e3)
    as_written = misfit_with(scene, "R3", "resistance", float(whole.part("R3").values["resistance"]))
    assert with_truth is not None
    assert as_written is not None
    assert with_truth < 0.01 * as_written
    assert with_truth == pytest.approx(0.0, abs=1.0)


def test_an_explanation_by_a_value_tells_the_misfit_that_the_fitted_value_leaves() -> None:
    whole = circuit(
        supply("V1", "top", 9.0),
        tolerant("R1", "top", "tap", 4.7e3, 0.01),
        tolerant("R2", "tap", "low", 1.5e3, 0.01),
        tolerant("R3", "low", "gnd", 470.0, 0.01),
    )
    true = Variant(values={("R2", "resistance"): 1.15e3}).applied_to(whole)
    solution = operating_point(true, situations=[ON])
    watched = [
        volts(net, net, float(solution.voltage(net)[0]), deviation=5e-3) for net in ("top", "tap", "low")
    ]
    told = rank_slips(whole, [ON], watched, pairs=False)
    [fits] = [one for one in told.explanations if one.parameter == ("R2", "resistance")]
    assert fits.chi_square == pytest.approx(0.0, abs=0.5)
