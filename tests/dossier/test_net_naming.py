"""Nets of traced boards get names: what was told of a net stays told of it, and none is joined to another unasked."""

import tomllib
from dataclasses import replace
from types import MappingProxyType

import pytest

from lidoff.board import Board, board_from_layout
from lidoff.dossier import board_text, circuit_of, dossier_from_text
from lidoff.dossier.board_files import board_in
from lidoff.dossier.documents import Documents
from lidoff.dossier.editing import apply
from lidoff.dossier.edits import Edit, NameNet, Rename, Unwire
from lidoff.errors import ImpossibleValue, UnknownName
from tests.board.build import night_lamp_layout

PARTS = """
[device]
title = "invented lamp"
[parts.J1]
kind = "dc_supply"
voltage = "4.5 V"
pins = { plus = "vcc", minus = "gnd" }
lands = { plus = "1", minus = "3" }
[parts.R1]
kind = "resistor"
value = "100 Ω"
[parts.D1]
kind = "led"
[parts.Q1]
kind = "mosfet_n"
lands = { gate = "1", source = "2", drain = "3" }
[situations.on]
"""
READING = """
[readings.lamp]
instrument = "meter"
situation = "on"
voltage = "{net}"
shown = "2.9 V"
[instruments.meter]
ranges = [{{ measures = "voltage dc", up_to = "6 V", resolution = "1 mV", accuracy = "±(0.5 % + 3)" }}]
"""


def bare_board(name: str = "lamp", **names: str) -> Board:
    board = board_from_layout(night_lamp_layout(), name)
    return replace(
        board, net_names=MappingProxyType({pin.replace("_", "."): net for pin, net in names.items()})
    )


def documents(*boards: Board, text: str = PARTS) -> dict[str, str]:
    return {"dossier.toml": text} | {f"boards/{board.name}.json": board_text(board) for board in boards}


def after(texts: Documents, *edits: Edit) -> Documents:
    for edit in edits:
        texts = apply(texts, edit).documents
    return texts


def pins(texts: Documents) -> dict[str, str]:
    boards = {file: text for file, text in texts.items() if file != "dossier.toml"}
    dossier = dossier_from_text(texts["dossier.toml"], boards=boards)
    return {
        f"{part.reference}.{pin}": net for part in circuit_of(dossier).parts for pin, net in part.pins.items()
    }


def read_at(texts: Documents) -> object:
    boards = {file: text for file, text in texts.items() if file != "dossier.toml"}
    dossier = dossier_from_text(texts["dossier.toml"], boards=boards)
    return dossier.readings[0].target.net  # type: ignore[union-attr]


def test_a_net_without_a_name_is_called_by_its_first_pin() -> None:
    found = pins(documents(bare_board()))
    assert ("D1.A", "D1.A", "J1.2") == (found["R1.2"], found["D1.anode"], found["Q1.gate"])


def test_a_reading_at_any_pin_of_a_net_is_one_of_that_net() -> None:
    for pin in ("R1.2", "D1.A", "D1.anode"):
        assert "D1.A" == read_at(documents(bare_board(), text=PARTS + READING.format(net=pin)))


def test_naming_one_net_leaves_readings_on_others_where_they_were() -> None:
    texts = documents(bare_board(), text=PARTS + READING.format(net="D1.A"))
    named = after(texts, NameNet(board="lamp", pin="Q1.1", net="a_signal"))
    assert "D1.A" == read_at(named)
    assert pins(named)["D1.anode"] == "D1.A"


def test_naming_a_net_takes_its_readings_along() -> None:
    texts = documents(bare_board(), text=PARTS + READING.format(net="D1.A"))
    assert "lamp_a" == read_at(after(texts, NameNet(board="lamp", pin="R1.2", net="lamp_a")))


def test_a_name_given_again_takes_readings_along_and_leaves_one_name_on_the_copper() -> None:
    texts = documents(bare_board(R1_2="base"), text=PARTS + READING.format(net="base"))
    renamed = after(texts, NameNet(board="lamp", pin="D1.A", net="basis ü"))
    assert "basis ü" == read_at(renamed)
    assert {"D1.A": "basis ü"} == dict(board_in(renamed, "lamp").net_names)


def test_a_name_taken_away_leaves_readings_on_the_net() -> None:
    texts = documents(bare_board(R1_2="base"), text=PARTS + READING.format(net="base"))
    assert "D1.A" == read_at(after(texts, NameNet(board="lamp", pin="R1.2", net="")))


def test_a_name_that_a_part_left_behind_can_be_taken_away() -> None:
    texts = documents(bare_board(LED9_cathode="lamp_k"))
    assert {} == dict(
        board_in(after(texts, NameNet(board="lamp", pin="LED9.cathode", net="")), "lamp").net_names
    )


def test_a_name_may_be_given_at_the_pin_of_a_kind_for_its_land() -> None:
    named = after(documents(bare_board()), NameNet(board="lamp", pin="D1.cathode", net="lamp_k"))
    assert "lamp_k" == pins(named)["D1.cathode"] == pins(named)["Q1.drain"]
    assert {"D1.K": "lamp_k"} == dict(board_in(named, "lamp").net_names)


def test_a_name_at_a_pin_that_is_not_on_the_board_is_refused() -> None:
    with pytest.raises(UnknownName, match=r"there is no pin 'D2\.K' on the board 'lamp'"):
        after(documents(bare_board()), NameNet(board="lamp", pin="D2.K", net="lamp_k"))


