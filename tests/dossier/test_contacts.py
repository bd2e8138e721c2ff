"""A drawing shows contacts at rest, and says which stand otherwise in the situation that it is drawn for."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, Situation, operating_point
from lidoff.dossier.contacts import contacts_moved
from lidoff.dossier.drawn_figures import figures_at

PARTS = (
    Part(reference="V1", kind="dc_supply", pins={"plus": "in", "minus": "gnd"}, values={"voltage": 12.0}),
    Part(reference="S1", kind="switch", pins={"1": "in", "2": "on"}),
    Part(
        reference="K1",
        kind="relay",
        pins={"coil_1": "on", "coil_2": "gnd", "common": "in", "normally_open": "out"},
        values={"coil_resistance": 400.0, "operate_voltage": 9.0},
    ),
    Part(reference="S2", kind="changeover_switch", pins={"common": "out", "a": "slow", "b": "fast"}),
    Part(reference="R1", kind="resistor", pins={"1": "slow", "2": "gnd"}, values={"resistance": 1e3}),
    Part(reference="R2", kind="resistor", pins={"1": "fast", "2": "gnd"}, values={"resistance": 1e3}),
)


def told(**settings: dict[str, float]) -> str:
    circuit = Circuit(parts=PARTS, ground="gnd")
    situation = Situation(name="as set", settings=settings)
    point = operating_point(circuit, situations=[situation]).at(0)
    return contacts_moved(circuit, situation, figures_at(circuit, situation, point))


@pytest.mark.parametrize(
    ("expected", "settings"),
    [
        ("", {}),
        ("Contacts are drawn at rest: here S1 is closed and K1 is operated", {"S1": {"state": 1.0}}),
        ("Contacts are drawn at rest: here S2 is at b", {"S2": {"position": 1.0}}),
        ("", {"K1": {"state": -1.0}}),
        ("Contacts are drawn at rest: here K1 is operated", {"K1": {"state": 1.0}}),
    ],
)
def test_contacts_that_stand_otherwise_than_drawn_are_told(
    expected: str, settings: dict[str, dict[str, float]]
) -> None:
    assert expected == told(**settings)
