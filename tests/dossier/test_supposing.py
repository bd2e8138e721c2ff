"""Claims as they would be with another circuit; expected values from Ohm's law by hand."""

from dataclasses import replace

import pytest

from lidoff.circuit import Circuit
from lidoff.dossier import Analysis, analyse, circuit_of, dossier_from_text
from lidoff.dossier.supposing import supposed_claims

HEATER = """format = 2
[device]
title = "heater"

[situations.on]
set = { J1 = "5 V" }

[readings.current]
situation = "on"
current = "R1"
shown = "52 mA ± 1 mA"

[readings.scale]
quantity = "mass"
shown = "21 g ± 1 g"

[claims.current]
kind = "current"
says = "80 mA"
value = "80 mA"
sense = "at least"
from = { current = "current" }

[claims.solved]
kind = "power_input"
says = "0.4 W"
value = "0.4 W"
sense = "at least"
from = { power = { situation = "on", power = "J1" } }

[claims.mass]
kind = "mass"
says = "25 g"
value = "25 g"
sense = "at most"
from = { mass = "scale" }

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = { plus = "vcc", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "100 Ω"
pins = { 1 = "vcc", 2 = "gnd" }
"""


@pytest.fixture(scope="module")
def heater() -> Analysis:
    return analyse(dossier_from_text(HEATER))


def with_resistance(analysis: Analysis, ohms: float) -> Circuit:
    circuit = circuit_of(analysis.dossier)
    parts = (
        replace(part, values={"resistance": ohms}) if part.reference == "R1" else part
        for part in circuit.parts
    )
    return replace(circuit, parts=tuple(parts))


def verdicts(analysis: Analysis, ohms: float) -> dict[str, str]:
    found = supposed_claims(analysis, with_resistance(analysis, ohms))
    return {result.claim.name: result.verdict.words for result in found.claims}


def test_a_reading_moves_by_as_much_as_its_prediction(heater: Analysis) -> None:
    found = supposed_claims(heater, with_resistance(heater, 50.0))
    before, after = found.readings["current"]
    assert after is not None
    # 5 V over 100 Ω and over 50 Ω: 50 mA and 100 mA, so that 52 mA become 102 mA.
    assert pytest.approx(0.052) == before.value
    assert pytest.approx(0.102) == after.value
    assert pytest.approx(before.uncertainty) == after.uncertainty


def test_claims_are_judged_by_the_moved_readings_and_the_changed_circuit(heater: Analysis) -> None:
    real = {result.claim.name: result.verdict.words for result in heater.claims}
    assert {"current": "not borne out", "solved": "not borne out", "mass": "borne out"} == real
    assert {"current": "borne out", "solved": "borne out", "mass": "borne out"} == verdicts(heater, 50.0)


def test_an_unchanged_circuit_changes_nothing(heater: Analysis) -> None:
    found = supposed_claims(heater, heater.circuit)
    assert {} == found.readings
    assert list(heater.claims) == list(found.claims)


def test_what_the_changed_circuit_does_not_tell_cannot_be_told(heater: Analysis) -> None:
    without = replace(heater.circuit, parts=tuple(p for p in heater.circuit.parts if p.reference != "R1"))
    found = supposed_claims(heater, without)
    assert found.readings["current"][1] is None
    told = {result.claim.name: result.verdict.words for result in found.claims}
    assert ("cannot tell", "borne out") == (told["current"], told["mass"])
