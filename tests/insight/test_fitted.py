"""Values fitted to readings, against circuits whose truth is known."""

from __future__ import annotations

import pytest

from lidoff.insight import fitted_value
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
