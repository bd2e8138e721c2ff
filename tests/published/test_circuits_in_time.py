"""Printed results on circuits in time and over frequency; sources and digits in data/circuits_in_time.toml.

Left out, being no results of a circuit but rules of thumb or sums on paper: t-030 (ripple rule of thumb) and t-033 (0.7·RC
rule). Of t-027 only the figures that do not rest on the linear estimate of the ripple are compared, with the exact values
that the data file derives beside them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq

from lidoff.circuit import (
    Circuit,
    Tolerance,
    Waveforms,
    corner_frequencies,
    figures,
    impedance,
    operating_point,
    periodic_steady_state,
    transfer,
    waveform,
)
from tests.circuit.build import capacitor, circuit, diode, inductor, mains, resistor, supply

Case = Mapping[str, Any]
FINE = Tolerance(relative=1e-8, voltage=1e-11, current=1e-15)
CASES: dict[str, Case] = {
    case["id"]: case
    for case in tomllib.loads(
        (Path(__file__).parent / "data" / "circuits_in_time.toml").read_text(encoding="utf-8")
    )["case"]
}


def _inputs(case_id: str) -> Mapping[str, float]:
    found: Mapping[str, float] = CASES[case_id]["inputs"]
    return found


def _meets(case_id: str, quantity: str, found: float) -> None:
    row = next(row for row in CASES[case_id]["expected"] if row["quantity"] == quantity)
    assert found == pytest.approx(row["value"], rel=0.0, abs=row["tol"])


def _charging(volts: float, ohms: float, farads: float, until: float) -> Waveforms:
    return waveform(
        circuit(supply("V", "a", volts), resistor("R", "a", "c", ohms), capacitor("C", "c", "gnd", farads)),
        until,
        from_rest=True,
        tolerance=FINE,
        longest_step=until / 500.0,
    )


def _discharging(volts: float, ohms: float, farads: float, until: float) -> Waveforms:
    return waveform(
        circuit(resistor("R", "c", "gnd", ohms), capacitor("C", "c", "gnd", farads)),
        until,
        start={"C": volts},
        tolerance=FINE,
    )


def _growing(volts: float, ohms: float, henries: float, until: float) -> Waveforms:
    return waveform(
        circuit(supply("V", "a", volts), resistor("R", "a", "b", ohms), inductor("L", "b", "gnd", henries)),
        until,
        from_rest=True,
        tolerance=FINE,
        longest_step=until / 2000.0,
    )


def _at(found: Waveforms, net: str, instant: float) -> float:
    return float(found.voltage_at(net, np.array([instant]))[0])


def _when(found: Waveforms, net: str, level: float) -> float:
    return float(brentq(lambda t: _at(found, net, t) - level, found.times[0], found.times[-1]))


def _slowest_time(of: Circuit) -> float:
    return float(1.0 / abs(corner_frequencies(of)[0]))


@pytest.mark.parametrize("instant", [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.25])
def test_rc_charge_table(instant: float) -> None:
    p = _inputs("t-001")
    found = _charging(p["V"], p["R"], p["C"], 8.0)
    name = f"{instant:g}"
    _meets("t-001", f"vc({name})", _at(found, "c", instant))
    _meets("t-001", f"i({name})", (p["V"] - _at(found, "c", instant)) / p["R"])


def test_rc_charge_time_to_a_level() -> None:
    p = _inputs("t-001")
    _meets("t-001", "t(vc=12.970)", _when(_charging(p["V"], p["R"], p["C"], 8.0), "c", 12.970))


def test_rl_growth_table() -> None:
    p = _inputs("t-002")
    found = _growing(p["V"], p["R"], p["L"], 7.0)
    for instant in (0.5, 1.0, 2.0, 3.5):
        _meets("t-002", f"i({instant:g})", (p["V"] - _at(found, "b", instant)) / p["R"])
    for instant in (1.0, 3.5, 6.0):
        _meets("t-002", f"vl({instant:g})", _at(found, "b", instant))


def test_capacitor_inside_a_string() -> None:
    p = _inputs("t-004")
    string = circuit(
        supply("V", "a", p["V"]),
        resistor("R1", "a", "c", p["R1"]),
        resistor("R2", "c", "d", p["R2"]),
        resistor("R3", "d", "gnd", p["R3"]),
        capacitor("C", "c", "d", p["C"]),
    )
    found = waveform(string, 0.1, from_rest=True, tolerance=FINE)
    _meets("t-004", "vc(0.06)", _at(found, "c", p["t"]) - _at(found, "d", p["t"]))
    rest = operating_point(string)
    _meets("t-004", "vth", float(rest.between("c", "d")[0]))


def test_time_to_charge_through_source_and_resistor() -> None:
    p = _inputs("t-005")
    found = _charging(p["V"], p["R"] + p["r"], p["C"], 12.0)
    _meets("t-005", "t", _when(found, "c", p["v"]))
    _meets("t-005", "f", 1.0 / _when(found, "c", p["v"]))
    _meets("t-005", "tau", _slowest_time(found.circuit))


def test_resistance_for_a_charging_time() -> None:
    p = _inputs("t-006")

    def missing(ohms: float) -> float:
        return _at(_charging(p["V"], ohms, p["C"], 1.1 * p["t"]), "c", p["t"]) - p["v"]

    _meets("t-006", "R", float(brentq(missing, 400.0, 800.0, xtol=1e-4)))
    _meets("t-006", "t_10k", _when(_charging(p["V"], 1e4, p["C"], 250.0), "c", p["v"]))


def test_rl_growth_and_decay() -> None:
    p = _inputs("t-007")
    found = _growing(p["V"], p["R"], p["L"], 3.0)
    _meets("t-007", "i(2)", (p["V"] - _at(found, "b", 2.0)) / p["R"])
    _meets("t-007", "vl(2)", _at(found, "b", 2.0))
    _meets("t-007", "tau", _slowest_time(found.circuit))
    loop = circuit(resistor("R", "b", "gnd", p["R"]), inductor("L", "b", "gnd", p["L"]))
    fading = waveform(loop, 3.0, start={"L": 0.5}, tolerance=FINE)
    begin = -0.5 * p["R"]
    _meets("t-007", "t_half", _when(fading, "b", begin / 2.0))
    _meets("t-007", "t_energy_1pct", _when(fading, "b", begin / 10.0))


@pytest.mark.parametrize(
    ("part", "reactance", "current"),
    [
        (resistor("X", "a", "gnd", 100.0), "", "i_R"),
        (capacitor("X", "a", "gnd", 1e-5), "X_C", "i_C"),
        (inductor("X", "a", "gnd", 0.015), "X_L", "i_L"),
    ],
)
def test_reactances(part: Any, reactance: str, current: str) -> None:
    p = _inputs("t-009")
    z = abs(impedance(circuit(part), net="a", frequencies=np.array([p["f"]])).values[0])
    if reactance:
        _meets("t-009", reactance, float(z))
    _meets("t-009", current, float(p["V0"] / z))


def test_average_power_of_a_series_circuit() -> None:
    p = _inputs("t-011")
    rms = p["V0"] / np.sqrt(2.0)
    series = circuit(
        mains("V", "a", "gnd", rms, p["w"] / (2.0 * np.pi)),
        resistor("R", "a", "b", p["R"]),
        inductor("L", "b", "c", p["L"]),
        capacitor("C", "c", "gnd", p["C"]),
    )
    found = periodic_steady_state(series, tolerance=FINE)
    _meets("t-011", "V_rms", figures(found.times, found.voltage("a")).rms)
    _meets("t-011", "P", found.power_figures("R").real)
    current = figures(found.times, found.current("R")).rms
    _meets("t-011", "Z", rms / current)


def test_resonance() -> None:
    p = _inputs("t-012")
    series = circuit(
        supply("V", "a", 0.0),
        resistor("R", "a", "b", p["R"]),
        inductor("L", "b", "c", p["L"]),
        capacitor("C", "c", "gnd", p["C"]),
    )
    natural = corner_frequencies(series)
    speed = float(abs(natural[0]))
    _meets("t-012", "omega0", speed)
    bandwidth = float(-2.0 * natural[0].real)
    _meets("t-012", "bandwidth", bandwidth)
    _meets("t-012", "Q", speed / bandwidth)
    across = transfer(
        series, source="V", output="a", against="b", frequencies=np.array([speed / (2.0 * np.pi)])
    )
    _meets("t-012", "P", float((p["V0"] * across.magnitude[0]) ** 2 / (2.0 * p["R"])))


def test_ringing_falls_to_half() -> None:
    p = _inputs("t-013")
    loop = circuit(
        resistor("R", "a", "gnd", p["R"]),
        inductor("L", "a", "c", p["L"]),
        capacitor("C", "c", "gnd", p["C"]),
    )
    # The charge is to fall to half of its amplitude: the envelope is the decay of the complex natural frequency.
    _meets("t-013", "t_half", float(np.log(2.0) / -corner_frequencies(loop)[0].real))


@pytest.mark.parametrize(("hertz", "name"), [(60.0, "60"), (1e4, "10k")])
def test_capacitive_current(hertz: float, name: str) -> None:
    p = _inputs("t-014")
    z = abs(
        impedance(circuit(capacitor("C", "a", "gnd", p["C"])), net="a", frequencies=np.array([hertz])).values[
            0
        ]
    )
    _meets("t-014", f"X_C({name})", float(z))
    _meets("t-014", f"I({name})", float(p["V"] / z))


def test_discharge_of_ten_kilovolts() -> None:
    p = _inputs("t-015")
    found = _discharging(p["V0"], p["R"], p["C"], 0.03)
    _meets("t-015", "v(24ms)", _at(found, "c", 0.024))
    _meets("t-015", "tau", _slowest_time(found.circuit))


def test_charge_after_one_time_constant() -> None:
    p = _inputs("t-017")
    found = _charging(p["V"], p["R"], p["C"], 1.5)
    _meets("t-017", "vc(tau)", _at(found, "c", p["R"] * p["C"]))
    _meets("t-017", "t_half", _when(found, "c", p["V"] / 2.0))


def test_discharge_to_two_volts() -> None:
    p = _inputs("t-018")
    found = _discharging(p["V0"], p["R"], p["C"], 0.003)
    _meets("t-018", "i0", float(found.current("R")[0]))
    _meets("t-018", "t", _when(found, "c", p["v"]))
    _meets("t-018", "tau", _slowest_time(found.circuit))


def test_charge_of_half_a_microfarad() -> None:
    p = _inputs("t-019")
    found = _charging(p["V"], p["R"], p["C"], 0.3)
    _meets("t-019", "i0", float(found.current("R")[0]))
    _meets("t-019", "i(0.15)", (p["V"] - _at(found, "c", 0.15)) / p["R"])
    _meets("t-019", "vc(0.08)", _at(found, "c", 0.08))
    _meets("t-019", "t(vr=35)", _when(found, "c", p["V"] - 35.0))


@pytest.mark.parametrize(("farads", "rings"), [("C1", False), ("C2", True)])
def test_damping_class(farads: str, rings: bool) -> None:
    p = _inputs("t-021")
    row = next(row for row in CASES["t-021"]["expected"] if row["quantity"] == f"class({farads})")
    assert row["value"] == ("underdamped" if rings else "overdamped")
    loop = circuit(
        resistor("R", "a", "gnd", p["R"]),
        inductor("L", "a", "c", p["L"]),
        capacitor("C", "c", "gnd", p[farads]),
    )
    assert bool((np.abs(corner_frequencies(loop).imag) > 1.0).any()) is rings


def test_critical_capacitance() -> None:
    p = _inputs("t-021")

    def imaginary_share(farads: float) -> float:
        loop = circuit(
            resistor("R", "a", "gnd", p["R"]),
            inductor("L", "a", "c", p["L"]),
            capacitor("C", "c", "gnd", farads),
        )
        return float(np.abs(corner_frequencies(loop).imag).max())

    low, high = p["C2"], p["C1"]
    for _ in range(60):
        middle = np.sqrt(low * high)
        low, high = (middle, high) if imaginary_share(middle) > 1.0 else (low, middle)
    _meets("t-021", "C_critical", float(low))


def test_rl_growth_of_a_coil() -> None:
    p = _inputs("t-022")
    found = _growing(p["V"], p["R"], p["L"], 0.05)
    rest = operating_point(found.circuit)
    _meets("t-022", "i(inf)", float(rest.current("R")[0]))
    _meets("t-022", "i(0.004)", (p["V"] - _at(found, "b", 0.004)) / p["R"])
    _meets("t-022", "vr(0.006)", p["V"] - _at(found, "b", 0.006))
    _meets("t-022", "vl(0.006)", _at(found, "b", 0.006))
    _meets("t-022", "t(i=15)", _when(found, "b", p["V"] - 15.0 * p["R"]))


def test_rc_low_pass_corner() -> None:
    p = _inputs("t-023")
    low_pass = circuit(
        supply("V", "a", 0.0), resistor("R", "a", "c", p["R"]), capacitor("C", "c", "gnd", p["C"])
    )
    corner = float(abs(corner_frequencies(low_pass)[0]) / (2.0 * np.pi))
    _meets("t-023", "fc", corner)
    found = transfer(low_pass, source="V", output="c", frequencies=np.array([corner]))
    _meets("t-023", "vout(fc)", float(p["Vin"] * found.magnitude[0]))
    _meets("t-023", "phase(fc)", float(np.rad2deg(found.phase[0])))


def test_rl_low_pass() -> None:
    p = _inputs("t-024")
    low_pass = circuit(
        supply("V", "a", 0.0), inductor("L", "a", "b", p["L"]), resistor("R", "b", "gnd", p["R"])
    )
    _meets("t-024", "fc", float(abs(corner_frequencies(low_pass)[0]) / (2.0 * np.pi)))
    found = transfer(low_pass, source="V", output="b", frequencies=np.array([p["f"]]))
    _meets("t-024", "vout(1k)", float(p["Vin"] * found.magnitude[0]))
    _meets("t-024", "phase(1k)", float(np.rad2deg(found.phase[0])))


def test_time_to_charge_to_two_thirds() -> None:
    p = _inputs("t-026")
    found = _charging(p["V"], p["R"], p["C"], 1e-3)
    _meets("t-026", "t", _when(found, "c", p["v"]))
    _meets("t-026", "tau", _slowest_time(found.circuit))


# A rectifier without losses, as in the book: a drop of a millivolt that hardly depends on the current.
IDEAL = {"forward_drop": 1e-3, "test_current": 1e-3, "emission": 2e-3, "series_resistance": 0.0}


def test_peak_rectifier_ripple_is_the_exact_one_below_the_linear_estimate() -> None:
    p = _inputs("t-027")
    exact = CASES["t-027"]["derived"]["ripple_exact_V"]
    farads = next(row for row in CASES["t-027"]["expected"] if row["quantity"] == "C")["value"]
    rectifier = circuit(
        mains("V", "a", "gnd", p["Vp"] / np.sqrt(2.0), p["f"]),
        diode("D", "a", "c", **IDEAL),
        resistor("R", "c", "gnd", p["R"]),
        capacitor("C", "c", "gnd", farads),
    )
    found = periodic_steady_state(rectifier, points=200)
    swing = figures(found.times, found.voltage("c"))
    # the data file's exact value is for its C of 83.333 uF; four printed digits of it are met
    assert swing.highest - swing.lowest == pytest.approx(exact, abs=0.005)
    assert swing.highest - swing.lowest < p["Vr"]


def test_full_wave_load_voltage_and_ripple() -> None:
    p = _inputs("t-029")
    printed = next(row for row in CASES["t-029"]["expected"] if row["quantity"] == "v_load")["value"]
    # The book takes 17 V as the steady load voltage and estimates the ripple by I/(2·f·C); the exact ripple is smaller by
    # the share of the period in which the capacitor is charged, and never larger.
    estimate = next(row for row in CASES["t-029"]["expected"] if row["quantity"] == "ripple_pp")["value"]
    peak = printed / np.sqrt(2.0)
    rectifier = circuit(
        mains("V1", "a", "gnd", peak, p["f"]),
        mains("V2", "b", "gnd", peak, p["f"], phase=180.0),
        diode("D1", "a", "c", **IDEAL),
        diode("D2", "b", "c", **IDEAL),
        resistor("R", "c", "gnd", p["R"]),
        capacitor("C", "c", "gnd", p["C"]),
    )
    found = periodic_steady_state(rectifier, points=100)
    swing = figures(found.times, found.voltage("c"))
    assert 0.85 * estimate < swing.highest - swing.lowest < estimate
    assert swing.highest == pytest.approx(printed, abs=0.05)


def test_gate_delay_and_lamp_power() -> None:
    p = _inputs("t-032")
    gate = circuit(
        supply("V", "a", p["V"]),
        resistor("R1", "a", "g", p["R1"]),
        resistor("R2", "g", "gnd", p["R2"]),
        capacitor("C", "g", "gnd", p["C"]),
    )
    _meets("t-032", "tau", _slowest_time(gate))
    lamp = circuit(
        supply("V", "a", p["V"]), resistor("lamp", "a", "d", p["R"]), resistor("on", "d", "gnd", p["Rds"])
    )
    _meets("t-032", "p_lamp", float(operating_point(lamp).power("lamp")[0]))


@pytest.mark.parametrize("case_id", ["t-034", "t-035", "t-037"])
def test_capacitive_dropper_currents(case_id: str) -> None:
    p = _inputs(case_id)
    # The book's output voltage is neglected: four ideal diodes into a link.
    dropper = circuit(
        mains("V", "l", "n", p["V"], p["f"]),
        capacitor("C", "l", "p", p["C"]),
        diode("D1", "p", "v", **IDEAL),
        diode("D2", "n", "v", **IDEAL),
        diode("D3", "m", "p", **IDEAL),
        diode("D4", "m", "n", **IDEAL),
        resistor("R", "v", "m", 1.0),
        ground="m",
    )
    found = periodic_steady_state(dropper, points=200, tolerance=Tolerance(relative=1e-6))
    line = figures(found.times, found.current("C"))
    load = figures(found.times, found.current("R"))
    _meets(case_id, "I_rms", line.rms)
    _meets(case_id, "I_avg_fullwave", load.average)
    _meets(case_id, "I_avg_halfwave", load.average / 2.0)


@pytest.mark.parametrize("case_id", ["t-038", "t-039", "t-041"])
def test_time_to_sixty_volts(case_id: str) -> None:
    p = _inputs(case_id)
    expected = p["R"] * p["C"]
    _meets(case_id, "t", _when(_discharging(p["V0"], p["R"], p["C"], 3.0 * expected), "c", p["v"]))
