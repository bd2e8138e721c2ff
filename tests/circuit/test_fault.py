from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.plausible import plausible_circuit
from lidoff.circuit import (
    Circuit,
    Situation,
    all_faults,
    bridge,
    drift,
    open_part,
    open_pin,
    operating_point,
    short,
    solve_faults,
)
from lidoff.errors import UnknownName
from tests.circuit.build import circuit, led, npn, resistor, supply


def _lit() -> Circuit:
    return circuit(supply("V", "a", 5.0, ohms=0.5), resistor("R", "a", "k", 150.0), led("D", "k", "gnd"))


def test_whole_circuit_heads_the_batch() -> None:
    found = solve_faults(_lit(), [open_part("R")])
    assert found.labels == ("as it stands: as it should be", "as it stands: R open")
    assert found.current("D")[0] == pytest.approx(operating_point(_lit()).current("D")[0], rel=1e-9)


def test_open_part_carries_nothing() -> None:
    assert solve_faults(_lit(), [open_part("R")]).current("D")[1] == pytest.approx(0.0, abs=1e-9)


def test_short_takes_the_part_out_of_the_way() -> None:
    found = solve_faults(_lit(), [short("R", _lit())])
    expected = operating_point(_lit().with_parts([resistor("R", "a", "k", 1e-3)])).current("D")[0]
    assert found.current("D")[1] == pytest.approx(expected, rel=1e-3)


def test_drift_is_the_circuit_with_that_value() -> None:
    found = solve_faults(_lit(), [drift("R", "resistance", 2.0)])
    expected = operating_point(_lit().with_parts([resistor("R", "a", "k", 300.0)])).current("D")[0]
    assert found.current("D")[1] == pytest.approx(expected, rel=1e-9)


def test_pin_off_its_net_leaves_the_rest_of_the_part() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R1", "a", "b", 10e3),
        resistor("R2", "a", "c", 1e3),
        npn("Q", "c", "b", "gnd"),
    )
    found = solve_faults(made, [open_pin("Q", "collector")])
    assert found.voltage("c")[1] == pytest.approx(5.0, abs=1e-6)
    assert found.current("R1")[1] > 1e-4  # the base still conducts


def test_bridged_pins_share_a_voltage() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R1", "a", "b", 10e3),
        resistor("R2", "a", "c", 1e3),
        npn("Q", "c", "b", "gnd"),
    )
    found = solve_faults(made, [bridge("Q", "collector", "base")])
    assert found.between("c", "b")[1] == pytest.approx(0.0, abs=1e-4)


def test_every_situation_has_every_fault() -> None:
    off = Situation(name="off", settings={"V": {"connected": "disconnected"}})
    on = Situation(name="on")
    found = solve_faults(_lit(), [open_part("D")], situations=(on, off))
    assert found.labels == ("on: as it should be", "on: D open", "off: as it should be", "off: D open")
    assert found.current("R")[2] == pytest.approx(0.0, abs=1e-9)


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_faults_of_plausible_circuits_settle_and_balance(seed: int) -> None:
    made = plausible_circuit(seed, pieces=3)
    found = solve_faults(made, all_faults(made))
    assert found.settled.mean() >= 0.98
    powers = np.array([found.power(part.reference) for part in made.parts])[:, found.settled]
    assert (np.abs(powers.sum(axis=0)) <= 1e-6 * np.abs(powers).sum(axis=0) + 1e-8).all()


@pytest.mark.parametrize("seed", [32, 72, 13536])
def test_a_base_that_only_leakage_holds_settles_beside_every_other_fault(seed: int) -> None:
    made = plausible_circuit(seed, pieces=3)

    assert solve_faults(made, all_faults(made)).settled.all()


def test_fault_of_an_unknown_pin_is_refused() -> None:
    with pytest.raises(UnknownName, match="R has no pin '3'"):
        solve_faults(_lit(), [bridge("R", "1", "3")])


def test_titles_are_plain_words() -> None:
    assert [
        drift("R1", "resistance", 0.5).title,
        bridge("Q1", "base", "emitter").title,
        open_pin("U1", "8").title,
    ] == [
        "R1 resistance × 0.5",
        "Q1 base bridged to emitter",
        "U1 pin 8 off",
    ]
