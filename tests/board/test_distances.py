"""Creepage, clearance and tracks, against geometry that is worked out by hand and published figures."""

import math

import numpy as np
import pytest
from shapely.geometry import box

from lidoff.board import (
    clearance,
    copper_resistivity,
    counted_grooves,
    creepage,
    ipc_2221_current,
    measure_track,
    rectangle,
    track_part,
)
from lidoff.errors import ImpossibleValue

BOARD = rectangle(40.0, 30.0)
LEFT, RIGHT = box(5, 10, 10, 20), box(20, 10, 25, 20)


def slot(x0: float, y0: float, x1: float, y1: float) -> tuple[tuple[float, float], ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def test_without_slots_creepage_is_the_straight_distance() -> None:
    found = creepage([LEFT], [RIGHT], outline=BOARD)
    assert found.length == pytest.approx(10.0)


def test_creepage_goes_round_a_wide_slot() -> None:
    # Slot 2 mm wide from y = 8 to 22 between the conductors: from (10, 10) to its corner (14, 8), along, to (20, 10).
    found = creepage([LEFT], [RIGHT], outline=BOARD, slots=[slot(14, 8, 16, 22)])
    assert found.length == pytest.approx(2 * math.hypot(4, 2) + 2.0)
    assert found.grooves_ignored == 0


def test_a_slot_below_one_millimetre_does_not_count() -> None:
    found = creepage([LEFT], [RIGHT], outline=BOARD, slots=[slot(14, 8, 14.8, 22)])
    assert found.length == pytest.approx(10.0)
    assert found.grooves_ignored == 1


def test_a_small_clearance_lets_narrower_grooves_count() -> None:
    # IEC 60664-1: below 3 mm of clearance the least width is a third of it.
    narrow = slot(14, 8, 14.8, 22)
    assert counted_grooves([narrow]) == ()
    assert counted_grooves([narrow], clearance_mm=2.1) == (narrow,)


def test_clearance_passes_straight_over_a_slot() -> None:
    assert clearance([LEFT], [RIGHT]).length == pytest.approx(10.0)


def test_creepage_goes_round_a_notch_of_the_outline() -> None:
    notched = ((0, 0), (14, 0), (14, 22), (16, 22), (16, 0), (40, 0), (40, 30), (0, 30))
    found = creepage([LEFT], [RIGHT], outline=notched)
    assert found.length == pytest.approx(2 * math.hypot(4, 2) + 2.0)


def test_a_floating_conductor_shortens_creepage() -> None:
    found = creepage([LEFT], [RIGHT], outline=BOARD, floating=[box(13, 12, 17, 18)])
    assert found.length == pytest.approx(3.0 + 3.0)


def test_creepage_is_never_below_clearance() -> None:
    rng = np.random.default_rng(5)
    for _ in range(8):
        x, y = rng.uniform(11, 15), rng.uniform(2, 15)
        slots = [slot(x, y, x + rng.uniform(1, 3), y + rng.uniform(3, 12))]
        over = creepage([LEFT], [RIGHT], outline=BOARD, slots=slots)
        assert over.length >= clearance([LEFT], [RIGHT]).length - 1e-9


def test_two_halves_with_no_surface_between_are_told() -> None:
    with pytest.raises(ImpossibleValue, match="no surface of this side joins the two groups"):
        creepage([LEFT], [RIGHT], outline=BOARD, slots=[slot(14, -1, 16, 31)])


def test_an_empty_group_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="the second group has no conductor"):
        clearance([LEFT], [])


def test_uncertainty_grows_with_the_length() -> None:
    near, far = clearance([LEFT], [box(11, 10, 12, 20)]), clearance([LEFT], [box(35, 10, 36, 20)])
    assert near.uncertainty < far.uncertainty
    # Both edges blurred by 0.03 mm, 25 mm at 0.3 %.
    assert far.uncertainty == pytest.approx(math.hypot(0.075, 0.03 * math.sqrt(2)))


def test_copper_resistivity_is_that_of_the_standard() -> None:
    # IEC 60028 (1925): 1/58 Ω·mm²/m = 0.017241 Ω·mm²/m at 20 °C.
    assert copper_resistivity(20.0) == pytest.approx(1.7241e-8, abs=0.00005e-8)


def test_a_track_of_ten_squares_has_the_resistance_of_ten_squares() -> None:
    found = measure_track([(0.0, 0.0), (10.0, 0.0)], [1.0, 1.0], thickness=35e-6)
    # One square of 35 µm copper: 1.7241e-8 / 35e-6 = 0.4926 mΩ.
    assert found.resistance == pytest.approx(4.926e-3, abs=0.0005e-3)
    assert found.length == pytest.approx(0.01)


def test_a_taper_is_integrated_exactly() -> None:
    whole = measure_track([(0.0, 0.0), (10.0, 0.0)], [0.5, 2.0])
    places = [(10.0 * k / 400, 0.0) for k in range(401)]
    fine = measure_track(places, [0.5 + 1.5 * k / 400 for k in range(401)])
    assert whole.resistance == pytest.approx(fine.resistance, rel=1e-6)


def test_the_current_follows_the_formula_of_the_standard() -> None:
    # IPC-2221 section 6.2, worked by hand: 1 mm × 35 µm = 54.25 mil²; 54.25^0.725 = 18.09; 20^0.44 = 3.737.
    assert ipc_2221_current(1e-3, 35e-6, rise=20.0) == pytest.approx(0.048 * 3.737 * 18.09, rel=2e-3)


def test_inner_layers_carry_half() -> None:
    outer, inner = ipc_2221_current(1e-3, 35e-6), ipc_2221_current(1e-3, 35e-6, internal=True)
    assert inner == pytest.approx(outer / 2)


def test_a_measured_track_becomes_a_part_of_the_same_resistance() -> None:
    found = measure_track([(0.0, 0.0), (4.0, 0.0), (4.0, 6.0)], [0.5, 1.0, 0.5])
    part = track_part("W1", found, "a", "b")
    length, width, thickness = (float(part.values[name]) for name in ("length", "width", "thickness"))
    assert copper_resistivity(20.0) * length / (width * thickness) == pytest.approx(found.resistance)


def test_a_width_of_zero_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="a width of 0 mm"):
        measure_track([(0.0, 0.0), (1.0, 0.0)], [0.0, 1.0])
