"""What changes with time is drawn over one period; what is at rest is not."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from lidoff.dossier import Analysis, SolvedSituation, analyse, dossier_from_text
from lidoff.report.model import Figure
from lidoff.report.paint import STILL_LIGHT
from lidoff.report.scene import Story
from lidoff.report.scenes import waveforms as scene
from lidoff.report.sections import operating
from lidoff.report.sections import waveforms as chapter
from lidoff.report.subject import deliveries
from lidoff.report.summary import summary_text
from lidoff.report.waveform_chart import MOST_CURVES, shown_curves, waveform_svg

LAMP = """
[device]
title = "Lamp on a transformer (invented)"

[situations.on]
title = "switched on"
set = {}

[parts.J1]
kind = "ac_supply"
voltage = "12 V"
frequency = "50 Hz"
pins = { plus = "ac", minus = "gnd" }

[parts.D1]
kind = "diode"
pins = { anode = "ac", cathode = "raw" }

[parts.C1]
kind = "electrolytic_capacitor"
value = "100 µF"
pins = { plus = "raw", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "raw", 2 = "top" }

[parts.D2]
kind = "led"
pins = { anode = "top", cathode = "gnd" }
"""
AT_REST = """
[device]
title = "Lamp on a battery (invented)"

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = { plus = "raw", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "raw", 2 = "gnd" }
"""


@pytest.fixture(scope="module")
def lamp() -> Analysis:
    return analyse(dossier_from_text(LAMP))


def test_supply_store_and_light_are_shown(lamp: Analysis) -> None:
    (one,) = lamp.repeating
    assert one.waveforms is not None
    curves = shown_curves(one.waveforms)

    assert [curve.name for curve in curves] == [
        "voltage across J1", "current of J1", "voltage across C1", "current of D2",
    ]  # fmt: skip
    assert len(curves) == MOST_CURVES
    assert curves[0].mean.max() == pytest.approx(12.0 * 2.0**0.5, rel=2e-3)
    assert curves[0].times[-1] - curves[0].times[0] == pytest.approx(0.02)
    assert curves[1].mean.min() >= -1e-3  # what the diode lets through flows out of the supply


def test_a_current_of_the_solver_alone_has_no_curve() -> None:
    opened = LAMP.replace('anode = "ac", cathode = "raw"', 'anode = "ac", cathode = "gone"')
    (one,) = analyse(dossier_from_text(opened)).repeating
    assert one.waveforms is not None
    assert ["voltage across J1"] == [curve.name for curve in shown_curves(one.waveforms)]


def test_the_chapter_draws_each_situation_and_tells_its_figures(lamp: Analysis) -> None:
    blocks = chapter.MEMBERS[0].build(lamp)

    (figure,) = [block for block in blocks if isinstance(block, Figure)]
    assert "Switched on" in figure.caption
    assert "current of D2" in figure.alt
    assert "effective 12.0 V" in str(blocks)


def test_what_rests_has_no_chapter_and_no_still() -> None:
    rest = analyse(dossier_from_text(AT_REST))

    assert rest.repeating == ()
    assert chapter.MEMBERS[0].build(rest) == ()


def test_what_is_delivered_is_told_over_a_period_where_the_supply_alternates(lamp: Analysis) -> None:
    (result,) = lamp.situations
    assert isinstance(result, SolvedSituation)
    told = deliveries(lamp, result)

    assert re.fullmatch(r"J1 delivers [\d.]+ mA \+ [\d.]+ mA ac and [\d.]+ mW on average", told)
    assert "next to nothing" not in summary_text(lamp)


def test_the_operating_point_of_an_alternating_supply_is_that_of_a_period(lamp: Analysis) -> None:
    told = str(operating.MEMBERS[0].build(lamp))

    assert "No part carries" not in told
    assert "12 V ac" in told
    assert "“ac” marks the effective value" in told


def test_without_a_waveform_an_alternating_situation_tells_no_number(lamp: Analysis) -> None:
    unseen = replace(lamp, repeating=tuple(replace(one, waveforms=None) for one in lamp.repeating))
    (result,) = unseen.situations
    assert isinstance(result, SolvedSituation)

    assert "no waveform of it was found" in deliveries(unseen, result)
    assert "No part carries" not in str(operating.MEMBERS[0].build(unseen))


def test_figures_of_a_curve_are_those_of_its_samples(lamp: Analysis) -> None:
    (one,) = lamp.repeating
    assert one.waveforms is not None
    curve = shown_curves(one.waveforms)[0]

    assert chapter.curve_words(curve).endswith("effective 12.0 V")
    assert chapter.period_words(curve) == "20.0 ms"


def test_a_chart_has_a_panel_a_curve_and_counts_in_milliseconds(lamp: Analysis) -> None:
    (one,) = lamp.repeating
    assert one.waveforms is not None
    curves = shown_curves(one.waveforms)

    svg, _, height = waveform_svg(curves, STILL_LIGHT)
    shorter = waveform_svg(curves[:1], STILL_LIGHT)[2]

    assert all(curve.name in svg for curve in curves)
    assert "10 ms" in svg
    assert height > 3 * shorter * 0.8


def test_each_situation_has_a_still(lamp: Analysis) -> None:
    story = Story(analysis=lamp, boards=())
    (still,) = scene.MEMBERS[0].build(story)

    assert still.name == "waveform-on"
    assert "effective" in still.alt
