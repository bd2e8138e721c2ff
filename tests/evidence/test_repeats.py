"""Each repeat of a reading for itself: its range, and whether it stands apart."""

import pytest

from lidoff.errors import ImpossibleValue
from lidoff.evidence import CannotTell, FromSolution, judge
from lidoff.quantities import Quantity
from tests.evidence.build import claim, measured


def test_a_repeat_beyond_the_range_is_named() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"65\.00 V \(repeat 2 of 3\) lies beyond the range of 'meter' for voltage dc"
    ):
        measured("v", "6.50 V", "65.00 V", "6.51 V", instrument="meter")


def test_the_largest_repeat_chooses_the_range_of_all() -> None:
    found = measured("v", "5.990 V", "6.01 V", "5.995 V", instrument="meter")
    assert found.span is not None
    assert "60 V" == found.span.up_to


def test_a_decimal_point_slipped_in_one_repeat_is_a_doubt() -> None:
    assert measured("a", "135.2 mA", "13.54 mA", "13.51 mA").doubts == (
        "135.2 mA (repeat 1 of 3) is an outlier among its repeats (Grubbs' test, ISO 5725-2:1994, 7.3.4, beyond 1 %)",
    )


def unsolved(source: FromSolution) -> Quantity:
    raise AssertionError(source)


def test_a_claim_on_repeats_with_an_outlier_stays_open() -> None:
    amps = measured("a", "135.2 mA", "13.54 mA", "13.51 mA")
    verdict = judge(claim("current", "10 mA", current="a"), {"a": amps}, unsolved).verdict
    assert isinstance(verdict, CannotTell)
    assert "cannot be relied on: 135.2 mA (repeat 1 of 3) is an outlier" in verdict.why


def test_a_straggler_is_kept_and_noted() -> None:
    # Mean 5.0425, standard deviation 0.0486, with the rounding 0.0487: 0.0725/0.0487 = 1.488, between 1.481 and 1.496
    found = measured("v", "5.01 V", "5.02 V", "5.025 V", "5.115 V")
    assert ((), 1) == (found.doubts, len(found.notes))
    assert found.notes[0].startswith("5.115 V (repeat 4 of 4) lies apart from its repeats and was kept")


@pytest.mark.parametrize(
    "shown", [("5.01 V", "5.01 V", "5.03 V"), ("5.01 V", "5.20 V"), ("13.2 mA", "13.5 mA", "13.9 mA")]
)
def test_common_scatter_is_no_doubt(shown: tuple[str, ...]) -> None:
    found = measured("v", *shown)
    assert ((), ()) == (found.doubts, found.notes)
