import math

import pytest

from lidoff.evidence import Comparison, compare
from lidoff.quantities import Quantity
from tests.evidence.build import measured


def compared(predicted: float, spread: float, shown: str) -> Comparison:
    return compare(measured("v", shown), Quantity(predicted, "V", spread))


def test_score_is_difference_over_combined_uncertainty() -> None:
    # 4.5 − 4.4 over √(0.03² + 0.04²)
    assert compared(4.5, 0.03, "4.40 V ± 0.08 V").score == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("predicted", "expected"),
    [
        (5.0, "agrees"),
        (5.199, "agrees"),
        (4.801, "agrees"),
        (5.25, "strained"),
        (5.301, "misfit"),
        (4.699, "misfit"),
    ],
)
def test_a_word_tells_the_score(predicted: float, expected: str) -> None:
    assert expected == compared(predicted, 0.0, "5.00 V ± 0.2 V").fit


def test_two_exact_numbers_that_differ_are_a_misfit() -> None:
    one = compare(measured("n", "24"), Quantity(23.0, "1"))
    assert ("misfit", -math.inf) == (one.fit, one.score)


def test_two_exact_numbers_that_are_equal_agree() -> None:
    assert compare(measured("n", "24"), Quantity(24.0, "1")).score == 0.0


def test_a_prediction_inside_what_few_repeats_leave_open_agrees() -> None:
    # s/√3 = 0.203 mA; 0.667 mA off is 3.3 of them, and inside ± 0.92 mA, since s itself comes from three values.
    read = measured("a", "13.200 mA", "13.500 mA", "13.900 mA")
    found = compare(read, Quantity(14.2e-3, "A"))
    assert found.difference > 3.0 * read.quantity.uncertainty
    assert found.difference < read.quantity.expanded
    assert "agrees" == found.fit
