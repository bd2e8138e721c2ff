"""Situations in which a controller's pin follows a pattern are told from one period; expected values by hand."""

from __future__ import annotations

import pytest

from lidoff.dossier import Analysis, analyse, dossier_from_text
from lidoff.errors import LidoffError
from lidoff.evidence import ClaimResult
from lidoff.report.sections.found import plain_summary

DIMMED = """format = 2
[device]
title = "dimmed lamp"

[situations.dimmed]
title = "lamp dimmed"
set = { U1 = { out = "pattern" } }

[claims.one]
kind = "KIND"
says = "what the box says"
value = "VALUE"
from = { FROM }

[instruments.clamp]
ranges = [{ measures = "current dc", up_to = "600 mA", resolution = "0.1 mA", accuracy = "±(1 % + 3)" }]

[readings.drawn]
situation = "dimmed"
instrument = "clamp"
current = "J1"
shown = "13.6 mA"

[parts.J1]
kind = "dc_supply"
value = "5 V ± 0 V"
pins = { plus = "vdd", minus = "gnd" }

[parts.U1]
kind = "controller"
pins = { vdd = "vdd", gnd = "gnd", out = "drive" }
pin_roles = { vdd = "supply", gnd = "ground", out = "output" }
supply_current = "1 mA ± 0 mA"
drive_resistance = "20 Ω ± 0 Ω"
out_period = "1 ms"
out_share = 0.25

[parts.R1]
kind = "resistor"
value = "80 Ω ± 0 Ω"
power_rating = "1 W"
pins = { 1 = "drive", 2 = "gnd" }
"""
HIGH = 5.0 / (20.0 + 80.0)
"""[A] through U1 and R1 while the pin is high, for a quarter of the time; U1 takes 1 mA besides."""
CURRENT = 'current = { situation = "dimmed", current = "J1" }'
VOLTAGE = 'voltage = { situation = "dimmed", voltage = "vdd" }'


def analysed(kind: str = "current", value: str = "5 mA", inputs: str = CURRENT) -> Analysis:
    written = DIMMED.replace("KIND", kind).replace("VALUE", value).replace("FROM", inputs)
    return analyse(dossier_from_text(written))


def judged(kind: str, value: str, inputs: str) -> ClaimResult:
    (one,) = analysed(kind, value, inputs).claims
    return one


def found(result: ClaimResult) -> float:
    assert result.found is not None
    return result.found.value


def test_a_claim_counts_the_mean_of_a_pulsed_current() -> None:
    result = judged("current", "5 mA", CURRENT)
    assert 0.25 * HIGH + 1e-3 == pytest.approx(found(result), rel=3e-3)
    assert "as solved, mean over a period" in result.sum


def test_a_steady_voltage_times_the_mean_of_a_pulsed_current_is_power() -> None:
    result = judged("power_input", "1 W", f"{CURRENT}, {VOLTAGE}")
    assert 5.0 * (0.25 * HIGH + 1e-3) == pytest.approx(found(result), rel=3e-3)


def test_volts_times_amperes_of_a_load_that_pulses_are_no_power() -> None:
    inputs = 'current = { situation = "dimmed", current = "R1" }, voltage = { situation = "dimmed", across = "R1" }'
    assert "apparent power" in judged("power_input", "1 W", inputs).sum


def test_a_reading_is_held_against_the_mean() -> None:
    (one,) = analysed().comparisons
    assert 0.25 * HIGH + 1e-3 == pytest.approx(one.predicted.value, rel=3e-3)
    assert "mean over a period" == one.seen
    assert "agrees" == one.fit


def test_a_note_says_that_the_situation_is_told_over_a_period() -> None:
    (note,) = [one for one in analysed().findings if one.name == "pin with a pattern"]
    assert "Told over a period: “lamp dimmed”" == note.title
    assert "In “lamp dimmed” U1.out follows a pattern." in note.what


def test_the_summary_does_not_say_that_a_pulsed_load_was_checked_at_rest() -> None:
    sentences = [one for one in plain_summary(analysed()) if "rating" in one]
    assert sentences
    assert not any("at rest" in one for one in sentences)


def refused(old: str, new: str, left_out: str) -> str:
    written = DIMMED.replace("KIND", "current").replace("VALUE", "5 mA").replace("FROM", CURRENT)
    with pytest.raises(LidoffError) as caught:
        dossier_from_text(written.replace(left_out, "").replace(old, new))
    return f"{caught.value}"


def test_a_pattern_without_a_period_asks_for_it_with_the_part() -> None:
    told = refused("", "", 'out_period = "1 ms"\nout_share = 0.25\n')
    assert "out = 'pattern' is possible only where the part tells its out_period" in told
    assert "add out_period = … to the part itself" in told


def test_a_period_that_only_a_situation_sets_is_asked_for_with_the_part() -> None:
    alone = 'set = { U1 = { out = "low", out_period = "1 ms" } }'
    told = refused('set = { U1 = { out = "pattern" } }', alone, 'out_period = "1 ms"\nout_share = 0.25\n')
    assert "the situation 'dimmed' sets 'out_period' of U1, which the part itself does not tell" in told
    assert "add out_period = … to [parts.U1]" in told
