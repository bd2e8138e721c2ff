"""Claims fed from the solved circuit where a supply changes with time; expected values by hand."""

from __future__ import annotations

import math

import pytest

from lidoff.dossier import Analysis, analyse, circuit_of, dossier_from_text
from lidoff.dossier.supposing import supposed_claims
from lidoff.evidence import CannotTell, ClaimResult

HEATER = """format = 2
[device]
title = "heater"

[situations.plugged]
title = "plugged in"

[claims.one]
kind = "KIND"
says = "what the box says"
value = "VALUE"
from = { FROM }

[parts.J1]
kind = "ac_supply"
value = "120 V SPREAD"
frequency = "60 Hz"
pins = { plus = "live", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "400 Ω ± 0 %"
pins = { 1 = "live", 2 = "gnd" }
"""
PULSED = """[parts.J1]
kind = "pulse_supply"
high = "4 V"
low = "0 V"
width = "3 ms"
period = "12 ms"
pins = { plus = "live", minus = "gnd" }
"""
RECTIFIED = """
[parts.D1]
kind = "diode"
pins = { anode = "live", cathode = "dc" }

[parts.C1]
kind = "electrolytic_capacitor"
value = "470 µF"
voltage_rating = "250 V"
pins = { plus = "dc", minus = "gnd" }

[parts.R2]
kind = "resistor"
value = "10 kΩ ± 0 %"
pins = { 1 = "dc", 2 = "gnd" }
"""
POWER_OF_R1 = 'power = { situation = "plugged", power = "R1" }'
POWER_OF_J1 = 'power = { situation = "plugged", power = "J1" }'
CURRENT_OF_R1 = 'current = { situation = "plugged", current = "R1" }'


def text(kind: str, value: str, inputs: str, spread: str = "± 0 V", more: str = "") -> str:
    filled = HEATER.replace("KIND", kind).replace("VALUE", value).replace("FROM", inputs)
    return filled.replace("SPREAD", spread) + more


def pulsed(kind: str, value: str, inputs: str) -> str:
    before, _, after = text(kind, value, inputs).partition("[parts.J1]")
    return before + PULSED + "\n[parts.R1]" + after.partition("[parts.R1]")[2]


def judged(written: str) -> ClaimResult:
    (one,) = analyse(dossier_from_text(written)).claims
    return one


def found(result: ClaimResult) -> float:
    assert result.found is not None
    return result.found.value


@pytest.mark.parametrize("asked", [POWER_OF_R1, POWER_OF_J1])
def test_power_of_an_alternating_supply_and_of_its_load_is_the_mean_over_a_period(asked: str) -> None:
    result = judged(text("idle_power", "1 W", asked))
    assert 120.0**2 / 400.0 == pytest.approx(found(result), rel=1e-3)
    assert "not borne out" == result.verdict.words


def test_a_current_that_alternates_is_its_effective_value() -> None:
    result = judged(text("current", "0.3 A", CURRENT_OF_R1))
    assert 120.0 / 400.0 == pytest.approx(found(result), rel=1e-3)
    assert "borne out" == result.verdict.words


def test_the_sum_says_that_a_value_is_effective() -> None:
    assert "as solved, effective over a period; the box says 0.3 A" in (
        judged(text("current", "0.3 A", CURRENT_OF_R1)).sum
    )


def test_the_sum_says_that_power_is_a_mean() -> None:
    assert "as solved, mean over a period" in judged(text("idle_power", "1 W", POWER_OF_R1)).sum


def test_the_spread_of_the_supply_counts_in_the_answer() -> None:
    result = judged(text("idle_power", "1 W", POWER_OF_R1, spread="± 6 V"))
    assert result.found is not None
    # P = U²/R, so dP = 2·P·dU/U; ±6 V is rectangular
    expected = 2.0 * 36.0 * 6.0 / 120.0 / math.sqrt(3.0)
    assert expected == pytest.approx(result.found.uncertainty, rel=0.03)


def test_the_mean_power_of_pulses_counts_their_pauses() -> None:
    result = judged(pulsed("idle_power", "0.001 W", POWER_OF_R1))
    assert 4.0**2 / 400.0 * 3.0 / 12.0 == pytest.approx(found(result), rel=1e-3)


