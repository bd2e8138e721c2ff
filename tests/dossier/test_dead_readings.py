"""Readings without power beside what the circuit should show."""

from __future__ import annotations

from typing import Any

import pytest

from lidoff.dossier import Analysis, analyse, analysis_json, dossier_from_text
from lidoff.evidence import Comparison

CIRCUIT = """
format = 2
ground = "gnd"
[device]
title = "a lamp"
[parts.V1]
kind = "dc_supply"
value = "9.0 V ± 1 %"
pins = { plus = "rail", minus = "gnd" }
[parts.R1]
kind = "resistor"
value = "10 kΩ ± 1 %"
pins = { 1 = "rail", 2 = "mid" }
[parts.R2]
kind = "resistor"
value = "1 kΩ ± 1 %"
pins = { 1 = "mid", 2 = "gnd" }
[parts.R3]
kind = "resistor"
value = "1 kΩ ± 1 %"
pins = { 1 = "mid", 2 = "low" }
[parts.D1]
kind = "diode"
pins = { anode = "low", cathode = "gnd" }
[situations.on]
title = "switched on"
[situations.off]
"""


def analysed(about: str, shown: str, more: str = "") -> Analysis:
    reading = f'[readings.r]\n{about}\nshown = "{shown}"\n{more}'
    return analyse(dossier_from_text(CIRCUIT + reading))


def compared(about: str, shown: str) -> Comparison:
    (found,) = analysed(about, shown).comparisons
    return found


@pytest.mark.parametrize(
    ("about", "shown", "expected"),
    [
        # In circuit the ohm range's 0.1 V leaves the diode shut, so that R2 alone stands beside R1.
        ('resistance = "mid"', "0.998 kΩ ± 0.01 kΩ", 1.0e3),
        ('resistance = "rail"', "11.0 kΩ ± 0.1 kΩ", 11.0e3),
        ('resistance = "rail"\nagainst = "mid"', "10.0 kΩ ± 0.1 kΩ", 10.0e3),
        ('resistance = "rail"\nagainst = "low"', "11.0 kΩ ± 0.1 kΩ", 11.0e3),
    ],
)
def test_resistors_in_circuit_are_predicted_by_series_and_parallel(
    about: str, shown: str, expected: float
) -> None:
    found = compared(about, shown)
    assert found.predicted.value == pytest.approx(expected, rel=2e-3)
    assert 0.5e-2 < found.predicted.expanded / expected < 4e-2
    assert found.fit == "agrees"
    assert found.causes


def test_a_wrong_resistance_is_a_misfit_with_its_finding() -> None:
    analysis = analysed('resistance = "mid"', "9.9 kΩ ± 0.1 kΩ")
    (found,) = analysis.comparisons
    assert found.fit == "misfit"
    assert next(iter(found.causes)) == "R2.resistance"
    assert any(
        "resistance from mid to the ground, without power was read as" in one.what
        for one in analysis.findings
    )


def test_the_diode_range_meets_the_diode_one_way_and_the_resistors_the_other() -> None:
    forward = compared('diode = "low"', "0.60 V ± 0.02 V")
    assert 0.4 < forward.predicted.value < 0.8
    assert forward.fit == "agrees"
    # The other way round the meter's 1 mA flows through R3 and R2 in series, but may be half or twice as much.
    backward = compared('diode = "gnd"\nagainst = "low"', "1.2 V ± 0.02 V")
    assert backward.predicted.value == pytest.approx(2.0, rel=0.01)
    assert backward.predicted.uncertainty == pytest.approx(1.0, rel=0.05)
    assert backward.fit == "agrees"


def test_over_range_agrees_with_an_open_path_alone() -> None:
    open_path = CIRCUIT.replace('2 = "gnd" }', '2 = "loose" }').replace('anode = "low"', 'anode = "far"')
    reading = '[readings.r]\nresistance = "rail"\nshown = "OL"\n'
    (found,) = analyse(dossier_from_text(open_path + reading)).comparisons
    assert (found.over_range, found.measured.over_range, found.fit) == (True, True, "agrees")
    closed = compared('resistance = "rail"', "OL")
    assert (closed.over_range, closed.fit) == (False, "misfit")
    number = '[readings.r]\nresistance = "rail"\nshown = "11.0 kΩ"\n'
    (lost,) = analyse(dossier_from_text(open_path + number)).comparisons
    assert (lost.over_range, lost.fit) == (True, "misfit")


def test_numbers_count_in_the_misfit_of_all_readings() -> None:
    fits = analysed('resistance = "mid"', "1.0 kΩ ± 0.01 kΩ").misfit
    strays = analysed('resistance = "mid"', "1.2 kΩ ± 0.01 kΩ").misfit
    signs = analysed('resistance = "rail"', "OL").misfit
    assert fits is not None
    assert strays is not None
    assert signs is not None
    assert (fits.readings, strays.readings, signs.readings) == (1, 1, 0)
    assert fits.chi_square < 1.0 < 50.0 < strays.chi_square
    assert strays.parts[0].reference == "R2"


def test_a_claim_cannot_rest_on_a_reading_without_a_number() -> None:
    claim = '[claims.c]\nkind = "voltage"\nsays = "1 V"\nvalue = "1 V"\nfrom = { voltage = "r" }\n'
    analysis = analysed('diode = "rail"', "OL", claim)
    assert "shows no number" in analysis.claims[0].sum


def test_programs_get_what_was_over_range() -> None:
    told: Any = analysis_json(analysed('resistance = "rail"', "OL"))
    assert told["readings"][0]["over_range"] is True
    assert told["comparisons"][0]["over_range"] == {"read": True, "predicted": False}


def test_an_outlier_among_repeats_keeps_a_reading_from_the_circuit() -> None:
    reading = '[readings.r]\nresistance = "mid"\nshown = ["99.8 kΩ", "0.9980 kΩ", "0.9981 kΩ"]\n'
    analysis = analyse(dossier_from_text(CIRCUIT + reading))
    (left,) = analysis.uncompared
    assert () == analysis.comparisons
    assert left.why.startswith("it is not to be relied on: 99.8 kΩ (repeat 1 of 3) is an outlier")
