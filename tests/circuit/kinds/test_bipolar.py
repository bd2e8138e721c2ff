"""Bipolar transistors against their closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Situation, Solution, predict_spread
from tests.circuit.kinds.conftest import Row, Solve

V_T = 1.380649e-23 * 298.15 / 1.602176634e-19


def supply(reference: str, net: str, volts: float) -> Row:
    return reference, "dc_supply", {"plus": net, "minus": "gnd"}, {"voltage": volts}


def npn(**values: float) -> Row:
    return "Q1", "npn", {"collector": "c", "base": "b", "emitter": "e"}, values


GROUNDED = ("W1", "wire", {"1": "e", "2": "gnd"})


def test_collector_current_is_the_test_current_at_the_told_drop(solve: Solve) -> None:
    solution = solve(
        supply("V1", "c", 5.0),
        supply("V2", "b", 0.65),
        npn(base_emitter_drop=0.65, test_current=1e-3),
        GROUNDED,
    )
    assert solution.pin_current("Q1", "collector")[0] == pytest.approx(1e-3, rel=1e-6)


def test_sixty_millivolts_more_carry_ten_times_the_current(solve: Solve) -> None:
    step = V_T * np.log(10.0)
    solution = solve(
        supply("V1", "c", 5.0),
        supply("V2", "b", 0.6),
        npn(),
        GROUNDED,
        variations={("V2", "voltage"): [0.6, 0.6 + step]},
    )
    low, high = solution.pin_current("Q1", "collector")
    assert high / low == pytest.approx(10.0, rel=1e-6)


def test_base_current_times_gain_is_the_collector_current_in_the_active_region(solve: Solve) -> None:
    feed = ("R1", "resistor", {"1": "v", "2": "b"}, {"resistance": 1e6})
    load = ("R2", "resistor", {"1": "v", "2": "c"}, {"resistance": 1e3})
    solution = solve(supply("V1", "v", 5.0), feed, load, npn(current_gain=150.0), GROUNDED)
    ratio = solution.pin_current("Q1", "collector") / solution.pin_current("Q1", "base")
    assert ratio[0] == pytest.approx(150.0, rel=1e-6)


def test_saturation_voltage_follows_ebers_and_moll(solve: Solve) -> None:
    # v_ce = V_T·ln((1 + (i_c/i_b)/β_R·… )): J. J. Ebers and J. L. Moll, Proc. IRE 42 (1954), solved for both junctions at once
    i_b, i_c, forward, reverse = 1e-3, 10e-3, 100.0, 2.0
    base = ("I1", "current_supply", {"plus": "b", "minus": "gnd"}, {"current": i_b})
    collector = ("I2", "current_supply", {"plus": "c", "minus": "gnd"}, {"current": i_c})
    bare = npn(current_gain=forward, reverse_gain=reverse, collector_resistance=0.0)
    solution = solve(base, collector, bare, GROUNDED)
    expected = V_T * np.log((1.0 + reverse + i_c / i_b) / reverse / (1.0 - i_c / i_b / forward))
    assert solution.voltage("c")[0] == pytest.approx(expected, rel=1e-6)


def saturated(solve: Solve, **values: float) -> Solution:
    base = ("I1", "current_supply", {"plus": "b", "minus": "gnd"}, {"current": 5e-3})
    collector = ("I2", "current_supply", {"plus": "c", "minus": "gnd"}, {"current": 50e-3})
    return solve(base, collector, npn(**values), GROUNDED)


def test_collector_resistance_lies_in_series_with_what_saturation_leaves(solve: Solve) -> None:
    bare, resistive = saturated(solve, collector_resistance=0.0), saturated(solve, collector_resistance=2.0)
    assert resistive.voltage("c")[0] - bare.voltage("c")[0] == pytest.approx(0.1, rel=1e-6)


def test_transistors_for_more_current_have_less_collector_resistance(solve: Solve) -> None:
    bare, small, large = (
        saturated(solve, collector_resistance=0.0),
        saturated(solve, current_rating=0.1),
        saturated(solve, current_rating=1.0),
    )
    drops = [one.voltage("c")[0] - bare.voltage("c")[0] for one in (small, large)]
    assert drops == pytest.approx([0.2, 0.02], rel=1e-6)


# Typical values at 25 °C of common data sheets (2N3904, BC547, 2N2222), from memory, and what the first of them guarantees.
@pytest.mark.parametrize(
    ("i_c", "i_b", "rated", "shown"),
    [
        (10e-3, 1e-3, 0.2, 0.07),
        (50e-3, 5e-3, 0.2, 0.11),
        (50e-3, 5e-3, 0.2, 0.3),
        (10e-3, 0.5e-3, 0.1, 0.09),
        (100e-3, 5e-3, 0.1, 0.2),
        (150e-3, 15e-3, 0.6, 0.15),
    ],
)
def test_saturation_voltage_of_ordinary_parts_is_no_misfit_where_nobody_told(
    i_c: float, i_b: float, rated: float, shown: float
) -> None:
    told: dict[str, float | str] = {} if rated == 0.2 else {"current_rating": rated}
    circuit = Circuit(
        parts=(
            Part(
                reference="I1",
                kind="current_supply",
                pins={"plus": "b", "minus": "gnd"},
                values={"current": i_b},
            ),
            Part(
                reference="I2",
                kind="current_supply",
                pins={"plus": "c", "minus": "gnd"},
                values={"current": i_c},
            ),
            Part(
                reference="Q1",
                kind="npn",
                pins={"collector": "c", "base": "b", "emitter": "gnd"},
                values=told,
            ),
        )
    )
    predicted = predict_spread(circuit, [Situation(name="on")]).of(lambda solution: solution.voltage("c"))
    assert abs(shown - predicted.value[0]) < 3.0 * predicted.uncertainty[0]


def test_pnp_is_the_mirror_image_of_npn(solve: Solve) -> None:
    load = ("R2", "resistor", {"1": "v", "2": "c"}, {"resistance": 1e3})
    upright = solve(supply("V1", "v", 5.0), supply("V2", "b", 0.66), load, npn(), GROUNDED)
    mirrored = ("Q1", "pnp", {"collector": "c", "base": "b", "emitter": "e"})
    turned = solve(supply("V1", "v", -5.0), supply("V2", "b", -0.66), load, mirrored, GROUNDED)
    assert turned.voltage("c")[0] == pytest.approx(-upright.voltage("c")[0], rel=1e-9)


def test_early_voltage_tilts_the_collector_current(solve: Solve) -> None:
    solution = solve(
        supply("V1", "c", 5.0),
        supply("V2", "b", 0.65),
        npn(early_voltage=50.0),
        GROUNDED,
        variations={("V1", "voltage"): [1.65, 11.65]},
    )
    low, high = solution.pin_current("Q1", "collector")
    # collector-base voltages of 1 V and 11 V
    assert high / low == pytest.approx((1 + 11 / 50) / (1 + 1 / 50), rel=1e-3)


def test_warm_transistor_needs_two_millivolts_a_kelvin_less(solve: Solve) -> None:
    warm, cool = 45.0, 25.0
    current = ("I1", "current_supply", {"plus": "c", "minus": "gnd"}, {"current": 1e-3})
    joined = ("W2", "wire", {"1": "c", "2": "b"})
    solution = solve(
        current, joined, npn(current_gain=1e9), GROUNDED, variations={("Q1", "temperature"): [cool, warm]}
    )
    cold_drop, warm_drop = solution.voltage("b")
    assert (warm_drop - cold_drop) / (warm - cool) == pytest.approx(-0.002, rel=1e-3)


def test_abrupt_junction_holds_its_drop_over_decades(solve: Solve) -> None:
    feed = ("R1", "resistor", {"1": "v", "2": "b"}, {"resistance": 1e5})
    load = ("R2", "resistor", {"1": "v", "2": "c"}, {"resistance": 100.0})
    abrupt = npn(base_emitter_drop=0.7, emission=1e-3, current_gain=50.0)
    solution = solve(
        supply("V1", "v", 5.0), feed, load, abrupt, GROUNDED, variations={("R1", "resistance"): [1e4, 1e7]}
    )
    assert solution.voltage("b") == pytest.approx([0.7, 0.7], abs=1e-3)


def test_darlington_needs_two_drops_and_multiplies_its_gains(solve: Solve) -> None:
    values = {"first_gain": 50.0, "second_gain": 60.0, "first_resistance": 1e9, "second_resistance": 1e9}
    pair = ("Q1", "darlington_npn", {"collector": "c", "base": "b", "emitter": "e"}, values)
    base = ("I1", "current_supply", {"plus": "b", "minus": "gnd"}, {"current": 10e-6})
    solution = solve(supply("V1", "c", 5.0), base, pair, GROUNDED)
    # β1 + (β1 + 1)·β2
    assert solution.pin_current("Q1", "collector")[0] / 10e-6 == pytest.approx(50 + 51 * 60, rel=1e-4)
    assert 1.2 < solution.voltage("b")[0] < 1.4


def test_base_resistance_drops_the_base_current(solve: Solve) -> None:
    base = ("I1", "current_supply", {"plus": "b", "minus": "gnd"}, {"current": 1e-3})
    bare = solve(supply("V1", "c", 5.0), base, npn(), GROUNDED)
    with_resistance = solve(supply("V1", "c", 5.0), base, npn(base_resistance=50.0), GROUNDED)
    assert with_resistance.voltage("b")[0] - bare.voltage("b")[0] == pytest.approx(0.05, rel=1e-6)
