"""What a meter does to the circuit: predicted, and taken off again for the claims."""

import math

import pytest

from lidoff.dossier import Analysis, analyse, dossier_from_text, fit_of
from lidoff.evidence import CannotTell

DIVIDER = """
[device]
title = "divider"

[situations.on]
set = {{ J1 = "5 V" }}

[instruments.meter]
input_resistance = "10 MΩ"

[[instruments.meter.ranges]]
measures = "voltage dc"
up_to = "6 V"
resolution = "1 mV"
accuracy = "±(0.1 %)"

[[instruments.meter.ranges]]
measures = "current dc"
up_to = "60 mA"
resolution = "1 µA"
accuracy = "±(0.2 %)"
burden = "{burden}"

[readings.tap]
situation = "on"
instrument = "meter"
voltage = "tap"
shown = "{shown}"

[readings.drain]
situation = "on"
instrument = "meter"
current = "R3"
shown = "{drain}"
measures = "current dc"

[claims.half]
kind = "voltage"
says = "2.5 V at the tap"
value = "2.5 V"
tolerance = "1 %"
from = {{ voltage = "tap" }}

[claims.drain]
kind = "current"
says = "50 mA"
value = "50 mA"
tolerance = "1 %"
from = {{ current = "drain" }}

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = {{ plus = "top", minus = "gnd" }}

[parts.R1]
kind = "resistor"
value = "1 MΩ ± 0 Ω"
pins = {{ 1 = "top", 2 = "tap" }}

[parts.R2]
kind = "resistor"
value = "1 MΩ ± 0 Ω"
pins = {{ 1 = "tap", 2 = "gnd" }}

[parts.R3]
kind = "resistor"
value = "100 Ω ± 0 Ω"
pins = {{ 1 = "top", 2 = "gnd" }}
"""
# 5 V through 1 MΩ into 1 MΩ beside the meter's 10 MΩ; 5 V through 100 Ω and a burden of 1.8 Ω
LOADED = 5.0 * (1 / (1 + 1 / 10)) / (1 + 1 / (1 + 1 / 10))
BURDENED = 5.0 / 101.8


def analysed(burden: str = "1.8 mV/mA") -> Analysis:
    text = DIVIDER.format(burden=burden, shown=f"{LOADED:.3f} V", drain=f"{1000 * BURDENED:.3f} mA")
    return analyse(dossier_from_text(text))


def test_a_voltmeter_lowers_what_is_predicted_at_a_tap() -> None:
    comparison = next(one for one in analysed().comparisons if one.reading == "tap")
    assert LOADED == pytest.approx(
        comparison.predicted.value, abs=5e-6
    )  # a tiny leakage is part of every solution
    assert "agrees" == comparison.fit


def test_an_ammeter_lowers_what_is_predicted_through_a_lead() -> None:
    comparison = next(one for one in analysed().comparisons if one.reading == "drain")
    assert BURDENED == pytest.approx(comparison.predicted.value, rel=1e-6)


@pytest.mark.parametrize(("name", "truth"), [("half", 2.5), ("drain", 0.05)])
def test_a_claim_is_judged_by_the_reading_less_what_the_meter_did(name: str, truth: float) -> None:
    result = next(one for one in analysed().claims if one.claim.name == name)
    assert result.found is not None
    assert truth == pytest.approx(result.found.value, rel=1e-4)
    assert any("was corrected by +" in note for note in result.notes)


def test_the_correction_widens_the_uncertainty_by_a_tenth_of_itself() -> None:
    result = next(one for one in analysed().claims if one.claim.name == "half")
    reading = next(one for one in analysed().readings if one.name == "tap")
    assert result.found is not None
    load = 0.1 * (2.5 - LOADED) / math.sqrt(3.0)
    assert math.hypot(reading.quantity.uncertainty, load) == pytest.approx(result.found.uncertainty, rel=1e-3)


def test_readings_themselves_stay_as_they_were_read() -> None:
    reading = next(one for one in analysed().readings if one.name == "tap")
    assert LOADED == pytest.approx(reading.quantity.value, abs=5e-4)


def test_a_burden_that_is_next_to_nothing_is_not_corrected() -> None:
    result = next(one for one in analysed(burden="1 µΩ").claims if one.claim.name == "drain")
    assert not any("corrected" in note for note in result.notes)


