"""Every kind has a symbol whose leads end on its pins, on whole grid steps."""

from __future__ import annotations

import math

import pytest

from lidoff.circuit import all_kinds
from lidoff.circuit.netlist import Part
from lidoff.circuit.outlines import RESISTOR, Circle, with_pins
from lidoff.schematic.shapes import Turn, outline_of, shape_of
from tests.schematic.pieces import box

OWN_PINS = sorted(name for name, kind in all_kinds().items() if kind.pins)


@pytest.mark.parametrize("name", OWN_PINS)
def test_leads_end_on_whole_steps_and_leave_outwards(name: str) -> None:
    part = Part(reference="X1", kind=name, pins={pin: pin for pin in all_kinds()[name].pins})
    outline = outline_of(part)

    assert set(part.pins) <= set(outline.pins)
    for quarters in range(4):
        shape = shape_of(part, outline, Turn(quarters, True), ["X1"])
        left, top, right, bottom = shape.body
        for lead in shape.leads:
            assert abs(lead.dx) + abs(lead.dy) == 1
            ahead = (lead.x + lead.dx, lead.y + lead.dy)
            assert not (left <= ahead[0] <= right and top <= ahead[1] <= bottom)


@pytest.mark.parametrize(
    "name", [n for n in OWN_PINS if len(all_kinds()[n].pins) == 2 and all_kinds()[n].path]
)
def test_a_two_pin_symbol_stands_with_its_first_path_pin_on_top(name: str) -> None:
    kind = all_kinds()[name]
    outline = outline_of(Part(reference="X1", kind=name, pins={pin: pin for pin in kind.pins}))

    assert (0.0, -2.0) == outline.pins[kind.path[0]]
    assert (0.0, 2.0) == outline.pins[kind.path[1]]


def test_a_box_has_supply_on_top_ground_below_inputs_left_outputs_right() -> None:
    part = box("U1", "1:VDD:supply:v 2:GND:ground:g 3:IN:input:a 4:OUT:output:b 5:SET:programming:c")
    leads = {lead.pin: (lead.dx, lead.dy) for lead in shape_of(part, outline_of(part), Turn(), []).leads}

    assert leads == {"1": (0, -1), "2": (0, 1), "3": (-1, 0), "4": (1, 0), "5": (0, 1)}


@pytest.mark.parametrize("name", ["transformer", "three_winding_transformer"])
def test_every_winding_has_its_dot_at_the_end_of_the_polarity_that_the_law_gives_it(name: str) -> None:
    kind = all_kinds()[name]
    dots = [stroke for stroke in kind.outline.strokes if isinstance(stroke, Circle) and stroke.filled]
    nearest = [min(kind.pins, key=lambda pin: math.dist(kind.outline.pins[pin], dot.centre)) for dot in dots]

    assert [pin for pin in kind.pins if pin.endswith("_1")] == nearest


def test_pins_of_an_outline_can_be_renamed_in_order() -> None:
    assert list(with_pins(RESISTOR, "a", "b").pins) == ["a", "b"]
    with pytest.raises(ValueError, match="zip"):
        with_pins(RESISTOR, "a")
