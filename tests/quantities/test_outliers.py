import pytest

from lidoff.errors import ImpossibleValue
from lidoff.quantities import furthest_repeat, grubbs_limit


@pytest.mark.parametrize(
    ("count", "one_percent", "five_percent"),
    # ISO 5725-2:1994, Table 5, one outlying observation (from memory).
    [
        (3, 1.155, 1.155),
        (4, 1.496, 1.481),
        (5, 1.764, 1.715),
        (6, 1.973, 1.887),
        (10, 2.482, 2.290),
        (20, 3.001, 2.709),
    ],
)
def test_the_limits_are_those_of_the_published_table(
    count: int, one_percent: float, five_percent: float
) -> None:
    assert one_percent == pytest.approx(grubbs_limit(count, 0.01), abs=1.1e-3)
    assert five_percent == pytest.approx(grubbs_limit(count, 0.05), abs=1.1e-3)


def test_two_values_have_no_outlier() -> None:
    with pytest.raises(ImpossibleValue, match=r"2 values have no outlier; give at least three"):
        grubbs_limit(2, 0.01)


def test_the_furthest_value_is_told_in_standard_deviations() -> None:
    # 1, 2, 3, 10: mean 4, standard deviation √(50/3) = 4.0825; 6/4.0825 = 1.4697
    place, distance = furthest_repeat([1.0, 2.0, 3.0, 10.0])
    assert 3 == place
    assert 1.4697 == pytest.approx(distance, abs=1e-4)


def test_values_that_do_not_scatter_have_nothing_apart() -> None:
    assert (0, 0.0) == furthest_repeat([5.0, 5.0, 5.0])


def test_rounding_keeps_two_like_values_from_making_an_outlier_of_a_third() -> None:
    values, step = [5.01, 5.01, 5.03], 0.01
    assert furthest_repeat(values)[1] > grubbs_limit(3, 0.01)
    assert furthest_repeat(values, rounding=step / 12**0.5)[1] < grubbs_limit(3, 0.05)
