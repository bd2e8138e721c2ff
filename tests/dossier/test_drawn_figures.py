"""A drawing writes no voltage of rest at a net that alternates."""

from __future__ import annotations

import pytest

from lidoff.circuit import Situation, operating_point, periodic_steady_state
from lidoff.dossier import DrawingWish, circuit_of, dossier_from_text, drawing_of
from lidoff.dossier.drawn_figures import SolvedFigures, figures_at
from lidoff.schematic import voltage_text
from tests.dossier.test_stand_ins import DROPPER, with_stand_in

ON = Situation(name="as it stands")
BARE = with_stand_in('does = "steady"')


def figures_of(text: str, *, followed: bool = True) -> SolvedFigures:
    circuit = circuit_of(dossier_from_text(text))
    point = operating_point(circuit, situations=[ON]).at(0)
    waveforms = periodic_steady_state(circuit, situation=ON) if followed else None
    return figures_at(circuit, ON, point, waveforms)


def written(found: SolvedFigures, net: str) -> str:
    return voltage_text(found.voltage(net), found.alternating(net))


def test_the_live_net_has_the_effective_value_of_the_mains() -> None:
    assert "230 V ac" == written(figures_of(DROPPER), "live")


def test_the_rail_behind_a_stand_in_keeps_its_average() -> None:
    found = figures_of(DROPPER)
    assert 0.0 == found.alternating("rail")
    assert 323.0 / 46e3 * 1e3 == pytest.approx(found.voltage("rail"), rel=0.01)


def test_without_a_stand_in_every_net_is_that_of_the_period() -> None:
    found = figures_of(BARE)
    assert 0.0 < found.voltage("rail") < 24.0
    assert "230 V ac" == written(found, "live")


def test_without_a_waveform_nothing_is_written_where_it_alternates() -> None:
    assert "?" == written(figures_of(DROPPER, followed=False), "live")
    assert {"gnd"} == set(figures_of(BARE, followed=False).voltages)


def test_currents_of_what_is_stood_for_are_not_those_of_rest() -> None:
    assert {"V1", "C2", "R1"} == set(figures_of(DROPPER).currents)


def test_a_schematic_drawn_for_a_situation_tells_the_effective_value() -> None:
    dossier = dossier_from_text(DROPPER + '\n[situations.on]\ntitle = "on"\n')
    drawing = drawing_of(dossier, circuit_of(dossier), DrawingWish(situation="on"), lambda: None)
    assert "230 V ac" == drawing.voltage_text("live")