def test_a_reading_that_the_meter_does_not_follow_leaves_its_claim_open() -> None:
    text = DIVIDER.format(burden="0.1 Ω", shown=f"{LOADED:.3f} V", drain="49.9 mA").replace(
        'burden = "0.1 Ω"', 'crest_factor = "3"'
    )
    text = text.replace('measures = "current dc"\n\n', 'measures = "current dc"\ncrest_factor = "4"\n\n')
    analysis = analyse(dossier_from_text(text))
    verdict = next(one for one in analysis.claims if one.claim.name == "drain").verdict
    assert isinstance(verdict, CannotTell)
    assert "the crest factor of 4 is above 3" in verdict.why
    assert "reading doubtful" in [finding.name for finding in analysis.findings]


def test_two_ammeters_never_stand_in_one_lead_at_once() -> None:
    # Each reading had the one meter in the circuit: as many readings as there may be of a lead, and at its other end.
    text = DIVIDER.format(burden="1.8 mV/mA", shown=f"{LOADED:.3f} V", drain=f"{1000 * BURDENED:.3f} mA")
    more = "".join(
        f'[readings.{name}]\nsituation = "on"\ninstrument = "meter"\ncurrent = "{what}"\nshown = "49.1 mA"\n'
        for name, what in (("again", "R3"), ("first", "R3.1"), ("second", "R3.2"))
    )
    analysis = analyse(dossier_from_text(f"{text}\n{more}"))
    predicted = {one.reading: abs(one.predicted.value) for one in analysis.comparisons}
    for name in ("drain", "again", "first", "second"):
        assert BURDENED == pytest.approx(predicted[name], rel=1e-6), name


CHARGER = """
[device]
title = "charger"

[situations.charging]
set = { BT1 = { state_of_charge = "40 %" } }

[instruments.meter]
[[instruments.meter.ranges]]
measures = "current dc"
up_to = "600 mA"
resolution = "0.1 mA"
accuracy = "±(1.2 % + 5)"
burden = "1.2 Ω"

[readings.charge]
situation = "charging"
instrument = "meter"
current = "U1.battery"
shown = "-331.0 mA"

[parts.J1]
kind = "dc_supply"
value = "5.05 V ± 1 %"
resistance = "0.15 Ω"
pins = { plus = "vusb", minus = "gnd" }

[parts.U1]
kind = "linear_charger"
pins = { input = "vusb", ground = "gnd", battery = "bat", program = "prog" }

[parts.R1]
kind = "resistor"
value = "2k4 ± 1 %"
pins = { 1 = "prog", 2 = "gnd" }

[parts.BT1]
kind = "cell"
chemistry = "lithium-ion"
capacity = "2200 mAh"
internal_resistance = "80 mΩ ± 30 %"
pins = { plus = "bat", minus = "gnd" }
"""
# The charger holds 0.5 A; 1.2 Ω in its output would drop 0.6 V and bring it to the voltage at which it ends, 4.2 V less some
# 3.79 V of the cell at 40 %, over 1.28 Ω: about 0.33 A.


def test_an_ammeter_that_takes_a_charger_to_its_end_is_followed_there() -> None:
    comparison = analyse(dossier_from_text(CHARGER)).comparisons[0]
    assert -0.33 == pytest.approx(comparison.predicted.value, abs=0.02)
    assert next(iter(comparison.causes)) == "U1.full_voltage"
    idle = (share for cause, share in comparison.causes.items() if cause.startswith(("U1.program", "R1.")))
    assert sum(idle) < 0.01


def test_one_reading_has_one_measure_wherever_it_is_held_against_the_circuit() -> None:
    dossier = dossier_from_text(CHARGER)
    analysis = analyse(dossier)
    fit = fit_of(dossier)
    assert analysis.misfit is not None
    assert fit.chi_square < 1.0
    assert fit.chi_square == pytest.approx(analysis.misfit.chi_square, abs=0.05)
    assert fit.strains[0].score == pytest.approx(-analysis.comparisons[0].score, abs=0.05)


CLAIMED = """
[claims.charge]
kind = "charge_current"
says = "charges at 500 mA"
value = "500 mA"
from = { current = "charge" }
"""


def test_a_sum_shows_what_was_read_and_what_was_added_for_the_meter() -> None:
    [result] = analyse(dossier_from_text(CHARGER + CLAIMED)).claims
    assert result.sum.startswith("331 mA read + 17")
    assert " mA for the meter = 50" in result.sum
    assert ", without its sign; " in result.sum


def test_a_reading_that_the_circuit_does_not_explain_is_not_corrected_by_it() -> None:
    text = (CHARGER + CLAIMED).replace("-331.0 mA", "492.3 mA")
    [result] = analyse(dossier_from_text(text)).claims
    assert result.sum.startswith("492 mA ± 7 mA as read; ")
    [note] = [one for one in result.notes if "was not corrected" in one]
    assert "standard uncertainties from what the circuit as recorded should show" in note
