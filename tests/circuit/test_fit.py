from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Circuit, Free, Observation, Situation, fit, operating_point
from lidoff.errors import ImpossibleValue, UnknownName
from tests.circuit.build import circuit, led, resistor, supply

FULL = Situation(name="full")
LOW = Situation(name="low", settings={"V": {"voltage": 4.0}})


def _made(ohms: float = 150.0, drop: float = 2.0) -> Circuit:
    return circuit(
        supply("V", "a", 5.0, ohms=0.2),
        resistor("R", "a", "k", ohms),
        led("D", "k", "gnd", forward_drop=drop),
        resistor("S", "a", "gnd", 1e4),
    )


def _observe(
    name: str, situation: Situation, net: str, truth: Circuit, error: float, uncertainty: float
) -> Observation:
    value = float(operating_point(truth, situations=(situation,)).voltage(net)[0]) + error
    return Observation(
        name=name,
        situation=situation.name,
        quantity=lambda s: s.voltage(net),
        value=value,
        uncertainty=uncertainty,
    )


def test_linear_fit_is_the_closed_form_weighted_mean() -> None:
    # a voltage read three times on a supply of unknown voltage: the precision-weighted mean with its prior
    readings = [(5.1, 0.02), (5.06, 0.01), (5.2, 0.1)]
    prior, width = 5.0, 0.05
    weights = np.array([1 / width**2, *(1 / u**2 for _, u in readings)])
    values = np.array([prior, *(v for v, _ in readings)])
    made = circuit(supply("V", "a", prior), resistor("R", "a", "gnd", 1e3))
    found = fit(
        made,
        [
            Observation(
                name=str(k), situation="full", quantity=lambda s: s.voltage("a"), value=v, uncertainty=u
            )
            for k, (v, u) in enumerate(readings)
        ],
        [Free(reference="V", parameter="voltage", expected=prior, deviation=width)],
        situations=(FULL,),
    )
    assert found.values[0] == pytest.approx((weights * values).sum() / weights.sum(), rel=1e-7)
    assert found.covariance[0, 0] ** 0.5 == pytest.approx(weights.sum() ** -0.5, rel=1e-5)


def test_hidden_values_are_recovered() -> None:
    truth = _made(ohms=187.0, drop=2.13)
    readings = [
        Observation(
            name="i",
            situation="full",
            quantity=lambda s: s.current("D"),
            value=float(operating_point(truth).current("D")[0]),
            uncertainty=2e-5,
        ),
        _observe("k full", FULL, "k", truth, 0.0, 1e-3),
        _observe("k low", LOW, "k", truth, 0.0, 1e-3),
    ]
    free = [
        Free(reference="R", parameter="resistance", expected=150.0, deviation=0.5, logarithmic=True),
        Free(reference="D", parameter="forward_drop", expected=2.0, deviation=0.2),
    ]
    found = fit(_made(), readings, free, situations=(FULL, LOW))
    assert np.abs(found.values - [187.0, 2.13]).max() / 187.0 < 5e-3
    assert (np.abs(found.values - [187.0, 2.13]) < 2.5 * np.sqrt(np.diag(found.covariance))).all()
    assert np.abs(found.residuals).max() < 0.5


def test_stated_uncertainty_covers_the_truth_at_its_rate() -> None:
    rng = np.random.default_rng(20)
    hits, runs = 0, 60
    for _ in range(runs):
        ohms, drop = (
            float(150.0 * np.exp(0.05 * rng.standard_normal())),
            float(2.0 + 0.1 * rng.standard_normal()),
        )
        truth = _made(ohms=ohms, drop=drop)
        readings = [
            _observe("k", FULL, "k", truth, 0.004 * rng.standard_normal(), 0.004),
            _observe("k low", LOW, "k", truth, 0.004 * rng.standard_normal(), 0.004),
        ]
        free = [
            Free(reference="R", parameter="resistance", expected=150.0, deviation=0.05, logarithmic=True),
            Free(reference="D", parameter="forward_drop", expected=2.0, deviation=0.1),
        ]
        found = fit(_made(), readings, free, situations=(FULL, LOW))
        hits += abs(found.values[0] - ohms) < 2.0 * found.covariance[0, 0] ** 0.5
    assert 0.88 <= hits / runs <= 1.0


def test_parameter_that_no_reading_sees_is_told_as_undetermined() -> None:
    readings = [_observe("k", FULL, "k", _made(), 0.0, 1e-3)]
    free = [
        Free(reference="D", parameter="forward_drop", expected=2.0, deviation=0.2),
        Free(reference="S", parameter="resistance", expected=1e4, deviation=0.05, logarithmic=True),
    ]
    found = fit(_made(), readings, free, situations=(FULL,))
    ((name, weight), *rest) = found.undetermined[0]
    assert name == "S.resistance"
    assert abs(weight) == pytest.approx(1.0, abs=1e-3)
    assert rest == []
    assert len(found.undetermined) == 1


def test_pulls_count_in_prior_deviations() -> None:
    readings = [
        _observe("a", FULL, "a", circuit(supply("V", "a", 5.3), resistor("R", "a", "gnd", 1e3)), 0.0, 1e-4)
    ]
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))
    found = fit(
        made,
        readings,
        [Free(reference="V", parameter="voltage", expected=5.0, deviation=0.1)],
        situations=(FULL,),
    )
    assert found.pulls[0] == pytest.approx(3.0, rel=1e-3)


def test_reading_without_uncertainty_is_refused() -> None:
    reading = Observation(
        name="x", situation="full", quantity=lambda s: s.voltage("a"), value=1.0, uncertainty=0.0
    )
    with pytest.raises(ImpossibleValue, match="reading 'x' has no uncertainty"):
        fit(_made(), [reading], [], situations=(FULL,))


def test_reading_of_an_unknown_situation_is_refused() -> None:
    reading = Observation(
        name="x", situation="ful", quantity=lambda s: s.voltage("a"), value=1.0, uncertainty=1.0
    )
    with pytest.raises(UnknownName, match="unknown situation; did you mean 'full'"):
        fit(_made(), [reading], [], situations=(FULL,))
