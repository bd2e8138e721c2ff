"""Slips ranked against readings, on circuits small enough to see what must come out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lidoff.circuit import Circuit, Pin, operating_point
from lidoff.evidence import InPart, NetVoltage
from lidoff.insight.asked import asked_of
from lidoff.insight.believed import Believed
from lidoff.insight.sameness import looks_of, sameness
from lidoff.insight.slip import all_slip_kinds
from lidoff.insight.slips import rank_slips
from lidoff.insight.variant import Variant
from lidoff.insight.watched import Watched
from tests.circuit.build import circuit, led, supply
from tests.insight.build import SITUATIONS, switch, tolerant, volts

DEVIATION = 2e-3


def read(true: Circuit, *nets: str) -> list[Watched]:
    """Voltages of the true circuit in both situations, by a meter that takes no current, read without error."""
    solution = operating_point(true, situations=list(SITUATIONS))
    return [
        replace(
            volts(f"{net} {one.name}", net, float(asked_of(NetVoltage(net=net))(solution)[place]), one.name),
            load=None,
            deviation=DEVIATION,
        )
        for place, one in enumerate(SITUATIONS)
        for net in nets
    ]


ALL = ("rail", "top", "base", "anode", "collector")


def first(variant: Variant, *nets: str) -> Believed:
    whole = switch()
    return rank_slips(whole, SITUATIONS, read(variant.applied_to(whole), *(nets or ALL))).explanations[0]


def test_a_reversed_light_is_found() -> None:
    found = first(Variant(pins={Pin("LED1", "anode"): "gnd", Pin("LED1", "cathode"): "top"}))
    assert ("polarity", ("LED1",)) == (found.kind, found.parts)
    assert found.probability > 0.5


def test_swapped_pins_are_found() -> None:
    found = first(Variant(pins={Pin("Q1", "base"): "gnd", Pin("Q1", "emitter"): "base"}))
    assert found.parts == ("Q1",)


def test_a_misread_digit_is_found() -> None:
    whole = switch()
    wrong = Variant(values={("R1", "resistance"): 10e3}).applied_to(whole)
    solution = operating_point(wrong, situations=list(SITUATIONS))
    target = InPart(what="current", reference="R1")
    amperes = float(asked_of(target)(solution)[0])
    loop = Watched(name="loop", target=target, situation="on", value=amperes, deviation=1e-5)
    found = rank_slips(whole, SITUATIONS, [*read(wrong, *ALL), loop]).explanations[0]
    assert ("misread", ("R1",)) == (found.kind, found.parts)


def test_what_the_readings_cannot_tell_apart_shares_the_probability() -> None:
    whole = switch()
    wrong = Variant(values={("R3", "resistance"): 470.0}).applied_to(whole)
    one, other = rank_slips(whole, SITUATIONS, read(wrong, *ALL)).explanations[:2]
    # A divider with its lower resistor at a tenth gives the voltage of one with its upper at ten times.
    assert {one.parts, other.parts} == {("R2",), ("R3",)}
    assert one.probability + other.probability > 0.95


def test_a_pin_on_another_net_is_found() -> None:
    found = first(Variant(pins={Pin("R2", "2"): "collector"}))
    assert ("other_net", ("R2",)) == (found.kind, found.parts)


def test_a_misplaced_decimal_point_is_found() -> None:
    whole = switch()
    watched = read(whole, *ALL)
    watched[3] = replace(watched[3], value=watched[3].value / 10.0, deviation=DEVIATION / 10.0)
    found = rank_slips(whole, SITUATIONS, watched).explanations[0]
    assert ("meter", (watched[3].name,)) == (found.kind, found.readings)
    assert found.slips[0].variant.factors == {watched[3].name: 10.0}


def test_readings_that_fit_are_believed() -> None:
    whole = switch()
    found = rank_slips(whole, SITUATIONS, read(whole, *ALL))
    assert found.explanations[0].kind == "none"
    assert all(one.probability < 0.5 for one in found.explanations[1:])


def test_without_readings_nothing_is_believed_beyond_its_odds() -> None:
    found = rank_slips(switch(), SITUATIONS, [])
    assert found.explanations[0].kind == "none"
    assert found.readings == 0
    odds = {one.title: one.probability / found.no_slip for one in found.explanations[1:]}
    assert odds["LED1 sits the other way round"] == pytest.approx(0.01)


def test_probabilities_never_add_up_to_more_than_one() -> None:
    whole = switch()
    wrong = Variant(pins={Pin("R1", "2"): "anode"}).applied_to(whole)
    found = rank_slips(whole, SITUATIONS, read(wrong, *ALL))
    assert 0.9 < sum(one.probability for one in found.explanations) <= 1.0 + 1e-9


def test_the_order_of_readings_does_not_matter() -> None:
    whole = switch()
    wrong = Variant(values={("R3", "resistance"): 470.0}).applied_to(whole)
    watched = read(wrong, *ALL)
    one = rank_slips(whole, SITUATIONS, watched).explanations
    other = rank_slips(whole, SITUATIONS, watched[::-1]).explanations
    assert [believed.title for believed in one[:3]] == [believed.title for believed in other[:3]]
    assert one[0].probability == pytest.approx(other[0].probability, rel=1e-3)


def test_two_slips_are_found_together_where_one_does_not_explain_it() -> None:
    whole = switch()
    wrong = Variant(
        pins={Pin("LED1", "anode"): "gnd", Pin("LED1", "cathode"): "top"},
        values={("R3", "resistance"): 470.0},
    ).applied_to(whole)
    found = rank_slips(whole, SITUATIONS, read(wrong, *ALL)).explanations[0]
    assert len(found.slips) == 2
    # R2 at ten times makes the base's voltage as R3 at a tenth does.
    assert set(found.parts) in ({"LED1", "R3"}, {"LED1", "R2"})


def test_a_value_between_the_codes_is_no_slip_of_the_pencil() -> None:
    whole = switch()
    wrong = Variant(values={("R3", "resistance"): 3.5e3}).applied_to(whole)
    found = rank_slips(whole, SITUATIONS, read(wrong, *ALL)).explanations[0]
    assert "value" == found.kind
    assert found.parts[0] in ("R2", "R3")


def test_what_no_reading_can_tell_apart_is_told_as_alike() -> None:
    whole = circuit(
        supply("V1", "rail", 9.0),
        tolerant("R1", "rail", "mid", 1e3),
        led("LED1", "mid", "gnd", forward_drop=2.0),
        led("LED2", "mid", "gnd", forward_drop=2.0),
    )
    slips = [
        slip
        for slip in all_slip_kinds()["polarity"].propose(whole, (), 0.01)
        if slip.parts[0] in ("LED1", "LED2")
    ]
    keys = [sameness(looks_of(whole), slip.variant) for slip in slips]
    assert keys[0] == keys[1]
    named = frozenset({"LED1"})
    keys = [sameness(looks_of(whole, named), slip.variant) for slip in slips]
    assert keys[0] != keys[1]


def test_slips_that_touch_the_same_pin_do_not_go_together() -> None:
    one = Variant(pins={Pin("R1", "2"): "anode"})
    assert one.with_both(Variant(pins={Pin("R1", "2"): "base"})) is None


@pytest.mark.parametrize("kind", sorted(all_slip_kinds()))
def test_the_chances_of_a_kind_add_up_to_its_opportunities(kind: str) -> None:
    whole = switch()
    one = all_slip_kinds()[kind]
    slips = one.propose(whole, read(whole, *ALL), one.chance)
    opportunities = sum(slip.odds for slip in slips) / one.chance
    assert opportunities == pytest.approx(round(opportunities), abs=1e-9)
    assert 0 < opportunities <= 40
    assert np.all([slip.odds > 0.0 for slip in slips])


def test_every_kind_says_what_its_chance_is_of_and_where_it_comes_from() -> None:
    for one in all_slip_kinds().values():
        assert one.of_each
        assert one.source
        assert one.title
