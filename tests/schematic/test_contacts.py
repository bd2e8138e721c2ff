"""Contacts are drawn as they stand in the situation whose numbers a drawing bears."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import pytest

from lidoff.circuit import Circuit, Part, kind_of
from lidoff.schematic import Drawing, draw, drawing_quality, with_contacts


@dataclass(frozen=True)
class Stood:
    """Nought everywhere, with contacts as told."""

    contacts: Mapping[str, str] = field(default_factory=dict)

    def voltage(self, net: str) -> float:  # noqa: ARG002
        return 0.0

    def current(self, reference: str) -> float:  # noqa: ARG002
        return 0.0


def lamp(*, kind: str = "switch", pins: Mapping[str, str] | None = None, **values: str) -> Circuit:
    return Circuit(
        parts=(
            Part(reference="V1", kind="dc_supply", pins={"plus": "in", "minus": "gnd"}, values={"voltage": 5.0}),
            Part(reference="S1", kind=kind, pins=pins or {"1": "in", "2": "on"}, values=values),
            Part(reference="R1", kind="resistor", pins={"1": "on", "2": "gnd"}, values={"resistance": 1e3}),
        )
    )  # fmt: skip


def drawn_like(drawing: Drawing) -> str:
    """Pin that the drawn contact of S1 touches; "at rest" where it has the outline's own strokes."""
    symbol = next(one for one in drawing.sheets[0].symbols if one.reference == "S1")
    outline = kind_of(drawing.circuit.part("S1")).outline
    told = [pin for pin, strokes in outline.moved.items() if strokes == symbol.outline.strokes]
    return told[0] if told else "at rest"


@pytest.mark.parametrize(
    ("kind", "pins", "touches"),
    [
        ("switch", None, "2"),
        ("button", None, "2"),
        ("changeover_switch", {"common": "in", "a": "off", "b": "on"}, "b"),
        ("changeover_switch", {"common": "in", "a": "off", "b": "on"}, ""),
    ],
)
def test_a_contact_is_drawn_as_it_stands(kind: str, pins: Mapping[str, str] | None, touches: str) -> None:
    circuit = lamp(kind=kind, pins=pins)
    assert drawn_like(draw(circuit)) == "at rest"
    assert drawn_like(draw(circuit, Stood({"S1": touches}))) == touches


def test_nothing_but_the_contact_moves() -> None:
    circuit = lamp()
    still, closed = draw(circuit, Stood()), draw(circuit, Stood({"S1": "2"}))
    assert [(s.x, s.y, s.shape) for s in still.sheets[0].symbols] == [
        (s.x, s.y, s.shape) for s in closed.sheets[0].symbols
    ]
    assert with_contacts(closed, {}) == still
    assert drawing_quality(closed).symbol_overlaps == 0


def test_a_drawing_after_an_earlier_one_forgets_how_contacts_stood() -> None:
    circuit = lamp()
    closed = draw(circuit, Stood({"S1": "2"}))
    assert drawn_like(draw(circuit, Stood(), before=closed)) == "at rest"


def test_without_numbers_a_contact_stands_as_its_part_tells() -> None:
    assert drawn_like(draw(lamp(kind="button", action="breaks"))) == "2"


def test_a_contact_drawn_for_several_that_differ_stands_at_rest_and_the_sheet_says_so() -> None:
    parts = [
        Part(reference="V1", kind="dc_supply", pins={"plus": "in", "minus": "gnd"}, values={"voltage": 5.0})
    ]
    for k in range(1, 5):
        parts += [
            Part(reference=f"S{k}", kind="switch", pins={"1": "in", "2": f"on{k}"}),
            Part(reference=f"R{k}", kind="resistor", pins={"1": f"on{k}", "2": "gnd"}, values={"resistance": 1e3}),
        ]  # fmt: skip
    drawing = draw(Circuit(parts=tuple(parts)), Stood({"S1": "", "S2": "", "S3": "2", "S4": ""}))
    assert drawing.repeats
    assert drawn_like(drawing) == "at rest"
    notes = " ".join(label.text for label in drawing.sheets[0].labels if label.role == "note")
    assert "Contacts drawn once for several are drawn at rest: here S3 is closed." in notes
