from __future__ import annotations

import math

import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import Quantity, parse_quantity


def test_plus_minus_is_twice_the_standard_uncertainty() -> None:
    assert parse_quantity("4.40 V ± 0.02 V") == Quantity(4.40, "V", 0.01)
    assert str(Quantity(4.40, "V", 0.01)) == "4.40 V ± 0.02 V"
    assert Quantity(4.40, "V", 0.01).expanded == 0.02


@pytest.mark.parametrize(
    ("dof", "factor"),
    # JCGM 100:2008, Table G.2, column of 95.45 %.
    [
        (1, 13.97),
        (2, 4.53),
        (3, 3.31),
        (4, 2.87),
        (5, 2.65),
        (10, 2.28),
        (20, 2.13),
        (50, 2.05),
        (100, 2.025),
    ],
)
def test_plus_minus_is_wider_with_few_degrees_of_freedom(dof: float, factor: float) -> None:
    assert factor == pytest.approx(Quantity(5.0, "V", 1.0, dof).expanded, abs=5.1e-3)


def test_plus_minus_halved_is_that_of_a_normal_distribution() -> None:
    assert 4.53 / 2.0 == pytest.approx(Quantity(5.0, "V", 1.0, 2.0).normal_uncertainty, abs=3e-3)
    assert 1.0 == Quantity(5.0, "V", 1.0).normal_uncertainty


def test_what_is_printed_is_wider_with_few_degrees_of_freedom() -> None:
    assert "5.0 V ± 0.5 V" == str(Quantity(5.0, "V", 0.1, 2.0))


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_value_that_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(ImpossibleValue, match="is not finite"):
        Quantity(value, "V")


@pytest.mark.parametrize("uncertainty", [-0.1, math.nan, math.inf])
def test_an_uncertainty_that_cannot_be_is_refused(uncertainty: float) -> None:
    with pytest.raises(ImpossibleValue, match="not a finite number from zero up"):
        Quantity(1.0, "V", uncertainty)


@pytest.mark.parametrize("dof", [0.0, -1.0, math.nan])
def test_degrees_of_freedom_stand_above_zero(dof: float) -> None:
    with pytest.raises(ImpossibleValue, match="degrees of freedom"):
        Quantity(1.0, "V", 0.1, dof)


def test_a_prefixed_unit_is_not_a_kept_one() -> None:
    with pytest.raises(UnknownName, match="not kept in 'mV'"):
        Quantity(1.0, "mV")


def test_a_quantity_is_given_in_other_units_of_its_dimension() -> None:
    assert Quantity(10800.0, "s").value_in("h") == 3.0
    assert Quantity(2.0, "Ah").value_in("mAh") == 2000.0
    assert Quantity(2.0, "Ah").value_in("C") == 7200.0
    assert Quantity(25.0, "°C").value_in("°F") == pytest.approx(77.0, abs=1e-12)


def test_a_quantity_is_not_given_in_another_dimension() -> None:
    with pytest.raises(ImpossibleValue, match="is voltage and not to be given in 'mA'"):
        Quantity(1.0, "V").value_in("mA")
