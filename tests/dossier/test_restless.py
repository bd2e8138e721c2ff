"""A circuit that swings by itself is not judged at the balance that it never holds."""

from __future__ import annotations

import pytest

from lidoff.dossier import Analysis, Dossier, DrawingWish, analyse, circuit_of, dossier_from_text, drawing_of
from lidoff.dossier.reasoning import slips_of
from lidoff.errors import ImpossibleValue, NetsUnsettled
from lidoff.evidence import CannotTell

BLINKER = """format = 2
[device]
title = "badge that blinks"

[situations.on]
title = "switched on"

[claims.draw]
kind = "current"
says = "only 20 mA"
value = "20 mA"
sense = "at most"
from = { current = { situation = "on", current = "J1" } }

[readings.drawn]
situation = "on"
current = "J1"
shown = "15 mA ± 1 mA"

[parts]
J1 = { kind = "dc_supply", value = "9 V", pins = { plus = "vp", minus = "gnd" } }
R1 = { kind = "resistor", value = "470 Ω", pins = { 1 = "vp", 2 = "c1" } }
R2 = { kind = "resistor", value = "470 Ω", pins = { 1 = "vp", 2 = "c2" } }
R3 = { kind = "resistor", value = "47 kΩ", pins = { 1 = "vp", 2 = "b1" } }
R4 = { kind = "resistor", value = "47 kΩ", pins = { 1 = "vp", 2 = "b2" } }
C1 = { kind = "capacitor", value = "10 µF", pins = { 1 = "c1", 2 = "b2" } }
C2 = { kind = "capacitor", value = "10 µF", pins = { 1 = "c2", 2 = "b1" } }
Q1 = { kind = "npn", pins = { collector = "c1", base = "b1", emitter = "gnd" } }
Q2 = { kind = "npn", pins = { collector = "c2", base = "b2", emitter = "gnd" } }
"""


def blinker() -> Dossier:
    return dossier_from_text(BLINKER)


@pytest.fixture(scope="module")
def analysed() -> Analysis:
    return analyse(blinker())


def test_a_claim_on_it_cannot_be_told_and_says_why(analysed: Analysis) -> None:
    verdict = analysed.claims[0].verdict
    assert isinstance(verdict, CannotTell)
    assert (
        "the situation 'on' was not solved: it does not rest: at its balance the least disturbance"
        in verdict.why
    )
    assert "so it swings by itself or falls to another state" in verdict.why


def test_a_reading_is_not_held_against_the_balance(analysed: Analysis) -> None:
    assert () == analysed.comparisons
    assert ["drawn"] == [one.measured.name for one in analysed.uncompared]


def test_no_rating_is_held_against_the_balance(analysed: Analysis) -> None:
    assert () == analysed.stresses


def test_a_caution_says_that_there_is_no_state_of_rest(analysed: Analysis) -> None:
    (found,) = [one for one in analysed.findings if one.name == "situation not solved"]
    assert ("No state of rest: “switched on”", "caution") == (found.title, found.severity)


def test_no_sum_of_a_block_rests_on_the_balance(analysed: Analysis) -> None:
    assert not [one for block in analysed.blocks for one in block.sums if "switched on" in f"{one}"]


def test_a_drawing_writes_no_numbers_of_it() -> None:
    with pytest.raises(NetsUnsettled, match="the situation 'on' has no numbers: it does not rest"):
        drawing_of(blinker(), circuit_of(blinker()), DrawingWish(situation="on"), lambda: None)


def test_slips_do_not_weigh_its_readings() -> None:
    with pytest.raises(ImpossibleValue, match="every reading of the circuit is of what changes with time"):
        slips_of(blinker())
