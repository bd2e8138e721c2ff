"""Invented gadgets keep the habits of the trade."""

from __future__ import annotations

from lidoff.schematic import Drawing, draw, drawing_quality
from tests.schematic.gadgets import GADGETS


def _x(drawing: Drawing, reference: str) -> int:
    return next(s.x for sheet in drawing.sheets for s in sheet.symbols if s.reference == reference)


def test_the_charger_stands_between_socket_and_cell() -> None:
    drawing = draw(GADGETS["crumb_vacuum"])

    assert _x(drawing, "J1") < _x(drawing, "U1") < _x(drawing, "BT1")


def test_the_controller_stands_left_of_what_it_switches() -> None:
    drawing = draw(GADGETS["crumb_vacuum"])

    assert _x(drawing, "U2") < _x(drawing, "Q1")


def test_current_falls_down_the_page_in_most_branches_of_the_gallery() -> None:
    shares = [drawing_quality(draw(GADGETS[name])).downward for name in ("insect_lure", "dimmed_strings")]

    assert shares == [1.0, 1.0]


def test_equal_strings_stand_side_by_side_at_one_pitch_in_the_order_of_their_references() -> None:
    drawing = draw(GADGETS["two_strings"])
    places = {s.reference: (s.x, s.y) for s in drawing.sheets[0].symbols}

    assert places["R1"][0] < places["R2"][0]
    assert places["R1"][1] == places["R2"][1]
    assert {places[f"D{k}"][0] for k in (1, 2, 3)} == {places["R1"][0]}
