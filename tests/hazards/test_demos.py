"""What is planted in the demos is flagged, and a twin without it is not."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from lidoff.circuit import Circuit, Part
from lidoff.dossier import Analysis, SolvedSituation, analyse, load_dossier
from lidoff.hazards import Hazard, Subject

from .build import answers, part, subject

DEMOS = Path(__file__).parents[2] / "demos"


@cache
def analysed(name: str) -> Analysis:
    return analyse(load_dossier(DEMOS / name))


def flagged(name: str, check: str) -> list[Hazard]:
    return [one for one in analysed(name).hazards if one.check == check and one.flagged]


def twin(name: str, changes: Sequence[Part], situations: Sequence[str]) -> Subject:
    """The demo with some parts changed or added, solved in some of its situations."""
    analysis = analysed(name)
    changed = {one.reference: one for one in changes}
    parts = [changed.pop(one.reference, one) for one in analysis.circuit.parts]
    chosen = [
        one.situation
        for one in analysis.situations
        if isinstance(one, SolvedSituation) and one.name in situations
    ]
    circuit = Circuit(parts=(*parts, *changed.values()), ground=analysis.circuit.ground)
    return replace(
        subject(*circuit.parts, situations=chosen),
        circuit=circuit,
        distances=analysis.dossier.distances,
        lights=analysis.dossier.lights,
        cells=analysis.dossier.cells,
    )


def about(hazards: Sequence[Hazard], *references: str) -> list[Hazard]:
    return [one for one in hazards if one.flagged and set(references) & set(one.parts)]


# --- the night light: no bleeder (see the stored charge), pads too close


def test_the_night_light_is_flagged_for_its_narrow_pads() -> None:
    assert {("live", "neutral")} == {one.nets for one in flagged("night-light", "insulation")}


def test_wider_pads_are_not_flagged() -> None:
    (gap,) = analysed("night-light").dossier.distances
    wide = replace(gap, creepage="3.0 mm ± 0.1 mm", clearance="3.0 mm ± 0.1 mm")
    looked_at = replace(twin("night-light", (), ("dark",)), distances=(wide,))
    assert ["within the limit"] * 2 == [one.outcome for one in answers("insulation", looked_at)]


# --- the insect lure: much ultraviolet, two lamps without ballast


def test_the_insect_lure_is_flagged_for_its_light_and_its_missing_ballast() -> None:
    assert flagged("insect-lure", "light")
    assert about(flagged("insect-lure", "stress"), "LED19", "LED20")


def test_a_tenth_of_its_light_from_further_away_is_not_flagged() -> None:
    (lantern,) = analysed("insect-lure").dossier.lights
    weak = replace(lantern, radiant_power="0.035 W ± 40 %", distance="1 m ± 0.1 m")
    looked_at = replace(twin("insect-lure", (), ("running",)), lights=(weak,))
    assert not [one for one in answers("light", looked_at) if one.flagged]
    assert not [one for one in answers("risk group", looked_at) if one.flagged and one.severity != "note"]


def test_lamps_behind_a_ballast_are_not_flagged() -> None:
    circuit = analysed("insect-lure").circuit
    lamps = [
        replace(circuit.part(name), pins={**circuit.part(name).pins, "anode": "pair_10"})
        for name in ("LED19", "LED20")
    ]
    rail = circuit.part("R1").pins["1"]
    ballast = part("R11", "resistor", {"1": rail, "2": "pair_10"}, resistance=47.0, power_rating=0.125)
    looked_at = twin("insect-lure", (*lamps, ballast), ("running",))
    assert not about(answers("stress", looked_at), "LED19", "LED20", "R11")
    assert not about(answers("junction heat", looked_at), "LED19", "LED20")


# --- the crumb vacuum: nothing guards its cell, its transistor is too small


def test_the_crumb_vacuum_is_flagged_for_its_bare_cell_and_its_transistor() -> None:
    assert [one for one in flagged("crumb-vacuum", "cells") if one.outcome == "beyond the limit"]
    assert about(flagged("crumb-vacuum", "stress"), "Q1")


def test_a_guarded_cell_and_a_larger_transistor_are_not_flagged() -> None:
    analysis = analysed("crumb-vacuum")
    switch = analysis.circuit.part("Q1")
    larger = replace(
        switch,
        package="DPAK",
        values={**switch.values, "on_resistance": 0.006, "power_rating": 2.5, "current_rating": 50.0},
    )
    (told,) = analysis.dossier.cells
    guarded = replace(told, protection="present", over_current="10 A", charge_limit="4.19 V ± 0.01 V")
    looked_at = replace(twin("crumb-vacuum", (larger,), ("running", "charging")), cells=(guarded,))
    assert not [one for one in answers("cells", looked_at) if one.flagged]
    assert not about(answers("stress", looked_at), "Q1")
    assert not about(answers("junction heat", looked_at), "Q1")


@pytest.mark.parametrize("name", ["crumb-vacuum", "insect-lure", "night-light"])
def test_every_flagged_answer_says_what_to_do_and_on_what_it_rests(name: str) -> None:
    for one in analysed(name).hazards:
        assert one.source or one.outcome == "cannot tell", one.title
        recalled = ("from memory", "common practice", "typical")
        assert not one.from_memory or any(words in one.source for words in recalled), one.title
        if one.flagged:
            assert one.remedy, one.title
