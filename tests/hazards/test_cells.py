"""Lithium cells: each limit kept and not kept; primary cells that are charged."""

from dataclasses import replace

import pytest

from lidoff.circuit import Part, Situation
from lidoff.hazards import CellTold, Hazard, Subject

from .build import answers, part, subject

CELL = {"plus": "cell", "minus": "gnd"}


def device(*parts: Part, **told: str) -> Subject:
    looked_at = subject(*parts)
    return replace(looked_at, cells=(CellTold(name="BT1", **told),))


def cell(**values: float | str) -> Part:
    return part("BT1", "cell", CELL, **{"capacity": 1.0, "emf": 3.8, "current_rating": 3.0, **values})


def charger(volts: float, ohms: float) -> tuple[Part, ...]:
    return (
        part("J1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=volts),
        part("R1", "resistor", {"1": "plus", "2": "cell"}, resistance=ohms),
    )


def by_title(looked_at: Subject) -> dict[str, Hazard]:
    return {one.title.partition(" of ")[0]: one for one in answers("cells", looked_at)}


@pytest.mark.parametrize(
    ("volts", "outcome"),
    [
        ("4.20 V ± 0.02 V", "within the limit"),
        ("4.24 V ± 0.03 V", "cannot tell"),
        ("4.35 V", "beyond the limit"),
    ],
)
def test_the_charge_limit_is_held_with_its_margin(volts: str, outcome: str) -> None:
    assert outcome == by_title(device(cell(), charge_limit=volts))["charge limit"].outcome


def test_a_solved_charge_voltage_counts_where_none_is_told() -> None:
    # 6 V through 1 Ω into 4.2 V behind 0.1 Ω: 1.64 A, 4.36 V at the cell
    found = by_title(device(*charger(6.0, 1.0), cell(emf=4.2, internal_resistance=0.1)))
    assert found["charge limit"].value is not None
    assert 6.0 == pytest.approx(
        found["charge limit"].value.value, rel=1e-4
    )  # left alone, it goes on to the supply's
    assert "beyond the limit" == found["charge limit"].outcome


@pytest.mark.parametrize(("ohms", "outcome"), [(10.0, "within the limit"), (0.5, "beyond the limit")])
def test_the_charge_current_is_held_against_the_capacity(ohms: float, outcome: str) -> None:
    assert outcome == by_title(device(*charger(5.0, ohms), cell()))["charge current"].outcome


@pytest.mark.parametrize(
    ("volts", "outcome"),
    [("3.0 V ± 0.05 V", "within the limit"), ("2.1 V", "beyond the limit"), ("", "cannot tell")],
)
def test_the_cut_off_is_held_or_asked_for(volts: str, outcome: str) -> None:
    assert outcome == by_title(device(cell(), cut_off=volts))["cut-off voltage"].outcome


@pytest.mark.parametrize(
    ("told", "outcome"),
    [
        ({"protection": "absent"}, "beyond the limit"),
        ({"protection": "present", "over_current": "5 A"}, "within the limit"),
        ({"protection": "present", "over_current": "20 A"}, "beyond the limit"),
        ({"protection": "present"}, "cannot tell"),
        ({}, "cannot tell"),
    ],
)
def test_what_stops_a_short_is_held_or_asked_for(told: dict[str, str], outcome: str) -> None:
    (found,) = (one for one in answers("cells", device(cell(), **told)) if "short" in one.what)
    assert outcome == found.outcome
    assert "about 38 A (3.8 V over 100 mΩ)" in found.what


def test_a_cell_of_unknown_chemistry_says_what_it_was_taken_for() -> None:
    told = answers("cells", device(cell(chemistry="lithium-ion")))
    assert not any(
        any("taken" in words or "as the dossier tells no chemistry" in words for words in one.assumed)
        for one in told
    )
    assert all(
        any("no chemistry" in words for words in one.assumed) for one in answers("cells", device(cell()))
    )


def test_a_battery_is_held_cell_by_cell() -> None:
    pack = part("BT1", "battery", CELL, cells=2.0, chemistry="lithium-ion", capacity=1.0)
    found = by_title(device(pack, charge_limit="8.4 V"))["charge limit"]
    assert found.value is not None
    assert 4.2 == pytest.approx(found.value.value)
    assert "within the limit" == found.outcome


def test_an_alkaline_cell_that_is_charged_is_a_fault() -> None:
    (found,) = answers("cells", device(*charger(5.0, 100.0), cell(chemistry="alkaline", emf=1.5)))
    assert ("beyond the limit", "fault") == (found.outcome, found.severity)


def test_an_alkaline_cell_that_only_gives_is_left_alone() -> None:
    load = part("R1", "resistor", {"1": "cell", "2": "gnd"}, resistance=10.0)
    assert answers("cells", device(cell(chemistry="alkaline", emf=1.5), load)) == ()


@pytest.mark.parametrize(("volts", "outcome"), [(4.2, "within the limit"), (5.0, "beyond the limit")])
def test_a_charge_through_a_bare_resistor_ends_at_its_supply(volts: float, outcome: str) -> None:
    found = by_title(device(*charger(volts, 2.2), cell(emf=3.8)))["charge limit"]
    assert found.value is not None
    assert volts == pytest.approx(found.value.value, rel=1e-4)
    assert outcome == found.outcome
    assert "where the charge ends by itself" in found.what


@pytest.mark.parametrize(
    "more", [(), (part("C1", "capacitor", {"1": "cell", "2": "gnd"}, capacitance=1e-5),)]
)
def test_a_linear_charger_is_not_said_to_charge_beyond_its_own_full_voltage(more: tuple[Part, ...]) -> None:
    pins = {"input": "plus", "ground": "gnd", "battery": "cell", "program": "set"}
    looked_at = device(
        part("J1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=5.0),
        part("U1", "linear_charger", pins),
        part("R1", "resistor", {"1": "set", "2": "gnd"}, resistance=1200.0),
        cell(state_of_charge=0.5),
        *more,
    )
    found = by_title(looked_at)["charge limit"]
    assert found.value is not None
    assert 4.2 == pytest.approx(found.value.value, abs=0.02)


def test_a_leak_smaller_than_what_the_cell_loses_by_itself_is_no_charge() -> None:
    looked_at = device(
        part("J1", "dc_supply", {"plus": "plus", "minus": "gnd"}, voltage=4.1),
        part("D1", "diode", {"anode": "plus", "cathode": "cell"}),
        part("J2", "dc_supply", {"plus": "high", "minus": "gnd"}, voltage=300.0),
        part("R2", "resistor", {"1": "high", "2": "cell"}, resistance=1e9),
        cell(emf=2.9),
    )
    found = by_title(looked_at)["charge limit"]
    assert found.value is not None
    assert 4.1 > found.value.value


def test_a_short_is_driven_by_the_open_voltage_and_not_by_what_a_load_leaves() -> None:
    load = part("R1", "resistor", {"1": "cell", "2": "gnd"}, resistance=0.1)
    found = by_title(device(load, cell(internal_resistance=0.1)))
    assert "about 38 A (3.8 V over 100 mΩ)" in found["protection"].what


def test_the_fullest_state_of_charge_of_all_situations_drives_the_short() -> None:
    full = Situation(name="full", settings={"BT1": {"state_of_charge": 1.0}})
    made = part("BT1", "cell", CELL, state_of_charge=0.1, internal_resistance=0.1)
    found = by_title(subject(made, situations=[Situation(name="flat"), full]))
    assert "about 42 A (4.2 V over 100 mΩ)" in found["protection"].what


@pytest.mark.parametrize(
    ("protection", "asked"), [("present", "add over_current to"), ("", "add protection to")]
)
def test_of_a_protection_circuit_only_what_is_not_told_yet_is_asked_for(protection: str, asked: str) -> None:
    told = CellTold(name="BT1", protection=protection)
    found = by_title(replace(subject(cell(), *charger(5.0, 10.0)), cells=(told,)))["protection"]
    assert asked in found.remedy
