"""Conductors: geometry against the standards' figures, and behaviour at exactly zero ohms."""

from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Part, kind_of
from lidoff.circuit.kinds.wire import conductor_resistance, gauge_cross_section
from lidoff.errors import ImpossibleValue
from tests.circuit.kinds.conftest import Solve

SUPPLY = ("V1", "dc_supply", {"plus": "in", "minus": "gnd"}, {"voltage": 5.0})


def test_wire_of_zero_ohms_drops_nothing_and_carries_the_current(solve: Solve) -> None:
    load = ("R1", "resistor", {"1": "out", "2": "gnd"}, {"resistance": 10.0})
    solution = solve(SUPPLY, ("W1", "wire", {"1": "in", "2": "out"}), load)
    assert solution.voltage("out")[0] == pytest.approx(5.0, abs=1e-12)
    assert solution.current("W1")[0] == pytest.approx(0.5, rel=1e-9)


def test_copper_of_one_square_millimetre_and_58_metres_has_one_ohm() -> None:
    # IEC 60028:1925: the standard's definition of annealed copper at 20 °C
    one = conductor_resistance(*(np.array([v]) for v in (58.0, 1e-6, 1e-6 / 58.0, 0.00393, 20.0)))
    assert one[0] == pytest.approx(1.0, rel=1e-12)


@pytest.mark.parametrize(
    ("gauge", "inches"),
    # ASTM B258 diameters of solid round wire, as printed in T. R. Kuphaldt, Lessons In Electric Circuits, wire gauge table
    [(10, "0.1019"), (18, "0.0403"), (20, "0.03196"), (24, "0.0201"), (28, "0.01264"), (30, "0.01003")],
)
def test_gauge_gives_the_printed_diameter(gauge: int, inches: str) -> None:
    half_digit = 0.5 * 10.0 ** -len(inches.split(".")[1])
    diameter = np.sqrt(4.0 / np.pi * gauge_cross_section(np.array([gauge]))[0]) / 0.0254
    assert diameter == pytest.approx(float(inches), abs=1.01 * half_digit)


def test_cable_drops_half_of_its_loss_in_each_conductor(solve: Solve) -> None:
    pins = {"near_plus": "in", "near_minus": "gnd", "far_plus": "p", "far_minus": "m"}
    load = ("R1", "resistor", {"1": "p", "2": "m"}, {"resistance": 4.5})
    solution = solve(SUPPLY, ("W1", "cable", pins, {"loop_resistance": 0.5}), load)
    assert solution.voltage("p")[0] == pytest.approx(4.75)
    assert solution.voltage("m")[0] == pytest.approx(0.25)


def test_cable_by_gauge_counts_both_conductors(solve: Solve) -> None:
    pins = {"near_plus": "in", "near_minus": "gnd", "far_plus": "p", "far_minus": "m"}
    load = ("R1", "resistor", {"1": "p", "2": "m"}, {"resistance": 10.0})
    cable = ("W1", "cable", pins, {"length": 1.0, "gauge": 28.0, "temperature": 20.0})
    solution = solve(SUPPLY, cable, load)
    # 0.08098 mm² and 1/58 Ω·mm²/m: 0.2129 Ω for each metre of one conductor
    assert solution.between("p", "m")[0] == pytest.approx(5.0 * 10.0 / (10.0 + 2 * 0.2129), rel=1e-4)


def test_track_of_one_ounce_copper_has_half_a_milliohm_a_square(solve: Solve) -> None:
    # 1/58 Ω·mm²/m over 35 µm: 0.4926 mΩ a square at 20 °C
    values = {"length": 0.1, "width": 1e-3, "temperature": 20.0}
    current = ("I1", "current_supply", {"plus": "a", "minus": "gnd"}, {"current": 1.0})
    solution = solve(current, ("W1", "track", {"1": "a", "2": "gnd"}, values))
    assert solution.voltage("a")[0] == pytest.approx(100 * 0.4926e-3, rel=1e-4)


@pytest.mark.parametrize(
    ("kind", "values", "words"),
    [
        ("wire", {"resistance": 0.1, "length": 1.0, "gauge": 24.0}, "say the same thing twice"),
        ("wire", {"length": 1.0}, "needs both its length"),
        ("cable", {"length": 1.0}, "needs its loop_resistance"),
        ("cable", {"length": 1.0, "gauge": 24.0, "cross_section": 1e-6}, "say the same thing twice"),
    ],
)
def test_conductor_told_too_much_or_too_little_is_refused(
    kind: str, values: dict[str, float], words: str
) -> None:
    part = Part(reference="W1", kind=kind, pins={}, values=values)
    with pytest.raises(ImpossibleValue, match=words):
        kind_of(part).elements(part)
