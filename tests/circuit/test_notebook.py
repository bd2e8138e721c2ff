from __future__ import annotations

import numpy as np
import pytest

from lidoff.circuit import Situation, operating_point, waveform
from lidoff.errors import UnknownName
from tests.circuit.build import capacitor, circuit, resistor, supply


def test_solution_is_indexed_by_net_and_by_part() -> None:
    found = operating_point(circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3)))
    assert found["a"][0] == pytest.approx(5.0)
    assert found["R"][0] == pytest.approx(5e-3)
    with pytest.raises(UnknownName, match="'Q' is neither a net nor a part"):
        found["Q"]


def test_solution_shows_itself_with_units_and_escaped_names() -> None:
    made = circuit(supply("V", "<b>", 5.0), resistor("R", "<b>", "gnd", 1e3))
    shown = operating_point(made, situations=(Situation(name="a & b"),))._repr_html_()
    assert "<th scope='row'>&lt;b&gt;</th><td>5 V</td>" in shown
    assert "a &amp; b" in shown
    assert "<td>5 mA</td>" in shown


def test_solution_frame_has_a_row_a_sample() -> None:
    pytest.importorskip("pandas")
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 1e3))
    frame = operating_point(made, variations={("V", "voltage"): np.array([1.0, 2.0])}).frame()
    assert frame.shape == (2, 2 + 2 + 2)
    assert list(frame["current", "R"]) == pytest.approx([1e-3, 2e-3])


def test_waveform_frame_is_indexed_by_time() -> None:
    pytest.importorskip("pandas")
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    found = waveform(made, 1e-3, from_rest=True)
    assert found.frame().index[-1] == pytest.approx(1e-3)
    assert (found["c"] == found.voltage("c")).all()


def test_waveform_plots_voltages_and_currents() -> None:
    matplotlib = pytest.importorskip("matplotlib")
    matplotlib.use("Agg")
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "c", 1e3), capacitor("C", "c", "gnd", 1e-6))
    axes = waveform(made, 1e-3, from_rest=True).plot("c", "R")
    assert axes.get_ylabel() == "voltage [V]"
    assert axes.get_lines()[0].get_label() == "c"
