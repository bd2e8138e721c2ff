"""A stand-in feeds the circuit at rest, what it stands for feeds it over time, and never both."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidoff.circuit import (
    Circuit,
    Situation,
    at_rest,
    figures,
    in_force,
    operating_point,
    over_time,
    periodic_steady_state,
    replaced_at_rest,
    situation_table,
    waveform,
)
from tests.circuit.build import capacitor, circuit, diode, mains, resistor, supply

ON = Situation(name="on")
UNPLUGGED = Situation(name="unplugged", settings={"J1": {"connected": "disconnected"}})
AVERAGED = 12.0**0.5  # [V] any steady value


def rectified() -> Circuit:
    """Mains through a diode, and a steady supply that stands for the two on average."""
    stand_in = supply("V1", "rail", AVERAGED, ohms=1.0)
    return circuit(
        mains("J1", "live", "gnd", 12.0, 50.0),
        diode("D1", "live", "rail"),
        replace(stand_in, stands_for=("J1", "D1")),
        capacitor("C1", "rail", "gnd", 100e-6),
        resistor("R1", "rail", "gnd", 1e3),
    )


def without(made: Circuit, reference: str) -> Circuit:
    return replace(made, parts=tuple(part for part in made.parts if part.reference != reference))


def test_at_rest_the_supply_that_is_stood_for_is_left_out() -> None:
    table = situation_table(rectified(), [ON])
    assert [0.0] == list(table["J1", "connected"])
    assert [1.0] == list(table["V1", "connected"])


def test_an_offset_of_what_is_stood_for_does_not_count_twice_at_rest() -> None:
    made = rectified()
    offset = replace(made.part("J1"), values={**made.part("J1").values, "offset": 20.0})
    point = operating_point(made.with_parts([offset]), situations=[ON]).at(0)
    assert AVERAGED * 1e3 / (1e3 + 1.0) == pytest.approx(point.voltage("rail"))


def test_over_a_period_the_stand_in_is_left_out() -> None:
    made = rectified()
    plain = periodic_steady_state(without(made, "V1"))
    found = periodic_steady_state(made, situation=ON)
    assert figures(plain.times, plain.voltage("rail")).rms == pytest.approx(
        figures(found.times, found.voltage("rail")).rms, rel=1e-3
    )


def test_a_plain_waveform_leaves_the_stand_in_out_as_well() -> None:
    found = waveform(rectified(), 0.02, situation=ON)
    assert 0.0 == pytest.approx(abs(found.current("V1")).max(), abs=1e-9)


def test_a_stand_in_feeds_alone_where_what_it_stands_for_is_disconnected() -> None:
    assert {} == dict(in_force(rectified(), UNPLUGGED))
    assert "V1" not in over_time(rectified(), UNPLUGGED).settings


def test_a_disconnected_stand_in_leaves_the_mains_where_they_are() -> None:
    aside = Situation(name="aside", settings={"V1": {"connected": "disconnected"}})
    assert aside == at_rest(rectified(), aside)


def test_parts_that_are_not_there_are_not_stood_for() -> None:
    assert {} == dict(in_force(without(rectified(), "J1"), ON))


def test_nets_that_hang_on_nothing_else_say_nothing_at_rest() -> None:
    replaced = replaced_at_rest(rectified(), ON)
    assert {"live"} == replaced.nets
    assert {"J1", "D1"} == replaced.parts
