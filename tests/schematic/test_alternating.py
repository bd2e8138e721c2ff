"""Voltages that alternate, and supplies that stand for parts, are drawn as what they are."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.schematic import draw, stood_for, voltage_text
from lidoff.schematic.text import lines_beside


@dataclass(frozen=True)
class Mains:
    """A solved circuit of which one net alternates."""

    def voltage(self, net: str) -> float:
        return {"live": 0.2, "rail": 9.93}.get(net, 0.0)

    def current(self, reference: str) -> float:
        return 0.0 * len(reference)

    def alternating(self, net: str) -> float:
        return 230.0 if net == "live" else 0.0

    def alternating_current(self, reference: str) -> float:
        return 0.04 if reference in ("J1", "R1") else 0.0


STAND_IN = Part(
    reference="V1",
    kind="dc_supply",
    pins={"plus": "rail", "minus": "gnd"},
    values={"voltage": 324.0, "resistance": 22.7e3},
    stands_for=("J1", "C1", "D1", "D2", "D3"),
)
CIRCUIT = Circuit(
    parts=(
        Part(
            reference="J1", kind="ac_supply", pins={"plus": "live", "minus": "gnd"}, values={"voltage": 230.0}
        ),
        Part(reference="R1", kind="resistor", pins={"1": "live", "2": "rail"}, values={"resistance": 1e3}),
        STAND_IN,
        Part(reference="R2", kind="resistor", pins={"1": "rail", "2": "gnd"}, values={"resistance": 1e3}),
    )
)


def labels(role: str) -> dict[str, str]:
    (sheet,) = draw(CIRCUIT, Mains()).sheets
    return {label.owner: label.text for label in sheet.labels if label.role == role}


def dashed(svg: str) -> set[str]:
    return set(re.findall(r'class="part stand-in" data-part="(\w+)"', svg))


def test_a_net_that_alternates_tells_its_effective_value() -> None:
    assert "230 V ac" == labels("voltage")["live"]


def test_a_steady_net_is_written_without_it() -> None:
    assert "9.93 V" == labels("voltage")["rail"]


def test_what_hovers_over_a_net_tells_the_same() -> None:
    assert "<title>net live at 230 V ac</title>" in draw(CIRCUIT, Mains()).to_svg()


@pytest.mark.parametrize(
    ("written", "steady", "alternating"),
    [
        ("5 V + 5.4 V ac", 5.0, 5.4),
        ("−5 V + 5.4 V ac", -5.0, 5.4),
        ("12 V", 12.0, 0.5),
        ("0 V", 0.0, 0.0),
        ("?", float("nan"), 0.0),
    ],
)
def test_both_are_written_where_neither_is_small(written: str, steady: float, alternating: float) -> None:
    assert written == voltage_text(steady, alternating)


def test_a_stand_in_says_that_it_is_no_part_and_what_it_stands_for() -> None:
    assert ["V1", "324 V", "behind 22.7 kΩ", "no part, stands for", "J1, C1, D1–D3"] == lines_beside(STAND_IN)


def test_a_stand_in_alone_is_dashed() -> None:
    svg = draw(CIRCUIT).to_svg()
    assert {"V1"} == dashed(svg)
    assert ".stand-in .face{stroke-dasharray" in svg


def test_two_parts_in_a_row_are_both_named() -> None:
    pair = Part(reference="V1", kind="dc_supply", pins={}, stands_for=("D1", "D2", "J1"))
    assert "D1, D2, J1" == stood_for(pair)
