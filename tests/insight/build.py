"""Circuits and readings that the tests of this room share."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.circuit import Circuit, Part, Situation, Spread
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage
from lidoff.insight.watched import DeadTest, PoweredTarget, Watched
from tests.circuit.build import circuit, diode, led, npn, resistor, supply

ON = Situation(name="on")
OFF = Situation(name="off", settings={"V1": {"voltage": 0.5}})
SITUATIONS = (ON, OFF)


def tolerant(reference: str, one: str, other: str, ohms: float, share: float = 0.05) -> Part:
    """Resistor with a tolerance."""
    part = resistor(reference, one, other, ohms)
    return Part(
        reference=reference,
        kind="resistor",
        pins=part.pins,
        values=part.values,
        spreads={"resistance": Spread(half_width=share, relative=True)},
    )


def switch() -> Circuit:
    """Two indicator lights, one of them switched by a transistor whose base hangs on a divider."""
    return circuit(
        supply("V1", "rail", 9.0, ohms=0.5),
        tolerant("R1", "rail", "top", 1000.0),
        led("LED1", "top", "gnd", forward_drop=2.0),
        tolerant("R2", "rail", "base", 10e3),
        tolerant("R3", "base", "gnd", 4.7e3),
        # Behind ohms of its own, a collector that femtoamperes alone reach is told to tens of millivolts, not to microvolts.
        npn("Q1", "collector", "base", "gnd", collector_resistance=0.0),
        tolerant("R4", "rail", "anode", 470.0),
        led("LED2", "anode", "collector", forward_drop=2.0),
        diode("D1", "gnd", "rail"),
    )


def volts(name: str, net: str, value: float, situation: str = "on", deviation: float = 2e-3) -> Watched:
    """Reading of a net."""
    return Watched(
        name=name,
        target=NetVoltage(net=net),
        situation=situation,
        value=value,
        deviation=deviation,
        load=1e7,
    )


def everything(whole: Circuit, situations: Sequence[Situation] = SITUATIONS) -> tuple[Watched, ...]:
    """Every sort of reading once, values of no meaning."""
    found = [
        Watched(
            name=f"{net} {one.name}",
            target=NetVoltage(net=net),
            situation=one.name,
            value=1.0,
            deviation=1e-3,
        )
        for one in situations
        for net in whole.nets
        if net != whole.ground
    ]
    targets: list[PoweredTarget] = [
        AcrossPart(reference="R4"),
        InPart(what="current", reference="R1"),
        InPart(what="power", reference="Q1"),
        InPart(what="current", reference="V1"),
        IntoPin(reference="Q1", pin="base"),
    ]
    found.extend(
        Watched(name=str(target), target=target, situation="on", value=1.0, deviation=1e-3)
        for target in targets
    )
    dead = [
        DeadTest(red="rail", black="gnd"),
        DeadTest(red="base", black="gnd"),
        DeadTest(red="anode", black="collector", range_name="diode"),
        DeadTest(red="top", black="rail", range_name="continuity"),
    ]
    found.extend(
        Watched(name=str(test), target=test, situation="", value=1.0, deviation=1e-3) for test in dead
    )
    return tuple(found)
