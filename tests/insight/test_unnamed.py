"""Chips without a name: each kind of guess comes first in its own example, with reasons, and never as a fact."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.circuit import check_pins
from lidoff.dossier import circuit_of, load_dossier
from lidoff.insight import GuessKind, all_guesses, told_guess, unnamed_parts
from lidoff.insight.sketch import chip, piece, sketch

KINDS = list(all_guesses().values())
DEMOS = Path(__file__).parents[2] / "demos"


def named(kind: GuessKind) -> str:
    return kind.name


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_the_chip_of_the_example_is_guessed_first(kind: GuessKind) -> None:
    assert check_pins(kind.example()) == ()
    [one] = [one for one in unnamed_parts(kind.example()) if one.reference == "U1"]
    assert kind.name == one.guesses[0].kind
    assert one.guesses[0].share > 0.4
    assert one.guesses[0].reasons


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_shares_are_those_of_a_whole_that_keeps_room_for_something_else(kind: GuessKind) -> None:
    [one] = [one for one in unnamed_parts(kind.example()) if one.reference == "U1"]
    shares = [guess.share for guess in one.guesses]
    assert sorted(shares, reverse=True) == shares
    assert 0.0 < one.rest < 1.0
    assert "may be" in told_guess(one)
    assert "100 %" not in told_guess(one)


def test_a_chip_with_nothing_round_it_is_not_guessed() -> None:
    [one] = unnamed_parts(sketch("", chip("U1", "box", a="x", b="y", c="z", d="w")))
    assert () == one.guesses
    assert "nothing round U1 says what it may be" == told_guess(one)


def test_pins_are_told_by_what_they_are_joined_to() -> None:
    circuit = sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", "box", a="vbat", b="gnd", c="drive", d="key", e="output told"),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("S1", "button", "key gnd"),
    )
    [one] = unnamed_parts(circuit)
    assert {"a": "supply", "b": "ground", "c": "output", "d": "input"} == {
        pin.pin: pin.role for pin in one.pins
    }
    assert "it reaches a gate" == next(pin.why for pin in one.pins if pin.pin == "c")


def test_the_controller_of_a_demo_would_be_guessed_without_its_name() -> None:
    circuit = circuit_of(load_dossier(DEMOS / "crumb-vacuum"))
    parts = [
        replace(part, kind="box", pin_roles={}, marking="") if part.reference == "U2" else part
        for part in circuit.parts
    ]
    [one] = unnamed_parts(replace(circuit, parts=tuple(parts)), references=("U2",))
    assert "controller_chip" == one.guesses[0].kind
    assert "supply" == next(pin.role for pin in one.pins if pin.pin == "1")
