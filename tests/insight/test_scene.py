"""Predictions for many wirings at once against the solver proper, one wiring at a time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Pin, Situation, operating_point, probe, situation_table
from lidoff.errors import LidoffError
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage
from lidoff.insight.asked import asked_of
from lidoff.insight.foretold import tell
from lidoff.insight.scene import scene_of
from lidoff.insight.slip import Slip, all_slip_kinds
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.insight.watched import DeadTest, Watched
from tests.circuit.build import circuit, led, resistor, supply, zener
from tests.insight.build import ON, SITUATIONS, everything, switch, volts

KINDS = sorted(all_slip_kinds())


def proposed(kind: str) -> list[Slip]:
    whole = switch()
    one = all_slip_kinds()[kind]
    return list(one.propose(whole, everything(whole), one.chance))


def solved(whole: Circuit, one: Watched, variant: Variant, situations: dict[str, Situation]) -> float | None:
    """The reading by the solver proper; None where it has no answer, or the slip is about where the probe was."""
    changed, target = variant.applied_to(whole), one.target
    try:
        if isinstance(target, DeadTest):
            red, black = variant.net_of(target.red), variant.net_of(target.black)
            if red == black:
                return None
            shown = probe(changed, [(red, black)], target.meter)
            return float(shown.volts[0]) if shown.settled[0] else None
        if isinstance(target, NetVoltage):
            target = NetVoltage(net=variant.net_of(target.net))
        elif variant.pads:
            return None
        solution = operating_point(changed, situations=[situations[one.situation]])
        return float(asked_of(target)(solution)[0]) if solution.settled[0] else None
    except LidoffError:
        return None


@pytest.mark.parametrize("kind", KINDS)
def test_every_slip_is_predicted_as_the_solver_solves_it(kind: str) -> None:
    whole = switch()
    watched = everything(whole)
    slips = [slip for slip in proposed(kind) if not slip.variant.probes][::7]
    told = tell(scene_of(whole, SITUATIONS, watched), [slip.variant for slip in slips], with_slopes=False)
    known = {one.name: one for one in SITUATIONS}
    compared = 0
    for row, slip in enumerate(slips):
        for column, one in enumerate(watched):
            expected = solved(whole, one, slip.variant, known)
            if expected is None or not told.settled[row, column]:
                continue
            found = told.values[row, column]
            if isinstance(one.target, DeadTest) and one.target.range_name != "diode":
                meter = one.target.meter
                expected = expected / meter.test_current - 2.0 * meter.lead_resistance
                # Beyond its range a resistance goes on with the logarithm.
                if expected > meter.highest:
                    expected = meter.highest * (1.0 + np.log(expected / meter.highest))
            compared += 1
            assert found == pytest.approx(expected, rel=1e-4, abs=2e-6), f"{slip.title}: {one.name}"
    assert compared > len(slips)


def test_slopes_are_those_of_the_solver() -> None:
    whole = switch()
    watched = [one for one in everything(whole) if not isinstance(one.target, DeadTest)]
    scene = scene_of(whole, SITUATIONS, [replace(one, load=None) for one in watched])
    told = tell(scene, [AS_TRACED])
    ways = [asked_of(one.target) for one in watched if not isinstance(one.target, DeadTest)]
    places = [[situation.name for situation in SITUATIONS].index(one.situation) for one in watched]
    for number, (reference, name, spread) in enumerate(scene.tolerances.parameters):
        value = float(situation_table(whole, SITUATIONS)[reference, name][0])
        step = 0.01 * spread.standard(value)
        both = []
        for sign in (1.0, -1.0):
            moved = Variant(values={(reference, name): value + sign * step}).applied_to(whole)
            solution = operating_point(moved, situations=list(SITUATIONS))
            both.append(np.array([way(solution)[place] for way, place in zip(ways, places, strict=True)]))
        expected = (both[0] - both[1]) / 0.02
        assert told.slopes[0, :, number] == pytest.approx(expected, rel=2e-3, abs=1e-6), f"{reference} {name}"


def test_a_voltmeter_loads_what_it_reads() -> None:
    whole = circuit(
        supply("V1", "top", 12.0), resistor("R1", "top", "mid", 1e6), resistor("R2", "mid", "gnd", 1e6)
    )
    told = tell(scene_of(whole, [ON], [volts("mid", "mid", 5.7)]), [AS_TRACED])
    # 1 MΩ beside the meter's 10 MΩ is 10/11 MΩ.
    assert told.values[0, 0] == pytest.approx(12.0 * (10 / 11) / (1 + 10 / 11))


def test_a_voltmeter_across_a_part_loads_it() -> None:
    whole = circuit(
        supply("V1", "top", 12.0), resistor("R1", "top", "mid", 2e6), resistor("R2", "mid", "gnd", 1e6)
    )
    one = Watched(
        name="over R1", target=AcrossPart(reference="R1"), situation="on", value=7.0, deviation=0.01, load=1e6
    )
    told = tell(scene_of(whole, [ON], [one]), [AS_TRACED])
    assert told.values[0, 0] == pytest.approx(12.0 * (2 / 3) / (1 + 2 / 3))


def test_an_ammeter_drops_its_burden() -> None:
    whole = circuit(supply("V1", "top", 1.0), resistor("R1", "top", "gnd", 100.0))
    one = Watched(
        name="loop",
        target=InPart(what="current", reference="R1"),
        situation="on",
        value=0.01,
        deviation=1e-5,
        load=25.0,
    )
    told = tell(scene_of(whole, [ON], [one]), [AS_TRACED])
    assert told.values[0, 0] == pytest.approx(1.0 / 125.0)


@pytest.mark.parametrize(
    "variant", [AS_TRACED, Variant(pins={Pin("R4", "2"): "gnd"})], ids=["traced", "slip"]
)
def test_an_ammeter_that_shifts_the_operating_point_is_solved_with_it(variant: Variant) -> None:
    # 100 Ω in the lead of the load holds a tired supply up, and takes what it draws out of proportion.
    whole = circuit(
        supply("V1", "rail", 9.0, ohms=0.5),
        resistor("R4", "rail", "anode", 47.0),
        led("LED2", "anode", "gnd", forward_drop=2.0),
        resistor("R5", "rail", "held", 10.0),
        zener("Z1", "held", "gnd", 5.1),
    )
    for reference, pin in (("LED2", "anode"), ("R4", "1"), ("Z1", "cathode")):
        target = IntoPin(reference=reference, pin=pin)
        one = Watched(
            name="i",
            target=target,
            situation="on",
            value=1.0,
            deviation=1e-3,
            load=100.0,
        )
        changed = variant.applied_to(whole)
        part = changed.part(reference)
        broken = changed.with_parts(
            (
                replace(part, pins={**part.pins, pin: "inside"}),
                resistor("burden", part.pins[pin], "inside", 100.0),
            )
        )
        expected = float(asked_of(target)(operating_point(broken, situations=[ON]))[0])
        told = tell(scene_of(whole, [ON], [one]), [variant], with_slopes=False)
        assert told.values[0, 0] == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_a_dead_test_reads_what_is_parallel_without_the_supply() -> None:
    whole = circuit(
        Part(
            reference="V1",
            kind="dc_supply",
            pins={"plus": "top", "minus": "gnd"},
            values={"voltage": 5.0, "resistance": 0.1},
        ),
        resistor("R1", "top", "mid", 300.0),
        resistor("R2", "mid", "gnd", 300.0),
        resistor("R3", "top", "gnd", 600.0),
    )
    one = Watched(
        name="ohms", target=DeadTest(red="top", black="gnd"), situation="", value=300.0, deviation=1.0
    )
    told = tell(scene_of(whole, [ON], [one]), [AS_TRACED])
    assert told.values[0, 0] == pytest.approx(300.0, rel=1e-3)


def test_readings_of_unknown_situations_are_left_out() -> None:
    scene = scene_of(switch(), [ON], [volts("here", "base", 0.6), volts("there", "base", 0.6, "elsewhere")])
    assert [one.name for one in scene.watched] == ["here"]
