"""Nothing lies on anything else where pins, rail symbols and text stand close together."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.schematic import DrawingOptions, draw, drawing_quality
from lidoff.schematic.options import Pinned
from lidoff.schematic.unit import Flag, flags_apart
from lidoff.schematic.wiring import _pruned
from tests.schematic.gallery import GALLERY
from tests.schematic.pieces import box, circuit, nmos, resistor, supply

BRIDGE = Circuit(
    parts=(
        Part(reference="J1", kind="ac_supply", pins={"plus": "a", "minus": "b"}, values={"voltage": 12.0}),
        Part(
            reference="BR1",
            kind="bridge_rectifier",
            pins={"ac_1": "a", "ac_2": "b", "plus": "rail", "minus": "gnd"},
        ),
        resistor("R1", "rail gnd", 1e3),
    )
)


@pytest.mark.parametrize("turns", [0, 2])
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_rectifier_turned_any_way_keeps_its_rail_and_ground_apart(turns: int, mirrored: bool) -> None:
    pinned = {"BR1": Pinned(x=0, y=0, quarter_turns=turns, mirrored=mirrored)}
    quality = drawing_quality(draw(BRIDGE, options=DrawingOptions(effort=0.3, buses=False, pinned=pinned)))

    assert (0, 0) == (quality.symbol_overlaps, quality.label_overlaps)


def test_a_supply_bar_under_a_ground_goes_further_out() -> None:
    ground, bar = flags_apart([Flag("gnd", "ground", 3, -1, 1, 0), Flag("rail", "supply", 3, 1, 1, 0)])

    assert ground.out == 1
    assert bar.stub[-1][0] - ground.stub[-1][0] >= 2


def test_a_supply_bar_over_a_ground_stays_where_it_is() -> None:
    flags = [Flag("rail", "supply", 3, -1, 1, 0), Flag("gnd", "ground", 3, 1, 1, 0)]

    assert flags == flags_apart(flags)


def test_transistors_in_series_the_opposite_way_round_may_have_their_gates_on_one_side() -> None:
    given = circuit(
        "cut-out",
        supply("V1", "bat minus", 3.7),
        box("U1", "1:VDD:supply:bat 2:VSS:ground:minus 3:OD:output:g1 4:OC:output:g2"),
        nmos("Q1", "g1 mid minus"),
        nmos("Q2", "g2 mid gnd"),
        resistor("R1", "bat gnd", 100.0),
    )
    symbols = {symbol.reference: symbol for symbol in draw(given).sheets[0].symbols}
    sides = {lead.dx for name in ("Q1", "Q2") for lead in symbols[name].shape.leads if lead.pin == "gate"}

    assert len(sides) == 1


def test_a_step_of_wire_that_leads_nowhere_is_taken_off() -> None:
    through = [((0, 0), (1, 0)), ((1, 0), (2, 0))]
    tail = [((1, 0), (1, 1)), ((1, 1), (1, 2))]

    assert through == _pruned([*through, *tail], {(0, 0), (2, 0)})


@pytest.mark.parametrize("name", ["power_bank", "crumb_vacuum", "linear_supply"])
def test_a_tall_page_is_narrower_than_a_wide_one(name: str) -> None:
    def size(tall: bool) -> tuple[float, float]:
        drawing = draw(GALLERY[name], options=DrawingOptions(effort=0.3, tall=tall))
        quality = drawing_quality(drawing)
        assert (0, 0) == (quality.symbol_overlaps, quality.wires_through_symbols)
        left, top, right, bottom = drawing.sheets[0].box
        return right - left, bottom - top

    (wide, low), (narrow, high) = size(False), size(True)
    assert narrow < wide
    assert high / narrow > low / wide
