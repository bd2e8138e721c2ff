"""A drawing writes no voltage of rest at a net that alternates."""

from __future__ import annotations

import math

import pytest

from lidoff.circuit import Situation, figures, operating_point, periodic_steady_state
from lidoff.dossier import DrawingWish, circuit_of, dossier_from_text, drawing_of
from lidoff.dossier.drawn_figures import SolvedFigures, figures_at
from lidoff.schematic import Drawing, voltage_text
from tests.dossier.test_stand_ins import DROPPER, with_stand_in

ON = Situation(name="as it stands")
BARE = with_stand_in('does = "steady"')
SITUATED = DROPPER + '\n[situations.on]\ntitle = "on"\n'


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


def test_without_a_waveform_no_current_is_told_of_what_is_stood_for() -> None:
    assert {"V1", "C2", "R1"} == set(figures_of(DROPPER, followed=False).currents)


def test_the_current_of_what_is_stood_for_is_that_of_the_period() -> None:
    found = figures_of(DROPPER)
    circuit = circuit_of(dossier_from_text(DROPPER))
    wave = periodic_steady_state(circuit, situation=ON)
    assert figures(wave.times, wave.current("J1")).rms == pytest.approx(
        math.hypot(found.current("J1"), found.alternating_current("J1")), rel=1e-6
    )
    assert 0.01 < found.alternating_current("J1") < 0.1


def test_a_smoothing_capacitor_has_its_ripple_current_though_its_mean_is_nought() -> None:
    found = figures_of(DROPPER)
    assert 0.0 == pytest.approx(found.current("C2"), abs=1e-6)
    assert 1e-3 < found.alternating_current("C2")


def test_a_stand_in_has_the_current_of_rest_alone() -> None:
    assert 0.0 == figures_of(DROPPER).alternating_current("V1")


FLOATING = """format = 2
[device]
title = "two capacitors in series"

[situations.on]
title = "switched on"

[parts.V1]
kind = "dc_supply"
value = "5 V"
pins = { plus = "in", minus = "gnd" }

[parts.C1]
kind = "capacitor"
value = "100 nF"
pins = { 1 = "in", 2 = "m" }

[parts.C2]
kind = "capacitor"
value = "100 nF"
pins = { 1 = "m", 2 = "gnd" }

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "x", 2 = "y" }

[parts.R2]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "x", 2 = "y" }

[parts.V2]
kind = "dc_supply"
value = "3 V"
pins = { plus = "p", minus = "q" }

[parts.R3]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "p", 2 = "q" }
"""


def drawn(text: str, *, currents: bool = False) -> Drawing:
    dossier = dossier_from_text(text)
    wish = DrawingWish(situation="on", currents=currents)
    return drawing_of(dossier, circuit_of(dossier), wish, lambda: None)


def notes_of(drawing: Drawing) -> str:
    return " ".join(label.text for sheet in drawing.sheets for label in sheet.labels if label.role == "note")


def test_no_voltage_is_drawn_where_nothing_fixes_it() -> None:
    assert "" == drawn(FLOATING).voltage_text("m")


def test_no_voltage_is_drawn_on_an_island_that_nothing_feeds() -> None:
    drawing = drawn(FLOATING)
    assert ("", "") == (drawing.voltage_text("x"), drawing.voltage_text("y"))


def test_an_island_with_a_supply_of_its_own_keeps_its_voltages() -> None:
    drawing = drawn(FLOATING)
    assert {"3 V", "0 V"} == {drawing.voltage_text(net).replace("−", "") for net in ("p", "q")}


def test_the_sheet_says_why_a_voltage_is_missing() -> None:
    assert (
        "Nothing fixes the voltage of m here, so none is written. "
        "Nothing joins x, y to the ground or feeds them, so no voltage is written."
    ) == notes_of(drawn(FLOATING))


def test_the_sheet_says_what_ac_marks() -> None:
    assert (
        "“ac” marks the effective value of what alternates over a period, round the mean before it."
        == notes_of(drawn(SITUATED))
    )


def test_notes_are_in_the_picture() -> None:
    assert "“ac” marks the effective value" in drawn(SITUATED).to_svg()


def test_parts_on_the_mains_have_their_effective_current_on_the_sheet() -> None:
    (sheet,) = drawn(SITUATED, currents=True).sheets
    written = [label.text for label in sheet.labels if label.owner == "J1" and label.role == "value"]
    assert any(text.endswith("mA ac") for text in written)


def test_a_sheet_without_anything_odd_bears_no_note() -> None:
    assert "" == notes_of(
        drawn(FLOATING.replace('"m"', '"gnd"').replace('"x"', '"in"').replace('"y"', '"gnd"'))
    )


def test_a_schematic_drawn_for_a_situation_tells_the_effective_value() -> None:
    assert "230 V ac" == drawn(SITUATED).voltage_text("live")


def test_leakage_that_follows_the_ripple_is_no_current() -> None:
    blocking = '\n[parts.D9]\nkind = "diode"\npins = { anode = "gnd", cathode = "rail" }\n'
    assert 0.0 == figures_of(DROPPER + blocking).alternating_current("D9")


TOUCHED = (
    BARE
    + """
[situations.on]
title = "switched on"

[parts.U1]
kind = "controller"
pins = { VDD = "rail", GND = "gnd", IN = "touch" }
pin_roles = { VDD = "supply", GND = "ground", IN = "input" }

[parts.R5]
kind = "resistor"
value = "1 MΩ"
pins = { 1 = "touch", 2 = "shell" }

[parts.R6]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "trim", 2 = "frame" }
"""
)


def test_on_mains_too_no_voltage_is_drawn_where_nothing_fixes_it() -> None:
    drawing = drawn(TOUCHED)
    assert ["", "", "", ""] == [drawing.voltage_text(net) for net in ("touch", "shell", "trim", "frame")]
    assert "230 V ac" == drawing.voltage_text("live")


def test_on_mains_too_the_sheet_says_why_a_voltage_is_missing() -> None:
    told = notes_of(drawn(TOUCHED))
    assert "Nothing fixes the voltage of shell, touch here, so none is written." in told
    assert "Nothing joins frame, trim to the ground or feeds them, so no voltage is written." in told
