"""Explanations told together."""

from __future__ import annotations

from lidoff.circuit import Circuit, Part, Pin
from lidoff.insight import Believed, Slip, families_of
from lidoff.insight.variant import AS_TRACED, LOOSE, Variant

CIRCUIT = Circuit(
    parts=(
        Part(reference="R1", kind="resistor", pins={"1": "rail", "2": "gnd"}, values={"resistance": 1e3}),
        Part(reference="R2", kind="resistor", pins={"1": "rail", "2": "mid"}, values={"resistance": 1e3}),
    ),
    ground="gnd",
)


def astray(net: str, probability: float, pin: str = "1", kind: str = "other_net") -> Believed:
    variant = Variant(pins={Pin("R1", pin): net})
    title = f"R1.{pin} is on {net}, not on rail"
    slip = Slip(kind=kind, title=title, odds=0.1, variant=variant)
    return Believed(kind=kind, title=title, probability=probability, slips=(slip,))


NONE = Believed(kind="none", title="no slip", probability=0.25)


def test_the_places_of_one_pin_are_one_entry_with_their_belief_together() -> None:
    loose = astray(LOOSE[0], 0.1, kind="two_nets")
    first, second, third = families_of(CIRCUIT, [NONE, astray("mid", 0.2), loose, astray("rail", 0.05, "2")])
    assert first.title == "R1.1 is not on rail"
    assert abs(first.probability - 0.3) < 1e-12
    assert [one.probability for one in first.members] == [0.2, 0.1]
    assert second.members == (NONE,)
    assert third.title == "R1.2 is on rail, not on rail"


def test_a_lone_explanation_keeps_its_title() -> None:
    (only,) = families_of(CIRCUIT, [astray("mid", 0.2)])
    assert only.title == "R1.1 is on mid, not on rail"


def test_pairs_and_moves_of_several_pins_stay_by_themselves() -> None:
    several = Slip(
        kind="two_nets",
        title="rail is two nets",
        odds=0.1,
        variant=Variant(pins={Pin("R1", "1"): LOOSE[0], Pin("R2", "1"): LOOSE[0]}),
    )
    parted = Believed(kind="two_nets", title=several.title, probability=0.3, slips=(several,))
    turned = Slip(kind="reversed", title="turned", odds=0.1, variant=AS_TRACED)
    pair = Believed(
        kind="other_net + reversed",
        title="both",
        probability=0.15,
        slips=(astray("mid", 0.1).slips[0], turned),
    )
    found = families_of(CIRCUIT, [parted, pair, astray("mid", 0.1), astray("gnd", 0.1)])
    assert [len(one.members) for one in found] == [1, 2, 1]


def test_only_the_likeliest_are_told() -> None:
    (family,) = families_of(CIRCUIT, [astray(f"n{k}", 0.1 / (k + 1)) for k in range(7)])
    assert len(family.members) == 7
    assert len(family.told) == 4
    assert family.first is family.told[0]
