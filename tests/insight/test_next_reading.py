"""Readings ranked by what they would tell, on circuits small enough to see what must come first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit, Pin, Situation
from lidoff.evidence import InPart, NetVoltage
from lidoff.insight import (
    DeadTest,
    NextReadings,
    Wanted,
    Watched,
    is_driven,
    is_mains,
    rank_readings,
    rank_slips,
)
from lidoff.insight.candidates import candidates_of
from lidoff.insight.variant import Variant
from tests.circuit.build import circuit, led, mains, resistor, supply
from tests.insight.build import ON, SITUATIONS, switch, tolerant
from tests.insight.test_slips import read


def lamp() -> Circuit:
    """One light with its resistor."""
    return circuit(
        supply("V1", "rail", 9.0, ohms=0.5),
        tolerant("R1", "rail", "top", 1000.0),
        led("LED1", "top", "gnd", forward_drop=2.0),
    )


def asked(wrong: Variant, *nets: str) -> NextReadings:
    whole = switch()
    ranking = rank_slips(whole, SITUATIONS, read(wrong.applied_to(whole), *nets))
    return rank_readings(ranking)


def test_a_light_reversed_or_off_its_net_is_told_apart_by_a_beep_or_the_diode_range() -> None:
    reversed_light = Variant(pins={Pin("LED1", "anode"): "gnd", Pin("LED1", "cathode"): "top"})
    first = asked(reversed_light, "rail", "top", "base", "anode", "collector").readings[0]
    assert first.candidate.dead
    assert first.about_slips > 0.5
    assert len(first.outcomes) > 1


def test_no_reading_is_worth_more_than_what_is_open() -> None:
    found = asked(Variant(values={("R3", "resistance"): 470.0}), "rail", "base")
    assert found.readings
    assert all(one.about_slips <= found.undecided + 1e-6 for one in found.readings)


def test_readings_are_ranked_by_what_they_tell_for_their_cost() -> None:
    found = asked(Variant(values={("R3", "resistance"): 470.0}), "rail", "base")
    rates = [one.bits / one.candidate.cost for one in found.readings]
    assert rates == sorted(rates, reverse=True)


def test_what_was_read_is_not_proposed_again() -> None:
    whole = switch()
    taken = read(whole, "rail", "base")
    names = {(one.watched.target, one.watched.situation) for one in candidates_of(whole, SITUATIONS, taken)}
    assert not names & {(one.target, one.situation) for one in taken}
    assert (NetVoltage(net="top"), "on") in names


def test_a_resistance_is_asked_on_the_range_that_shows_it_and_not_again_once_read() -> None:
    whole = circuit(
        supply("V1", "rail", 9.0, ohms=0.5),
        tolerant("R1", "rail", "top", 47e3),
        led("LED1", "top", "gnd", forward_drop=2.0),
    )
    ohms = [
        one.watched.target
        for one in candidates_of(whole, [ON], [])
        if isinstance(one.watched.target, DeadTest) and one.watched.target.range_name == "resistance"
    ]
    over_r1 = next(one for one in ohms if {one.red, one.black} == {"rail", "top"})
    assert over_r1.decades == 1
    taken = Watched(name="r", target=over_r1.showing(47e3), situation="", value=47e3, deviation=100.0)
    assert over_r1 not in [one.watched.target for one in candidates_of(whole, [ON], [taken])]


def test_a_wanted_current_is_narrowed_by_reading_it() -> None:
    whole = lamp()
    ranking = rank_slips(whole, [ON], read_on(whole))
    wanted = Wanted(title="the current", target=InPart(reference="R1", what="current"), situation="on")
    every = candidates_of(whole, [ON], ranking.scene.watched)
    only = [one for one in every if one.watched.target == wanted.target]
    itself = rank_readings(ranking, wanted=[wanted], candidates=only).readings[0]
    assert itself.narrows == "the current"
    assert itself.narrowed_to < 0.5


def read_on(whole: Circuit) -> list[Watched]:
    return [one for one in read(whole, "rail") if one.situation == "on"]


def test_mains_counts_as_dangerous_and_a_battery_does_not() -> None:
    on = Situation(name="on")
    wall = circuit(mains("J1", "live", "gnd", 230.0, 50.0), resistor("R1", "live", "gnd", 1e4))
    assert is_mains(wall, on)
    assert not is_mains(lamp(), on)
    off = Situation(name="off", settings={"J1": {"connected": 0.0}})
    assert not is_mains(wall, off)
    assert not is_driven(wall, off)


def test_live_readings_go_where_a_dead_test_serves_and_stay_where_none_does() -> None:
    whole = lamp()
    high = circuit(*(replace(part, values={**part.values, "voltage": 325.0}) if part.reference == "V1" else part
                     for part in whole.parts))  # fmt: skip
    ranking = rank_slips(high, [ON], [])
    every = candidates_of(high, [ON], [], ranking.explanations)
    found = rank_readings(ranking, candidates=every)
    assert found.live_left_out > 0
    assert not any(one.candidate.live for one in found.readings)
    alone = rank_readings(ranking, candidates=[one for one in every if one.live])
    assert alone.readings
    assert all(one.candidate.live for one in alone.readings)


@pytest.mark.parametrize("range_name", ["resistance", "diode", "continuity"])
def test_every_dead_range_is_among_the_candidates(range_name: str) -> None:
    found = candidates_of(lamp(), [ON], [])
    tests = [one.watched.target for one in found if isinstance(one.watched.target, DeadTest)]
    assert any(test.range_name == range_name for test in tests)
