"""Readings and claims that rest on a net whose voltage nothing fixes are not held against the circuit."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, Situation, predict_spread
from lidoff.dossier import analyse, dossier_from_text
from lidoff.dossier.asking import answer
from lidoff.errors import ImpossibleValue
from lidoff.evidence import AcrossPart, CannotTell, InPart, NetVoltage, Target

SUPPLY = Part(reference="V1", kind="dc_supply", pins={"plus": "in", "minus": "gnd"}, values={"voltage": 30.0})


def resistor(reference: str, one: str, other: str, ohms: float = 1e3) -> Part:
    return Part(
        reference=reference, kind="resistor", pins={"1": one, "2": other}, values={"resistance": ohms}
    )


def capacitor(reference: str, one: str, other: str) -> Part:
    return Part(
        reference=reference, kind="capacitor", pins={"1": one, "2": other}, values={"capacitance": 1e-6}
    )


DIVIDED = (
    SUPPLY,
    capacitor("C1", "in", "m"),
    capacitor("C2", "m", "gnd"),
    resistor("R2", "in", "gnd", 15e3),
)
ISLAND = (
    SUPPLY,
    capacitor("C1", "in", "m"),
    resistor("R1", "m", "n"),
    capacitor("C2", "n", "gnd"),
    resistor("R2", "in", "gnd", 15e3),
)
OPEN_GATE = (
    SUPPLY,
    resistor("R1", "in", "d"),
    Part(reference="Q1", kind="mosfet_n", pins={"gate": "g", "drain": "d", "source": "gnd"}),
    resistor("R2", "in", "gnd", 15e3),
)


def answered(parts: tuple[Part, ...], target: Target) -> float:
    circuit = Circuit(title="", parts=parts, ground="gnd")
    quantity, _ = answer(predict_spread(circuit, (Situation(name="on"),)), 0, target)
    return quantity.value


def refused(parts: tuple[Part, ...], target: Target) -> str:
    with pytest.raises(ImpossibleValue) as caught:
        answered(parts, target)
    return caught.value.what


def test_voltage_across_a_capacitor_with_a_loose_end_is_not_known() -> None:
    assert (
        "nothing fixes the voltage of m in this situation, and the voltage across C1 rests on it"
        == refused(DIVIDED, AcrossPart(reference="C1"))
    )


def test_between_two_islands_lies_a_voltage_that_nothing_fixes() -> None:
    assert (
        "nothing fixes the voltage across C1, whose ends lie in islands that nothing joins at rest"
        == refused(ISLAND, AcrossPart(reference="C1"))
    )


def test_between_two_nets_of_an_island_that_a_resistor_joins_lies_nothing() -> None:
    assert 0.0 == pytest.approx(answered(ISLAND, AcrossPart(reference="R1")), abs=1e-6)


@pytest.mark.parametrize("what", ["current", "power"])
def test_nothing_flows_in_a_capacitor_at_rest_wherever_its_loose_end_lies(what: str) -> None:
    assert 0.0 == pytest.approx(answered(DIVIDED, InPart(what=what, reference="C1")), abs=1e-6)


def test_what_does_not_rest_on_the_loose_net_is_told() -> None:
    assert 30.0**2 / 15e3 == pytest.approx(answered(DIVIDED, InPart(what="power", reference="R2")), rel=1e-6)


@pytest.mark.parametrize(
    "target",
    [
        InPart(what="current", reference="Q1"),
        InPart(what="power", reference="R1"),
        NetVoltage(net="d"),
        AcrossPart(reference="R1"),
    ],
)
def test_what_an_open_gate_steers_is_not_known(target: Target) -> None:
    assert f"nothing fixes the voltage of g in this situation, and the {target} rests on it" == refused(
        OPEN_GATE, target
    )


def test_an_open_gate_elsewhere_hinders_no_answer() -> None:
    assert 2e-3 == pytest.approx(answered(OPEN_GATE, InPart(what="current", reference="R2")), rel=1e-6)


SERIES = """format = 2
[device]
title = "two capacitors in series"

[readings.one]
across = "C1"
shown = "15.0 V ± 0.5 V"

[claims.one]
kind = "voltage"
says = "16 V"
value = "16 V"
from = { voltage = { situation = "on", across = "C2" } }

[situations.on]

[parts.V1]
kind = "dc_supply"
value = "30 V"
pins = { plus = "in", minus = "gnd" }

[parts.C1]
kind = "capacitor"
value = "1 µF"
pins = { 1 = "in", 2 = "m" }

[parts.C2]
kind = "capacitor"
value = "1 µF"
pins = { 1 = "m", 2 = "gnd" }
"""


def test_a_reading_across_a_capacitor_in_series_is_not_compared() -> None:
    analysis = analyse(dossier_from_text(SERIES))
    assert () == analysis.comparisons
    (one,) = analysis.uncompared
    assert "nothing fixes the voltage of m" in one.why


def test_a_claim_that_rests_on_the_middle_of_two_capacitors_cannot_be_told() -> None:
    (one,) = analyse(dossier_from_text(SERIES)).claims
    assert isinstance(one.verdict, CannotTell)
    assert "nothing fixes the voltage of m" in one.verdict.why
