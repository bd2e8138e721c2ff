"""The linear charger where nothing feeds it."""

from lidoff.circuit import Circuit, Part, operating_point


def test_a_charger_without_input_gives_the_cell_less_than_a_hundred_nanoamperes() -> None:
    pins = {"input": "vin", "ground": "gnd", "battery": "cell", "program": "program"}
    parts = (
        Part(reference="U1", kind="linear_charger", pins=pins),
        Part(reference="R1", kind="resistor", pins={"1": "program", "2": "gnd"}, values={"resistance": 3e3}),
        Part(reference="R2", kind="resistor", pins={"1": "vin", "2": "gnd"}, values={"resistance": 20e3}),
        Part(reference="BT1", kind="cell", pins={"plus": "cell", "minus": "gnd"}, values={"emf": 4.12}),
    )
    point = operating_point(Circuit(parts=parts)).at(0)
    assert abs(point.current("BT1")) < 100e-9
