from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, check_circuit, check_pins
from lidoff.circuit.solve.assemble import table_of
from lidoff.errors import CircuitFault
from tests.circuit.build import circuit, resistor, supply


def _names(made: Circuit) -> list[str]:
    return [fault.name for fault in check_circuit(made, table_of(made))]


def test_sound_circuit_has_no_fault() -> None:
    assert _names(circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))) == []


def test_a_pin_that_the_kind_does_not_have_is_told_with_the_right_ones() -> None:
    made = circuit(
        Part(
            reference="R", kind="resistor", pins={"1": "a", "2": "gnd", "3": "b"}, values={"resistance": 1.0}
        )
    )
    (fault,) = check_pins(made)
    assert fault.what == "R: a resistor has no pin '3'"
    assert fault.remedy == "its pins are 1, 2"
    assert fault.fatal


def test_a_pin_on_no_net_is_told() -> None:
    made = circuit(Part(reference="R", kind="resistor", pins={"1": "a"}, values={"resistance": 1.0}))
    assert check_pins(made)[0].what == "R: pin 2 is on no net"


def test_a_part_with_all_pins_on_one_net_is_told() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R1", "a", "gnd", 1.0), resistor("R2", "a", "a", 1.0))
    assert _names(made) == ["bridged part"]


def test_a_net_with_one_pin_is_told_but_not_fatal() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R1", "a", "gnd", 1.0), resistor("R2", "a", "b", 1.0))
    (fault,) = check_circuit(made, table_of(made))
    assert fault.what == "net 'b' reaches only R2.2"
    assert not fault.fatal


def test_a_piece_that_nothing_joins_to_the_ground_is_told_with_its_parts() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R1", "a", "gnd", 1.0),
        resistor("R2", "x", "y", 1.0),
        resistor("R3", "x", "y", 1.0),
    )
    (fault,) = check_circuit(made, table_of(made))
    assert "nothing joins R2, R3 to the rest of the circuit, so no voltage between x, y and gnd is known" == (
        fault.what
    )
    assert ("no way to the ground", ("x", "y"), False) == (fault.name, fault.nets, fault.fatal)


def test_a_winding_apart_from_the_mains_is_no_stray_piece() -> None:
    pins = {"primary_1": "a", "primary_2": "gnd", "secondary_1": "x", "secondary_2": "y"}
    made = circuit(
        supply("V", "a", 5.0),
        Part(reference="T", kind="transformer", pins=pins),
        resistor("R", "x", "y", 1.0),
    )
    assert "no way to the ground" not in _names(made)


def test_links_in_a_ring_are_a_loop_without_resistance() -> None:
    ring = [
        Part(
            reference=f"W{k}",
            kind="link",
            pins={"1": f"n{k}", "2": f"n{(k + 1) % 3}"},
            values={"resistance": 0.0},
        )
        for k in range(3)
    ]
    made = circuit(supply("V", "n0", 5.0), resistor("R", "n1", "gnd", 1.0), *ring)
    (fault,) = check_circuit(made, table_of(made))
    assert fault.parts == ("W0", "W1", "W2")
    assert fault.fatal


def test_a_circuit_without_its_ground_net_is_told() -> None:
    made = circuit(supply("V", "a", 5.0, minus="b"), resistor("R", "a", "b", 1.0))
    assert _names(made) == ["no ground"]
    (fault,) = check_circuit(made, table_of(made))
    assert "no pin is on the ground net 'gnd'; voltages are told against b as long as none is" == (fault.what)


def test_two_parts_of_one_name_are_refused() -> None:
    with pytest.raises(CircuitFault, match="two parts are called R"):
        circuit(resistor("R", "a", "b", 1.0), resistor("R", "b", "c", 1.0))
