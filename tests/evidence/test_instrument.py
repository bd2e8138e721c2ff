import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import MEASURES, Instrument, Range, usual_measure
from lidoff.quantities import UNITS
from tests.evidence.build import METER


def test_the_smallest_range_that_holds_the_value_is_taken() -> None:
    assert METER.range_for("voltage dc", 5.9).up_to == "6 V"


def test_a_negative_value_takes_a_range_by_its_size() -> None:
    assert METER.range_for("voltage dc", -7.0).up_to == "60 V"


def test_a_named_range_goes_before_the_smallest() -> None:
    assert METER.range_for("voltage dc", 5.0, "60 V").up_to == "60 V"


def test_an_open_range_holds_what_no_other_does() -> None:
    clock = Instrument(name="clock", ranges=(Range(measures="time", accuracy="1 s"),))
    assert clock.range_for("time", 1e6).accuracy == "1 s"


def test_a_value_beyond_all_ranges_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="70 V lies beyond the range of 'meter' for voltage dc"):
        METER.range_for("voltage dc", 70.0)


def test_a_measure_that_the_instrument_lacks_is_told_with_the_cure() -> None:
    with pytest.raises(
        UnknownName, match="'meter' has no accuracy for power; add a range with measures = \"power\""
    ):
        METER.range_for("power", 1.0)


def test_a_meter_with_another_measure_of_that_unit_is_asked_whether_that_was_read() -> None:
    clamp = Instrument(name="clamp", ranges=(Range(measures="current ac", accuracy="±(2 % + 5)"),))
    with pytest.raises(
        UnknownName, match='write measures = "current ac" with the reading if that is what was read, or'
    ):
        clamp.range_for("current dc", 0.5)


def test_a_range_that_the_instrument_lacks_is_told_with_those_it_has() -> None:
    with pytest.raises(
        ImpossibleValue, match="has no range '20 V' for voltage dc; its ranges end at 6 V, 60 V"
    ):
        METER.range_for("voltage dc", 5.0, "20 V")


def test_a_share_of_range_needs_the_range() -> None:
    with pytest.raises(ImpossibleValue, match="share of the range, and the range has no end; add up_to"):
        Range(measures="voltage dc", accuracy="0.1 % of range").check()


def test_a_range_of_negative_size_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="up_to is not above zero"):
        Range(measures="voltage dc", accuracy="1 %", up_to="-6 V").check()


def test_an_unknown_measure_suggests_the_nearest() -> None:
    with pytest.raises(UnknownName, match="did you mean 'voltage dc'"):
        Range(measures="voltage dcc", accuracy="1 %").check()


def test_a_burden_is_a_resistance() -> None:
    with pytest.raises(ImpossibleValue, match="resistance"):
        Range(measures="current dc", accuracy="1 %", burden="0.2 V").check()


@pytest.mark.parametrize("unit", sorted({*MEASURES.values()}))
def test_every_measure_is_kept_in_a_known_unit(unit: str) -> None:
    assert unit in {one.symbol for one in UNITS}


def test_a_voltage_is_taken_as_dc_unless_told() -> None:
    assert usual_measure("V") == "voltage dc"


def test_joules_are_measured_by_an_energy_meter() -> None:
    assert usual_measure("J") == "energy"


def test_metres_are_no_millivolts() -> None:
    assert usual_measure("m") == "length"


def test_what_no_range_measures_has_no_usual_measure() -> None:
    assert usual_measure("cd") == ""