@pytest.mark.parametrize("taken", ["vcc", "gnd", "R1.2"])
def test_the_name_of_another_net_is_refused_unless_the_two_are_said_to_be_one(taken: str) -> None:
    with pytest.raises(ImpossibleValue, match=r"there is a net .* already"):
        after(documents(bare_board()), NameNet(board="lamp", pin="Q1.1", net=taken))


def test_two_nets_of_a_board_that_are_one_are_joined_until_the_join_is_taken_away() -> None:
    texts = documents(bare_board(Q1_1="sense"))
    one = after(texts, NameNet(board="lamp", pin="R1.2", net="sense", join=True))
    assert "sense" == pins(one)["R1.2"] == pins(one)["Q1.gate"]
    assert [("R1.2", "stated")] == [(wire.first, wire.kind) for wire in board_in(one, "lamp").wires]
    parted = pins(after(one, Unwire(board="lamp", number=0)))
    assert ("D1.A", "sense") == (parted["R1.2"], parted["Q1.gate"])


def test_copper_is_named_as_a_typed_net_once_the_two_are_said_to_be_one() -> None:
    text = PARTS + '[parts.C1]\nkind = "capacitor"\nvalue = "1 µF"\npins = { 1 = "off_board", 2 = "gnd" }\n'
    one = after(
        documents(bare_board(), text=text), NameNet(board="lamp", pin="Q1.1", net="off_board", join=True)
    )
    assert "off_board" == pins(one)["Q1.gate"]
    assert () == board_in(one, "lamp").wires


def test_nets_of_two_boards_that_are_one_are_joined_by_a_wire() -> None:
    other = replace(bare_board("aux"), parts=())
    lone = next(part for part in bare_board("aux").parts if part.reference == "R1")
    pads = tuple(replace(pad, pin=pad.pin.replace("R1.", "R9.")) for pad in lone.pads)
    other = replace(other, parts=(replace(lone, reference="R9", pads=pads),))
    text = PARTS + '[parts.R9]\nkind = "resistor"\nvalue = "1 kΩ"\n'
    texts = documents(bare_board(), other, text=text)
    edit = NameNet(board="aux", pin="R9.1", net="vcc")
    with pytest.raises(ImpossibleValue, match="there is a net 'vcc' already"):
        after(texts, edit)
    wired = after(texts, replace(edit, join=True))
    assert {"wire_1": {"joins": ["vcc", "R9.1"]}} == tomllib.loads(wired["dossier.toml"])["wires"]
    assert "vcc" == pins(wired)["R9.1"]
    renamed = pins(after(wired, NameNet(board="aux", pin="R9.1", net="rail")))
    assert ("rail", "rail") == (renamed["R9.1"], renamed["J1.plus"])


def test_pins_of_parts_that_lie_on_two_boards_tell_nets_with_their_board() -> None:
    found = pins(documents(bare_board(), bare_board("aux")))
    assert "aux D1.A" == found["R1.2"]


def test_a_name_shared_by_copper_apart_can_be_given_to_the_copper_pointed_at_alone() -> None:
    texts = documents(bare_board(R1_2="vcc"), text=PARTS + READING.format(net="vcc"))
    assert "vcc" == pins(texts)["D1.anode"] == pins(texts)["J1.plus"]
    alone = after(texts, NameNet(board="lamp", pin="D1.A", net="lamp_a", alone=True))
    assert ("lamp_a", "vcc") == (pins(alone)["D1.anode"], pins(alone)["J1.plus"])
    assert "vcc" == read_at(alone)
    every = after(texts, NameNet(board="lamp", pin="D1.A", net="rail"))
    assert ("rail", "rail") == (pins(every)["D1.anode"], pins(every)["J1.plus"])
    assert "rail" == read_at(every)


def test_typed_pins_follow_the_copper_that_is_named_alone() -> None:
    texts = documents(bare_board(R1_2="vcc"))
    alone = after(texts, NameNet(board="lamp", pin="J1.1", net="supply", alone=True))
    assert ("vcc", "supply") == (pins(alone)["D1.anode"], pins(alone)["J1.plus"])


@pytest.mark.parametrize("name", ["D1.A", "R1.2"])
def test_a_traced_net_is_renamed_by_its_name_as_a_typed_one(name: str) -> None:
    texts = documents(bare_board(), text=PARTS + READING.format(net="D1.A"))
    renamed = after(texts, Rename(what="net", name=name, to="lamp_a"))
    assert "lamp_a" == pins(renamed)["R1.2"] == read_at(renamed)


def test_the_ground_is_renamed_with_what_voltages_are_told_against() -> None:
    renamed = after(documents(bare_board()), Rename(what="net", name="gnd", to="chassis"))
    assert "chassis" == pins(renamed)["Q1.source"]
    assert "chassis" == tomllib.loads(renamed["dossier.toml"])["ground"]


def test_a_part_named_anew_takes_along_the_nets_that_are_called_by_its_pins() -> None:
    texts = documents(bare_board(), text=PARTS + READING.format(net="D1.A"))
    renamed = after(texts, Rename(what="part", name="D1", to="E7"))
    assert 'voltage = "E7.A"' in renamed["dossier.toml"]
    assert "E7.A" == read_at(renamed)
