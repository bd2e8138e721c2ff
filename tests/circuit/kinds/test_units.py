"""Units that kinds keep their parameters in, beside the table of units that texts are read with."""

import pytest

from lidoff.circuit import all_kinds
from lidoff.quantities import parse_quantity

UNITS = sorted(
    {
        parameter.unit
        for kind in all_kinds().values()
        for parameter in (*kind.parameters, *kind.only_if_told)
        if parameter.unit
    }
)


@pytest.mark.parametrize("unit", UNITS)
def test_a_value_in_the_unit_of_a_parameter_can_be_written(unit: str) -> None:
    assert 2.5 == parse_quantity(f"2.5 {unit}", unit=unit).value
