"""The way of a current over a net leaves out the branches that it passes."""

from __future__ import annotations

import re

from lidoff.schematic import DrawingOptions, RailMark, Wire, draw
from lidoff.schematic.stretch import stretch_of
from tests.schematic.gallery import GALLERY


def wire(x0: int, y0: int, x1: int, y1: int) -> Wire:
    return Wire(net="n", x0=x0, y0=y0, x1=x1, y1=y1)


def mark(x: int, y: int) -> RailMark:
    return RailMark(net="n", role="ground", x=x, y=y, dx=0, dy=1)


BUS = (wire(0, 0, 20, 0), wire(5, 0, 5, 4), wire(10, 0, 10, 4), wire(20, 0, 20, 4))


def test_a_branch_between_is_left_dark() -> None:
    pieces, _ = stretch_of(BUS, (), [(5, 4), (20, 4)])

    assert set(pieces) == {((5, 0), (5, 4)), ((5, 0), (10, 0)), ((10, 0), (20, 0)), ((20, 0), (20, 4))}


def test_rail_symbols_join_what_no_wire_joins() -> None:
    wires = (*BUS, wire(40, 0, 40, 3))
    near, far, other = mark(20, 4), mark(0, 0), mark(40, 3)

    pieces, marks = stretch_of(wires, (near, far, other), [(20, 0), (40, 0)])

    assert marks == [near, other]
    assert ((40, 0), (40, 3)) in pieces
    assert ((0, 0), (5, 0)) not in pieces


def test_a_single_pin_lights_no_wire() -> None:
    assert stretch_of(BUS, (), [(5, 4)]) == ([], [])


def test_what_is_drawn_for_a_part_lights_up_for_it() -> None:
    circuit = GALLERY["insect_lure"]
    drawing = draw(circuit, options=DrawingOptions(highlight_parts=("D3", "R3"), highlight_nets=("v5",)))

    assert drawing.repeats
    assert drawing.lit_parts == {drawing.repeats[0].drawn[k] for k in (0, 1)}
    lit = set(re.findall(r'class="part lit" data-part="(\w+)"', drawing.to_svg()))
    assert lit == drawing.lit_parts
