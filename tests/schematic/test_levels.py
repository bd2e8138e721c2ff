"""Rails are found, and potentials fall in the order in which a person would draw them."""

from __future__ import annotations

from dataclasses import replace

from lidoff.circuit import Part
from lidoff.schematic.levels import find_levels
from tests.schematic.gallery import GALLERY
from tests.schematic.pieces import capacitor, circuit, electrolytic, nmos, piece, pmos, resistor, supply


def test_a_divider_falls_from_supply_over_tap_to_ground() -> None:
    levels = find_levels(GALLERY["divider"])

    assert levels.potential["vin"] > levels.potential["tap"] > levels.potential["gnd"]
    assert ("supply", "signal", "ground") == tuple(levels.role[net] for net in ("vin", "tap", "gnd"))


def test_the_output_of_a_bridge_lies_above_the_alternating_nets() -> None:
    levels = find_levels(GALLERY["bridge_rectifier"])

    assert levels.potential["out"] > levels.potential["l"] > levels.potential["gnd"]
    assert levels.role["out"] == "supply"


def test_a_rail_behind_a_fuse_is_a_rail() -> None:
    loads = [resistor(f"R{k}", "v5 gnd", 1e3) for k in range(4)]
    levels = find_levels(
        circuit(
            "fused", supply("V1", "usb gnd", 5.0), piece("F1", "fuse", "usb v5", current_rating=1.0), *loads
        )
    )

    assert levels.role["v5"] == "supply"


def behind_a_resistor(ohms: float, *others: Part) -> str:
    """Role of a net behind a resistor from the supply, on which three loads and some other parts hang."""
    loads = [resistor(f"R{number}", "net gnd", 1e6) for number in range(3)]
    made = circuit("behind", supply("V1", "v gnd", 5.0), resistor("R9", "v net", ohms), *loads, *others)
    return find_levels(made).role["net"]


def test_a_signal_that_a_resistor_pulls_up_is_no_rail() -> None:
    assert "signal" == behind_a_resistor(10e3)


def test_gates_behind_a_pull_up_are_no_rail() -> None:
    bridge = (pmos("Q1", "net m v"), nmos("Q2", "net m gnd"))
    assert "signal" == behind_a_resistor(10e3, *bridge)
    assert "signal" == behind_a_resistor(1.0, *bridge)


def test_a_pulled_up_signal_that_a_small_capacitor_delays_is_no_rail() -> None:
    assert "signal" == behind_a_resistor(10e3, capacitor("C1", "net gnd", 100e-9))


def test_a_rail_smoothed_behind_a_resistor_is_a_rail() -> None:
    assert "supply" == behind_a_resistor(470.0, electrolytic("C1", "net gnd", 220e-6))


def test_a_rail_behind_a_fusible_resistor_is_a_rail() -> None:
    assert "supply" == behind_a_resistor(4.7)


def test_a_told_role_goes_before_a_found_one() -> None:
    assert find_levels(GALLERY["low_side_switch"]).role["drive"] == "signal"


def test_a_supply_between_two_pins_is_a_plain_wire() -> None:
    levels = find_levels(GALLERY["divider"])

    assert levels.plain == {"vin"}
    assert find_levels(GALLERY["non_inverting_amplifier"]).plain == frozenset()


def test_a_declared_rail_is_no_plain_wire() -> None:
    divider = GALLERY["divider"]

    assert find_levels(replace(divider, rails={"vin": "supply"})).plain == frozenset()