def test_pulses_heat_by_their_effective_current() -> None:
    result = judged(pulsed("current", "5 mA", CURRENT_OF_R1))
    assert 4.0 / 400.0 * math.sqrt(3.0 / 12.0) == pytest.approx(found(result), rel=1e-3)


def test_pulses_move_charge_by_their_mean_current() -> None:
    asked = f'charge = {{ value = "100 mAh", why = "printed" }}, {CURRENT_OF_R1}'
    result = judged(pulsed("run_time", "40 h", asked))
    assert 0.1 / (0.01 * 3.0 / 12.0) * 3600.0 == pytest.approx(found(result), rel=1e-3)
    assert "The current is as solved, mean over a period." in result.notes


def test_what_alternates_moves_no_charge() -> None:
    asked = f'charge = {{ value = "100 mAh", why = "printed" }}, {CURRENT_OF_R1}'
    verdict = judged(text("run_time", "40 h", asked)).verdict
    assert isinstance(verdict, CannotTell)
    assert (
        "the current is not known: it alternates, and moves no charge to speak of over a period"
        == verdict.why
    )


def test_what_a_capacitor_smooths_is_its_mean() -> None:
    result = judged(
        text("voltage", "160 V", 'voltage = { situation = "plugged", voltage = "dc" }', more=RECTIFIED)
    )
    assert "as solved, mean over a period" in result.sum
    # a crest of 169.7 V, less a diode's drop and half of a ripple of 17 mA · 16 ms / 470 µF = 0.6 V
    assert 168.6 == pytest.approx(found(result), abs=0.5)


def test_solved_volts_times_solved_amperes_of_the_mains_are_no_power() -> None:
    asked = f'voltage = {{ situation = "plugged", across = "R1" }}, {CURRENT_OF_R1}'
    verdict = judged(text("power_input", "30 W", asked)).verdict
    assert isinstance(verdict, CannotTell)
    assert "so volts times amperes is apparent power" in verdict.why


def test_without_a_period_the_claim_cannot_be_told() -> None:
    second = """
[parts.J2]
kind = "ac_supply"
value = "10 V"
frequency = "47.13 Hz"
pins = { plus = "other", minus = "gnd" }

[parts.J3]
kind = "ac_supply"
value = "10 V"
frequency = "51.71 Hz"
pins = { plus = "third", minus = "gnd" }

[parts.R3]
kind = "resistor"
value = "400 Ω"
pins = { 1 = "third", 2 = "gnd" }

[parts.R2]
kind = "resistor"
value = "400 Ω"
pins = { 1 = "other", 2 = "gnd" }
"""
    verdict = judged(text("idle_power", "1 W", POWER_OF_R1, more=second)).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.why.startswith(
        "the power is not known: no waveform was found for “plugged in”: the sources"
    )


@pytest.fixture(scope="module")
def heater() -> Analysis:
    return analyse(dossier_from_text(text("idle_power", "1 W", POWER_OF_R1)))


def test_a_supposed_circuit_is_asked_over_its_own_period(heater: Analysis) -> None:
    other = circuit_of(dossier_from_text(text("idle_power", "1 W", POWER_OF_R1).replace("400 Ω", "900 Ω")))
    (one,) = supposed_claims(heater, other).claims
    assert 120.0**2 / 900.0 == pytest.approx(found(one), rel=1e-3)


def test_a_reading_of_ac_moves_by_as_much_as_its_effective_value() -> None:
    reading = '\n[readings.amps]\nsituation = "plugged"\ncurrent = "R1"\nmeasures = "current ac"\nshown = "310 mA ± 3 mA"\n'
    written = text("current", "0.3 A", 'current = "amps"') + reading
    analysis = analyse(dossier_from_text(written))
    other = circuit_of(dossier_from_text(written.replace("400 Ω", "600 Ω")))
    (one,) = supposed_claims(analysis, other).claims
    assert 0.310 + 120.0 / 600.0 - 120.0 / 400.0 == pytest.approx(found(one), abs=3e-4)
