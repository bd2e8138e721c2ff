"""Labels of a circuit depend on what hangs where, not on names and order."""

from __future__ import annotations

import random
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.plausible import plausible_circuit
from lidoff.circuit import Circuit, Part
from lidoff.shelf import circuit_labels, part_labels


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10**6), shuffle=st.integers(0, 10**6))
def test_names_and_order_change_no_label(seed: int, shuffle: int) -> None:
    circuit = plausible_circuit(seed, 3)
    rng = random.Random(shuffle)
    names = {net: f"n{k}" for k, net in enumerate(rng.sample(sorted(circuit.nets), len(circuit.nets)))}
    names[circuit.ground] = circuit.ground
    parts = [
        replace(part, reference=f"X{k}", pins={pin: names[net] for pin, net in part.pins.items()})
        for k, part in enumerate(rng.sample(circuit.parts, len(circuit.parts)))
    ]

    assert circuit_labels(Circuit(parts=tuple(parts), ground=circuit.ground)) == circuit_labels(circuit)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10**6), pick=st.integers(0, 10**6))
def test_a_moved_pin_changes_labels(seed: int, pick: int) -> None:
    circuit = plausible_circuit(seed, 3)
    part = circuit.parts[pick % len(circuit.parts)]
    pin = sorted(part.pins)[0]
    moved = circuit.with_parts([replace(part, pins={**part.pins, pin: "an own net"})])

    if len(circuit.nets[part.pins[pin]]) > 1:
        assert circuit_labels(moved) != circuit_labels(circuit)


def test_either_way_round_is_the_same_for_a_resistor_but_not_for_a_diode() -> None:
    def pair(kind: str, first: str, second: str, *, turned: bool) -> object:
        a, b = ("a", "b") if not turned else ("b", "a")
        load = Part(reference="R9", kind="resistor", pins={"1": "a", "2": "gnd"})
        return circuit_labels(
            Circuit(parts=(Part(reference="X", kind=kind, pins={first: a, second: b}), load))
        )

    assert pair("resistor", "1", "2", turned=False) == pair("resistor", "1", "2", turned=True)
    assert pair("diode", "anode", "cathode", turned=False) != pair("diode", "anode", "cathode", turned=True)


def test_a_pin_moved_on_a_rail_changes_only_what_is_near() -> None:
    lamps = [Part(reference=f"R{k}", kind="resistor", pins={"1": "rail", "2": f"n{k}"}) for k in range(8)]
    lamps += [
        Part(reference=f"D{k}", kind="led", pins={"anode": f"n{k}", "cathode": "gnd"}) for k in range(8)
    ]
    circuit = Circuit(parts=tuple(lamps), ground="gnd")
    moved = circuit.with_parts([replace(lamps[0], pins={"1": "elsewhere", "2": "n0"})])
    same = sum(
        part_labels(circuit)[part.reference] == part_labels(moved)[part.reference] for part in circuit.parts
    )

    assert len(circuit.parts) - 2 == same


def test_each_part_has_a_label_before_and_after_each_round() -> None:
    circuit = plausible_circuit(1, 2)

    assert {len(labels) for labels in part_labels(circuit).values()} == {4}
    assert sum(circuit_labels(circuit).values()) == 4 * len(circuit.parts)
