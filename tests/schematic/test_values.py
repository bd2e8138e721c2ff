"""What stands beside a part on the drawing."""

from lidoff.circuit import Part
from lidoff.schematic.text import lines_beside


def test_a_resistor_shows_its_value_and_not_the_digits_printed_on_it() -> None:
    part = Part(
        reference="R13",
        kind="resistor",
        pins={"1": "a", "2": "b"},
        values={"resistance": 10.0},
        marking="100",
    )
    assert ["R13", "10 Ω"] == lines_beside(part)


def test_a_diode_shows_its_type() -> None:
    pins = {"anode": "a", "cathode": "b"}
    part = Part(reference="D1", kind="diode", pins=pins, values={"forward_drop": 0.7}, marking="M7")
    assert ["D1", "M7"] == lines_beside(part)
