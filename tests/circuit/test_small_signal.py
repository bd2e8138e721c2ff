from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import corner_frequencies, impedance, operating_point, transfer
from lidoff.errors import ImpossibleValue, UnknownName
from tests.circuit.build import capacitor, circuit, diode, inductor, npn, resistor, supply


def test_low_pass_follows_its_closed_form() -> None:
    made = circuit(supply("V", "a", 3.0), resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    hertz = np.logspace(0, 5, 30)
    found = transfer(made, source="V", output="c", frequencies=hertz)
    assert found.values == pytest.approx(1.0 / (1.0 + 2j * np.pi * hertz * 1e-3), rel=1e-6)
    assert found.magnitude[0] == pytest.approx(1.0, abs=0.001)


def test_impedance_of_a_series_circuit() -> None:
    made = circuit(
        resistor("R", "a", "b", 10.0), inductor("L", "b", "c", 1e-3), capacitor("C", "c", "gnd", 1e-6)
    )
    hertz = np.array([100.0, 5032.92, 1e5])
    omega = 2.0 * np.pi * hertz
    found = impedance(made, net="a", frequencies=hertz)
    assert found.values == pytest.approx(10.0 + 1j * (omega * 1e-3 - 1.0 / (omega * 1e-6)), rel=1e-4)


def test_small_signal_resistance_of_a_diode_is_its_slope() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R", "a", "k", 1e3),
        diode("D", "k", "gnd", saturation_current=1e-12, emission=1.0, series_resistance=0.0),
    )
    current = operating_point(made).current("D")[0]
    slope = 0.02569257912108585 / (current + 1e-12)
    expected = 1.0 / (1.0 / slope + 1e-3)
    found = impedance(made, net="k", frequencies=np.zeros(1)).values[0]
    assert found.real == pytest.approx(expected, rel=1e-4)


def test_common_emitter_stage_amplifies_as_its_transconductance() -> None:
    made = circuit(
        supply("V", "a", 9.0),
        supply("B", "b", 0.65),
        resistor("R", "a", "c", 1e3),
        npn("Q", "c", "b", "gnd", emission=1.0),
    )
    collector = operating_point(made).pin_current("Q", "collector")[0]
    found = transfer(made, source="B", output="c", frequencies=np.zeros(1)).values[0].real
    assert found == pytest.approx(-collector / 0.02569257912108585 * 1e3, rel=2e-2)


def test_corner_frequencies_are_those_of_each_time_constant() -> None:
    made = circuit(
        supply("V", "a", 1.0),
        resistor("R1", "a", "c", 1e3),
        capacitor("C1", "c", "gnd", 1e-6),
        resistor("R2", "a", "d", 1e5),
        capacitor("C2", "d", "gnd", 1e-6),
    )
    assert corner_frequencies(made).real == pytest.approx([-10.0, -1000.0], rel=1e-5)


def test_a_negative_frequency_is_refused() -> None:
    made = circuit(resistor("R", "a", "gnd", 1.0))
    with pytest.raises(ImpossibleValue, match="a frequency is below zero"):
        impedance(made, net="a", frequencies=np.array([-1.0]))


def test_an_unknown_output_is_refused() -> None:
    made = circuit(supply("V", "a", 1.0), resistor("R", "a", "gnd", 1.0))
    with pytest.raises(UnknownName, match="there is no net 'z'"):
        transfer(made, source="V", output="z", frequencies=np.zeros(1))


def test_a_resistor_is_no_source() -> None:
    made = circuit(supply("V", "a", 1.0), resistor("R", "a", "gnd", 1.0))
    with pytest.raises(UnknownName, match="R is no source of voltage or current"):
        transfer(made, source="R", output="a", frequencies=np.zeros(1))
