"""Worked examples of steady circuits; sources, pages and printed digits in data/circuits_steady.toml."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.special import lambertw

from lidoff.circuit import Circuit, Part, Solution, impedance, operating_point

Case = Mapping[str, Any]

CASES: list[Case] = tomllib.loads(
    (Path(__file__).parent / "data" / "circuits_steady.toml").read_text(encoding="utf-8")
)["case"]

# The books' simplest models as limits of ours: a drop that does not depend on the current is a very steep exponential.
STEEP = {"emission": 1e-3}
STEEP_REVERSE = {"breakdown_slope": 2e-5, "dynamic_resistance": 0.0}
WORKING_CURRENT = {"test_current": 1e-3}


def _pins(element: Case, *names: str) -> dict[str, str]:
    return dict(zip(names, element["nodes"], strict=True))


def _diode(element: Case) -> Part:
    values: dict[str, float | str]
    if element["model"] == "shockley":
        thermal = element["n_vt"] / 0.02569257912108585  # k·T/q at 25 °C, CODATA 2018
        values = {"saturation_current": element["i_s"], "emission": thermal, "series_resistance": 0.0}
    elif element["model"] == "piecewise":
        drop = element["v0"] + element["rd"] * 1e-3
        values = {"forward_drop": drop, "series_resistance": element["rd"], **STEEP, **WORKING_CURRENT}
    else:
        drop = max(element["vf"], 1e-3)  # an ideal diode as one of a millivolt
        values = {"forward_drop": drop, "series_resistance": 0.0, **STEEP, **WORKING_CURRENT}
    return Part(
        reference=element["ref"], kind="diode", pins=_pins(element, "anode", "cathode"), values=values
    )


def _zener(element: Case) -> Part:
    assert element["rz"] == 0.0
    values = {"breakdown_voltage": element["vz"], **STEEP_REVERSE, **STEEP}
    return Part(
        reference=element["ref"], kind="zener", pins=_pins(element, "cathode", "anode"), values=values
    )


def _bipolar(element: Case) -> Part:
    values = {
        "current_gain": element["beta"],
        "base_emitter_drop": element["vbe"],
        **STEEP,
        **WORKING_CURRENT,
    }
    return Part(
        reference=element["ref"],
        kind=element["kind"],
        pins=_pins(element, "collector", "base", "emitter"),
        values=values,
    )


def _mosfet(element: Case) -> Part:
    values = {"transconductance": element["k"], "threshold": element["vt"]}
    return Part(
        reference=element["ref"],
        kind="mosfet_n",
        pins=_pins(element, "drain", "gate", "source"),
        values=values,
    )


def _parts(element: Case) -> list[Part]:
    reference, kind = element["ref"], element["kind"]
    if kind == "vsource":
        pins = _pins(element, "plus", "minus")
        return [Part(reference=reference, kind="dc_supply", pins=pins, values={"voltage": element["value"]})]
    if kind == "isource":  # drives its current through itself from the first to the second node
        pins = _pins(element, "minus", "plus")
        return [
            Part(reference=reference, kind="current_supply", pins=pins, values={"current": element["value"]})
        ]
    if kind == "resistor":
        pins = _pins(element, "1", "2")
        return [
            Part(reference=reference, kind="resistor", pins=pins, values={"resistance": element["value"]})
        ]
    if kind == "opamp":
        pins = {
            **_pins(element, "output", "non_inverting", "inverting"),
            "supply_plus": "rail+",
            "supply_minus": "rail-",
        }
        rails = [
            Part(
                reference=f"{reference}{sign}",
                kind="dc_supply",
                pins={"plus": f"rail{sign}", "minus": "0"},
                values={"voltage": float(f"{sign}30")},
            )
            for sign in "+-"
        ]
        ideal = {"gain": 1e8, "output_resistance": 1e-3}
        return [Part(reference=reference, kind="operational_amplifier", pins=pins, values=ideal), *rails]
    makers = {"diode": _diode, "zener": _zener, "npn": _bipolar, "pnp": _bipolar, "nmos": _mosfet}
    return [makers[kind](element)]


def _circuit(case: Case) -> Circuit:
    return Circuit(parts=tuple(p for element in case["elements"] for p in _parts(element)), ground="0")


def _pin_current(solution: Solution, name: str) -> float:
    if "." in name:  # magnitude of a transistor's terminal current
        reference, letter = name.split(".")
        pin = {"b": "base", "c": "collector", "e": "emitter", "d": "drain"}[letter]
        return abs(float(solution.pin_current(reference, pin)[0]))
    part = solution.circuit.part(name)
    first = {"dc_supply": "plus", "current_supply": "minus", "diode": "anode", "zener": "cathode"}.get(
        part.kind, "1"
    )
    return float(solution.pin_current(name, first)[0])


def _value(case: Case, circuit: Circuit, solution: Solution, quantity: str) -> float:
    sort, arguments = re.match(r"(\w+)(?:\((.*)\))?$", quantity).groups()  # type: ignore[union-attr]
    names = arguments.split(",") if arguments else []
    if sort == "v":
        return float(
            solution.voltage(names[0])[0] - (solution.voltage(names[1])[0] if len(names) > 1 else 0.0)
        )
    if sort == "i":
        return _pin_current(solution, names[0])
    if sort == "p":
        return float(solution.power(names[0])[0])
    if sort == "vth":
        return float(_without_load(circuit).voltage(names[0])[0])
    if sort in ("req", "rth"):
        return float(impedance(_quiet(circuit), net=names[0], frequencies=np.zeros(1)).values[0].real)
    raise AssertionError(f"no way to read {quantity} of {case['id']}")


def _without(circuit: Circuit, *references: str) -> Circuit:
    return Circuit(
        parts=tuple(part for part in circuit.parts if part.reference not in references), ground=circuit.ground
    )


def _load(circuit: Circuit) -> Circuit:
    """The circuit without its load, which the printed Thévenin values leave out."""
    return _without(circuit, "RL", "Q1", "RC", "RE")


def _without_load(circuit: Circuit) -> Solution:
    return operating_point(_load(circuit))


def _quiet(circuit: Circuit) -> Circuit:
    loaded = any(part.reference in ("RL", "Q1") for part in circuit.parts)
    return _load(circuit) if loaded else circuit


# Printed values that are given, not solved, and figures of the closed form that `test_lambert` checks below.
GIVEN = ("value", "state", "w0", "v_thermal")
ROWS = [
    pytest.param(case, expected, id=f"{case['id']} {expected['quantity']}")
    for case in CASES
    for expected in case["expected"]
    if not expected["quantity"].startswith(GIVEN)
]


@pytest.mark.parametrize(("case", "expected"), ROWS)
def test_printed_value_is_met(case: Case, expected: Case) -> None:
    circuit = _circuit(case)
    if expected["quantity"].startswith("req"):
        circuit = _without(circuit, *(p.reference for p in circuit.parts if p.kind.endswith("supply")))
    solution = operating_point(circuit)
    assert solution.settled.all()
    found = _value(case, circuit, solution, expected["quantity"])
    assert found == pytest.approx(expected["value"], rel=0.0, abs=expected["tol"])


def test_lambert_intermediate_of_the_diode_example_is_met() -> None:
    case = next(case for case in CASES if case["id"] == "dc-076")
    printed = {row["quantity"]: row for row in case["expected"]}
    source, resistor, diode = case["elements"]
    scale = diode["i_s"] * resistor["value"] / diode["n_vt"]
    w = lambertw(scale * np.exp((source["value"] + diode["i_s"] * resistor["value"]) / diode["n_vt"])).real
    assert w == pytest.approx(printed["w0"]["value"], abs=printed["w0"]["tol"])
    current = diode["n_vt"] / resistor["value"] * w - diode["i_s"]
    solved = float(operating_point(_circuit(case)).current("Rs")[0])
    assert solved == pytest.approx(current, rel=1e-6)


def test_zener_of_the_off_example_is_off() -> None:
    case = next(case for case in CASES if case["id"] == "dc-045")
    assert abs(float(operating_point(_circuit(case)).current("D1")[0])) < 1e-9
