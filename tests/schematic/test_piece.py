"""Some parts of a circuit drawn by themselves: placed anew, joined by wires, their nets named where these lead away."""

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.errors import UnknownName
from lidoff.schematic import Drawing, DrawingOptions, Pinned, draw_piece


def part(reference: str, kind: str, **pins: str) -> Part:
    return Part(reference=reference, kind=kind, pins={name.strip("_"): net for name, net in pins.items()})


CIRCUIT = Circuit(
    parts=(
        part("V1", "dc_supply", plus="rail", minus="gnd"),
        part("R1", "resistor", _1="rail", _2="sense"),
        part("R2", "resistor", _1="sense", _2="gnd"),
        part("R3", "resistor", _1="sense", _2="base"),
        part("Q1", "npn", base="base", collector="out", emitter="gnd"),
        part("R4", "resistor", _1="rail", _2="out"),
    ),
    ground="gnd",
)


def piece(*parts: str, **options: object) -> Drawing:
    return draw_piece(CIRCUIT, parts, options=DrawingOptions(effort=0.2, **options))  # type: ignore[arg-type]


def joined(drawing: Drawing, net: str) -> bool:
    """Whether wires alone lead from one lead of a net to each other one."""
    (sheet,) = drawing.sheets
    leads = {(s.x + lead.x, s.y + lead.y) for s in sheet.symbols for lead in s.shape.leads if lead.net == net}
    reached, left = {leads.pop()}, [wire for wire in sheet.wires if wire.net == net]
    while touching := [
        w for w in left if any(_on(at, w) for at in reached) or reached & {(w.x0, w.y0), (w.x1, w.y1)}
    ]:
        left = [wire for wire in left if wire not in touching]
        reached |= {end for w in touching for end in ((w.x0, w.y0), (w.x1, w.y1))}
        reached |= {at for at in leads if any(_on(at, w) for w in touching)}
    return leads <= reached


def _on(at: tuple[int, int], wire: object) -> bool:
    x, y = at
    x0, y0, x1, y1 = (getattr(wire, name) for name in ("x0", "y0", "x1", "y1"))
    return bool(min(x0, x1) <= x <= max(x0, x1) and min(y0, y1) <= y <= max(y0, y1))


def test_a_piece_shows_its_parts_alone() -> None:
    (sheet,) = piece("R1", "R2").sheets
    assert {"R1", "R2"} == {symbol.reference for symbol in sheet.symbols}


def test_parts_far_apart_by_hand_in_the_whole_are_placed_anew_in_a_piece() -> None:
    far = {"R1": Pinned(x=0, y=0), "R2": Pinned(x=200, y=200)}
    assert piece("R1", "R2", pinned=far).sheets == piece("R1", "R2").sheets


@pytest.mark.parametrize(
    ("parts", "net"), [(("R1", "R2"), "sense"), (("R3", "Q1"), "base"), (("Q1", "R4"), "out")]
)
def test_parts_on_one_net_are_joined_by_wires(parts: tuple[str, ...], net: str) -> None:
    assert joined(piece(*parts), net)


@pytest.mark.parametrize(
    ("parts", "named"),
    [(("R1", "R2"), {"sense", "rail"}), (("R3", "Q1"), {"sense", "out"}), (("R3",), {"sense", "base"})],
)
def test_every_net_that_leads_away_bears_its_name_but_for_ground(
    parts: tuple[str, ...], named: set[str]
) -> None:
    (sheet,) = piece(*parts).sheets
    told = {label.owner for label in sheet.labels if label.role == "net"}
    assert named == told - {"gnd"}


def test_the_whole_circuit_tells_which_net_is_a_rail() -> None:
    (sheet,) = piece("R1", "R2").sheets
    assert {"rail": "supply", "gnd": "ground"} == {mark.net: mark.role for mark in sheet.marks}


def test_everything_lies_inside_the_box() -> None:
    (sheet,) = piece("R1", "R2", "R3").sheets
    left, top, right, bottom = sheet.box
    assert all(
        left <= label.box[0] and label.box[2] <= right and top <= label.box[1] and label.box[3] <= bottom
        for label in sheet.labels
    )


def test_a_part_that_is_not_there_is_named() -> None:
    with pytest.raises(UnknownName, match="the circuit has no part 'R9'"):
        piece("R9")
