from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Part, Situation, Spread, predict_spread, strongest
from tests.circuit.build import circuit, resistor, supply

PLAIN = Situation(name="plain")


def _divider(half_width: float) -> tuple[Part, ...]:
    limits = {"resistance": Spread(half_width=half_width)}
    return (
        supply("V", "a", 6.0),
        Part(
            reference="R1",
            kind="resistor",
            pins={"1": "a", "2": "t"},
            values={"resistance": 1e3},
            spreads=limits,
        ),
        Part(
            reference="R2",
            kind="resistor",
            pins={"1": "t", "2": "gnd"},
            values={"resistance": 2e3},
            spreads=limits,
        ),
    )


def test_divider_spreads_as_its_closed_form() -> None:
    spreading = predict_spread(circuit(*_divider(0.05)), (PLAIN,))
    found = spreading.of(lambda s: s.voltage("t"))
    # dV/V = (1 − k)·(dR2/R2 − dR1/R1) with k = R2/(R1 + R2); each relative deviation is 0.05/√3
    expected = 6.0 * (2 / 3) * (1 / 3) * np.sqrt(2.0) * 0.05 / np.sqrt(3.0)
    assert found.value[0] == pytest.approx(4.0, rel=1e-9)
    assert found.uncertainty[0] == pytest.approx(expected, rel=2e-3)
    assert list(strongest(found, spreading.parameters, 0).values()) == pytest.approx([0.5, 0.5], abs=0.01)


def test_wider_tolerance_never_narrows_the_spread() -> None:
    widths = [
        predict_spread(circuit(*_divider(half)), (PLAIN,)).of(lambda s: s.voltage("t")).uncertainty[0]
        for half in (0.01, 0.02, 0.05, 0.1)
    ]
    assert widths == sorted(widths)


def test_each_situation_has_its_own_prediction() -> None:
    low = Situation(name="low", settings={"V": {"voltage": 3.0}})
    found = predict_spread(circuit(*_divider(0.05)), (PLAIN, low)).of(lambda s: s.voltage("t"))
    assert found.value == pytest.approx([4.0, 2.0])
    assert found.uncertainty[1] == pytest.approx(found.uncertainty[0] / 2.0, rel=1e-9)


def test_a_part_without_spread_adds_none() -> None:
    spreading = predict_spread(circuit(*_divider(0.0)), (PLAIN,))
    assert spreading.parameters == ()
    assert spreading.of(lambda s: s.voltage("t")).uncertainty[0] == 0.0


def test_limits_of_a_normal_spread_are_two_deviations() -> None:
    assert Spread(half_width=0.1, normal=True).standard(50.0) == pytest.approx(2.5)


def test_resistor_keeps_its_usual_five_per_cent() -> None:
    spreading = predict_spread(circuit(supply("V", "a", 1.0), resistor("R", "a", "gnd", 100.0)), (PLAIN,))
    assert ("R", "resistance") in spreading.parameters


def test_a_spread_that_only_the_solvers_last_digits_make_is_none() -> None:
    # 1 kΩ ± 5 % before an open end: only the least conductance draws through it
    limits = {"resistance": Spread(half_width=0.05)}
    end = Part(
        reference="R1", kind="resistor", pins={"1": "a", "2": "t"}, values={"resistance": 1e3}, spreads=limits
    )
    found = predict_spread(circuit(supply("V", "a", 6.0), end), (PLAIN,)).of(lambda s: s.voltage("t"))
    assert 6.0 == pytest.approx(found.value[0])
    assert 0.0 == found.uncertainty[0]
