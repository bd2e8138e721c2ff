import json
from dataclasses import replace

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.dossier import (
    Analysis,
    Dossier,
    SolvedSituation,
    analyse,
    analysis_json,
    analysis_schema,
    dossier_from_text,
    dossier_text,
)
from tests.properties.generators import solvable_dossiers

A_FEW = settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
VALIDATOR = jsonschema.Draft202012Validator(analysis_schema())
LEAK = 1e-8  # [W] what the solver's own conductance at every net, about 1e-12 S, takes of a few tens of volts


def solved(analysis: Analysis) -> list[SolvedSituation]:
    assert all(isinstance(result, SolvedSituation) for result in analysis.situations)
    return [result for result in analysis.situations if isinstance(result, SolvedSituation)]


def renamed(dossier: Dossier) -> Dossier:
    """The same circuit with a letter before each net but the ground."""
    parts = tuple(
        replace(part, pins={pin: net if net == "gnd" else f"z{net}" for pin, net in part.pins.items()})
        for part in dossier.parts
    )
    return replace(dossier, parts=parts)


@A_FEW
@given(solvable_dossiers())
def test_power_delivered_is_power_taken(dossier: Dossier) -> None:
    for result in solved(analyse(dossier)):
        powers = [state.power.value for state in result.parts.values()]
        assert sum(powers) == pytest.approx(0.0, abs=1e-6 * max(abs(power) for power in powers) + LEAK)


@A_FEW
@given(solvable_dossiers(), st.randoms(use_true_random=False))
def test_the_order_of_parts_changes_no_voltage(dossier: Dossier, random: object) -> None:
    parts = list(dossier.parts)
    random.shuffle(parts)  # type: ignore[attr-defined]
    before, after = analyse(dossier), analyse(replace(dossier, parts=tuple(parts)))
    for one, other in zip(solved(before), solved(after), strict=True):
        for net, voltage in one.nets.items():
            assert other.nets[net].value == pytest.approx(voltage.value, rel=1e-6, abs=1e-6)


@A_FEW
@given(solvable_dossiers())
def test_the_names_of_nets_change_no_voltage(dossier: Dossier) -> None:
    for one, other in zip(solved(analyse(dossier)), solved(analyse(renamed(dossier))), strict=True):
        for net, voltage in one.nets.items():
            there = other.nets[net if net == "gnd" else f"z{net}"]
            assert there.value == pytest.approx(voltage.value, rel=1e-6, abs=1e-6)
            assert there.uncertainty == pytest.approx(voltage.uncertainty, rel=1e-3, abs=1e-6)


@A_FEW
@given(solvable_dossiers())
def test_saving_and_loading_changes_no_number(dossier: Dossier) -> None:
    again = analyse(dossier_from_text(dossier_text(dossier)))
    assert analysis_json(analyse(dossier)) == analysis_json(again)


@A_FEW
@given(solvable_dossiers())
def test_every_analysis_fits_its_schema(dossier: Dossier) -> None:
    document = analysis_json(analyse(dossier))
    VALIDATOR.validate(json.loads(json.dumps(document, allow_nan=False)))


@A_FEW
@given(solvable_dossiers())
def test_a_reading_of_what_is_predicted_agrees(dossier: Dossier) -> None:
    first = solved(analyse(dossier))[0]
    net = max(first.nets, key=lambda name: abs(first.nets[name].value))
    voltage = first.nets[net].value
    text = f'\n[readings.r]\nsituation = "{first.name}"\nvoltage = "{net}"\nshown = "{voltage!r} V ± 1 %"\n'
    assert analyse(dossier_from_text(dossier_text(dossier) + text)).comparisons[0].fit == "agrees"
