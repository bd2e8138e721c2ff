import math

import pytest

from lidoff.evidence import Comparison, IntoPin, Reading, compare, measure
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


def test_an_amount_that_fits_with_the_other_sign_is_told_so() -> None:
    advice = compared(-4.9, 0.1, "5.0 V ± 0.1 V").other_way_round
    assert advice.startswith("the amount fits with the other sign")
    assert "write −5.00 V if that was it" in advice


def test_a_current_into_a_pin_is_told_with_how_it_counts() -> None:
    target = IntoPin(reference="U2", pin="output")
    read = measure(Reading(name="i", target=target, shown=("0.503 A ± 5 mA",)), {})
    advice = compare(read, Quantity(-0.49, "A", 0.02)).other_way_round
    assert "a current counts into the pin that is named" in advice


@pytest.mark.parametrize("predicted", [4.9, -4.0, 9.0])
def test_what_agrees_or_fits_with_neither_sign_gets_no_advice_on_it(predicted: float) -> None:
    assert not compared(predicted, 0.1, "5.0 V ± 0.1 V").other_way_round
