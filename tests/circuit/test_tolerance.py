from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Spread, predict_spread, random_builds, worst_corners
from lidoff.circuit.netlist import Situation
from lidoff.errors import ImpossibleValue
from tests.circuit.build import circuit, led, resistor, supply


def _divider(half_width: float = 0.05) -> Circuit:
    limits = {"resistance": Spread(half_width=half_width)}
    two = {"1": "t", "2": "gnd"}
    return circuit(
        supply("V", "a", 6.0),
        Part(
            reference="R1",
            kind="resistor",
            pins={"1": "a", "2": "t"},
            values={"resistance": 1e3},
            spreads=limits,
        ),
        Part(reference="R2", kind="resistor", pins=two, values={"resistance": 2e3}, spreads=limits),
    )


def test_corners_of_a_divider_are_its_closed_form() -> None:
    found = worst_corners(_divider(), lambda s: s.voltage("t"))
    assert found.highest == pytest.approx(6.0 * 2100.0 / (2100.0 + 950.0), rel=1e-7)
    assert found.lowest == pytest.approx(6.0 * 1900.0 / (1900.0 + 1050.0), rel=1e-7)
    assert dict(found.at_highest) == {
        "R1.resistance": pytest.approx(950.0),
        "R2.resistance": pytest.approx(2100.0),
    }
    assert (found.corners, found.exhaustive) == (4, True)


def test_sensitivities_point_to_the_corners_of_many_parts() -> None:
    parts = [resistor(f"R{k}", f"n{k}", f"n{k + 1}" if k < 9 else "gnd", 100.0) for k in range(10)]
    found = worst_corners(circuit(supply("V", "n0", 10.0), *parts), lambda s: s.current("R0"))
    assert not found.exhaustive
    assert found.highest == pytest.approx(10.0 / 950.0, rel=1e-6)
    assert found.lowest == pytest.approx(10.0 / 1050.0, rel=1e-6)


def test_random_builds_spread_as_the_first_order_says() -> None:
    builds = random_builds(_divider(), 20_000, np.random.default_rng(1)).voltage("t")
    first_order = predict_spread(_divider(), (Situation(name="x"),)).of(lambda s: s.voltage("t"))
    assert builds.mean() == pytest.approx(4.0, abs=0.005)
    assert builds.std() == pytest.approx(first_order.uncertainty[0], rel=0.02)


def test_random_builds_stay_within_the_corners() -> None:
    corners = worst_corners(_divider(), lambda s: s.voltage("t"))
    builds = random_builds(_divider(), 2000, np.random.default_rng(2)).voltage("t")
    assert corners.lowest <= builds.min() <= builds.max() <= corners.highest


def test_the_same_seed_gives_the_same_builds() -> None:
    one, other = (random_builds(_divider(), 10, np.random.default_rng(3)).voltage("t") for _ in range(2))
    assert (one == other).all()


def test_curved_circuits_are_built_too() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "k", 150.0), led("D", "k", "gnd"))
    found = random_builds(made, 500, np.random.default_rng(4))
    assert found.settled.all()
    assert 0.0 < found.current("D").std() < 0.3 * found.current("D").mean()


def test_no_builds_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="0 builds cannot be"):
        random_builds(_divider(), 0, np.random.default_rng(0))
