"""How contacts stand in a situation."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from lidoff.circuit import Circuit, Part, Situation, operating_point
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


def stand(**settings: dict[str, float]) -> Mapping[str, str]:
    circuit = Circuit(parts=PARTS, ground="gnd")
    situation = Situation(name="as set", settings=settings)
    point = operating_point(circuit, situations=[situation]).at(0)
    return figures_at(circuit, situation, point).contacts


@pytest.mark.parametrize(
    ("expected", "settings"),
    [
        ({"S1": "", "K1": "", "S2": "a"}, {}),
        ({"S1": "2", "K1": "normally_open", "S2": "a"}, {"S1": {"state": 1.0}}),
        ({"S1": "", "K1": "", "S2": "b"}, {"S2": {"position": 1.0}}),
        ({"S1": "", "K1": "", "S2": ""}, {"S2": {"position": 2.0}}),
        ({"S1": "2", "K1": "", "S2": "a"}, {"S1": {"state": 1.0}, "K1": {"state": -1.0}}),
        ({"S1": "", "K1": "normally_open", "S2": "a"}, {"K1": {"state": 1.0}}),
    ],
)
def test_contacts_stand_as_the_situation_and_the_coil_tell(
    expected: dict[str, str], settings: dict[str, dict[str, float]]
) -> None:
    assert expected == stand(**settings)
