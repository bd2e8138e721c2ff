"""Printed results on measurement uncertainty, each with its source in data/uncertainty.toml.

Left out: the mean absolute deviation of u-013 (Bell), since scatter is stated as standard deviation alone.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lidoff.quantities import (
    DIVISORS,
    Accuracy,
    Extremes,
    Joint,
    Quantity,
    combined_uncertainty,
    correlation_of_repeats,
    coverage_factor,
    extremes,
    mean_of_repeats,
    monte_carlo,
    parse_accuracy,
    parse_quantity,
    propagate,
    propagate_jointly,
    second_order_uncertainty,
    sensitivities,
    standard_from_limits,
)

Case = Mapping[str, Any]


@cache
def printed() -> dict[str, Any]:
    with (Path(__file__).parent / "data" / "uncertainty.toml").open("rb") as file:
        return tomllib.load(file)


def case(name: str) -> Case:
    found: Case = next(row for row in printed()["case"] if row["id"] == name)
    return found


def rows(name: str, *left_out: str) -> list[Any]:
    """Expected rows of a case as test parameters, each with the name of what it states."""
    return [
        pytest.param(row, id=f"{name}-{row['quantity']}")
        for row in case(name)["expected"]
        if row["quantity"] not in left_out
    ]


def check(expected: Case, computed: Mapping[str, float]) -> None:
    assert computed[expected["quantity"]] == pytest.approx(expected["value"], abs=expected["tol"], rel=0.0)


# --- JCGM 100:2008, H.2: resistance and reactance from voltage, current and phase read together


def read_together() -> tuple[list[Quantity], list[list[float]]]:
    inputs = case("u-001")["inputs"]
    names = ("V", "I", "phi")
    means = [mean_of_repeats(inputs[name], unit=inputs["units"][name]) for name in names]
    correlations = [[correlation_of_repeats(inputs[a], inputs[b]) for b in names] for a in names]
    for place in range(3):
        correlations[place][place] = 1.0
    return means, correlations


def impedance() -> Joint:
    means, correlations = read_together()
    return propagate_jointly(
        [
            lambda v, i, phi: v / i * math.cos(phi),
            lambda v, i, phi: v / i * math.sin(phi),
            lambda v, i, phi: v / i,  # noqa: ARG005 - Z does not depend on the phase
        ],
        means,
        units=["Ω", "Ω", "Ω"],
        correlations=correlations,
    )


@pytest.mark.parametrize("expected", rows("u-001"))
def test_repeats_give_the_printed_means_and_correlations(expected: Case) -> None:
    means, correlations = read_together()
    computed = {}
    for mean, name in zip(means, ("V", "I", "phi"), strict=True):
        computed[f"mean({name})"] = mean.value
        computed[f"u({name})"] = computed[f"u({name}) unrounded"] = mean.uncertainty
    computed["r(V,I)"] = computed["r(V,I) unrounded"] = correlations[0][1]
    computed["r(V,phi)"] = correlations[0][2]
    computed["r(I,phi)"] = correlations[1][2]
    check(expected, computed)


def test_five_repeats_leave_the_printed_degrees_of_freedom() -> None:
    means, _ = read_together()
    assert [case("u-001")["dof"]] * 3 == [mean.dof for mean in means]


@pytest.mark.parametrize("expected", rows("u-002"))
def test_correlated_inputs_give_the_printed_impedance(expected: Case) -> None:
    joint = impedance()
    computed = {}
    for place, name in enumerate(("R", "X", "Z")):
        computed[name] = joint.quantities[place].value
        computed[f"u({name})"] = joint.quantities[place].uncertainty
    computed["r(R,X)"] = joint.correlations[0][1]
    computed["r(R,Z)"] = joint.correlations[0][2]
    computed["r(X,Z)"] = joint.correlations[1][2]
    check(expected, computed)
    if "recomputed" in expected:
        assert computed[expected["quantity"]] == pytest.approx(expected["recomputed"], rel=1e-5)


@pytest.mark.parametrize(
    ("place", "value", "tolerance", "spread", "spread_tolerance"),
    [(0, 127.732, 0.0005, 0.070, 0.0005), (1, 219.85, 0.005, 0.30, 0.005), (2, 254.26, 0.005, 0.24, 0.005)],
)
def test_rounded_correlations_give_the_rounded_print(
    place: int, value: float, tolerance: float, spread: float, spread_tolerance: float
) -> None:
    # "also" of u-002: with inputs and coefficients rounded as printed.
    inputs = [
        Quantity(4.999, "V", 0.0032),
        Quantity(19.661e-3, "A", 0.0095e-3),
        Quantity(1.04446, "rad", 0.00075),
    ]
    correlations = [[1.0, -0.36, 0.86], [-0.36, 1.0, -0.65], [0.86, -0.65, 1.0]]
    result = propagate_jointly(
        [
            lambda v, i, phi: v / i * math.cos(phi),
            lambda v, i, phi: v / i * math.sin(phi),
            lambda v, i, phi: v / i,  # noqa: ARG005 - Z does not depend on the phase
        ],
        inputs,
        units=["Ω"] * 3,
        correlations=correlations,
    ).quantities[place]
    assert result.value == pytest.approx(value, abs=tolerance)
    assert result.uncertainty == pytest.approx(spread, abs=spread_tolerance)


# --- JCGM 100:2008, H.1: end gauge


def end_gauge_inputs() -> dict[str, Quantity]:
    inputs = case("u-004")["inputs"]

    def stated(name: str, unit: str) -> Quantity:
        value, spread, *dof = inputs[name]
        if isinstance(spread, str):
            shape, _, half_width = spread.partition(" half-width ")
            spread = standard_from_limits(float(half_width), shape)
        return Quantity(value * scale[name], unit, spread * scale[name], *dof)

    nanometre = ("ls", "d0", "d1", "d2")
    scale = {name: 1e-9 if name in nanometre else 1.0 for name in inputs}
    units = {"alpha_s": "1/K", "d_alpha": "1/K"} | dict.fromkeys(nanometre, "m")
    names = (*nanometre, "alpha_s", "d_alpha", "d_theta", "theta_bar", "delta")
    return {name: stated(name, units.get(name, "K")) for name in names}


def end_gauge(
    ls: float,
    d0: float,
    d1: float,
    d2: float,
    alpha_s: float,
    d_alpha: float,
    d_theta: float,
    theta_bar: float,
    delta: float,
) -> float:
    return ls + d0 + d1 + d2 - ls * (d_alpha * (theta_bar + delta) + alpha_s * d_theta)


@pytest.mark.parametrize("expected", rows("u-004"))
def test_the_end_gauge_has_the_printed_budget(expected: Case) -> None:
    inputs = end_gauge_inputs()
    quantities = list(inputs.values())
    result = propagate(end_gauge, quantities, unit="m")
    computed = {"l": result.value * 1e9, "u(l)": result.uncertainty * 1e9}
    for name, slope in zip(inputs, sensitivities(end_gauge, quantities), strict=True):
        computed[f"component({name})"] = abs(slope) * inputs[name].uncertainty * 1e9
    computed["u(l) with second-order terms"] = second_order_uncertainty(end_gauge, quantities) * 1e9
    check(expected, computed)


def test_the_end_gauge_has_the_printed_expanded_uncertainty() -> None:
    # "also" of u-004, from memory: U99 = 93 nm with k = t99(16) = 2.92; degrees of freedom cut to a whole number.
    result = propagate(end_gauge, list(end_gauge_inputs().values()), unit="m")
    assert math.floor(result.dof) == 16
    factor = coverage_factor(0.99, 16)
    assert factor == pytest.approx(2.92, abs=0.005)
    # The print multiplies the combined uncertainty as rounded to 32 nm.
    assert factor * round(result.uncertainty * 1e9) == pytest.approx(93.0, abs=0.5)


# --- instrument specifications


@pytest.mark.parametrize("expected", rows("u-006"))
def test_a_voltmeter_specification_gives_the_printed_uncertainty(expected: Case) -> None:
    inputs = case("u-006")["inputs"]
    meter = Accuracy(reading_fraction=inputs["spec_reading"], range_fraction=inputs["spec_range"])
    reading = inputs["reading"]
    from_specification = meter.standard_uncertainty(reading, 1e-6, full_scale=inputs["range"])
    both = combined_uncertainty([from_specification, inputs["u_repeat"]])
    computed = {
        "half_width": meter.half_width(reading, 1e-6, full_scale=inputs["range"]),
        "u(spec)": from_specification,
        "u_c": both,
        "u_c relative": both / reading,
    }
    check(expected, computed)


def test_a_voltmeter_specification_is_read_from_its_text() -> None:
    inputs = case("u-006")["inputs"]
    meter = parse_accuracy("14 ppm of reading + 2 ppm of range")
    assert meter.reading_fraction == pytest.approx(inputs["spec_reading"], rel=1e-12)
    assert meter.range_fraction == pytest.approx(inputs["spec_range"], rel=1e-12)


@pytest.mark.parametrize("expected", rows("u-007"))
def test_a_handheld_meter_has_the_printed_limits(expected: Case) -> None:
    inputs = case("u-007")["inputs"]
    reading, resolution = inputs["reading"], inputs["resolution"]
    meter = parse_accuracy(f"±({inputs['pct']} % + {inputs['digits']})")
    half_width = meter.half_width(reading, resolution)
    computed = {
        "reading term": Accuracy(meter.reading_fraction).half_width(reading, resolution),
        "digit term": Accuracy(counts=meter.counts).half_width(reading, resolution),
        "lower limit": reading - half_width,
        "upper limit": reading + half_width,
    }
    check(expected, computed)


def test_a_handheld_meter_has_the_derived_standard_uncertainty() -> None:
    inputs = case("u-007")["inputs"]
    meter = parse_accuracy("±(0.08 % + 2 digits)")
    expected = case("u-007")["derived"]["u_V"]
    assert meter.standard_uncertainty(inputs["reading"], inputs["resolution"]) == pytest.approx(
        expected, abs=5e-8
    )


@pytest.mark.parametrize("expected", rows("u-008"))
def test_a_specification_has_the_printed_divisor(expected: Case) -> None:
    computed = {
        "divisor rectangular": 1.0 / standard_from_limits(1.0, "rectangular"),
        "divisor normal 99 %": coverage_factor(0.99),
    }
    check(expected, computed)


# --- D. A. Bell: worst cases, scatter, tolerance with temperature


def worst_case(name: str, sign: float) -> tuple[float, Extremes]:
    inputs = case(name)["inputs"]
    values = [inputs["V1"], inputs["V2"]]
    half_widths = [inputs["V1"] * inputs["p1"] / 100.0, inputs["V2"] * inputs["p2"] / 100.0]
    return values[0] + sign * values[1], extremes(lambda a, b: a + sign * b, values, half_widths)


@pytest.mark.parametrize("expected", [*rows("u-010"), *rows("u-011")])
def test_two_voltages_have_the_printed_worst_case(expected: Case) -> None:
    name, sign = ("u-011", -1.0) if expected in case("u-011")["expected"] else ("u-010", 1.0)
    middle, corners = worst_case(name, sign)
    computed = {
        "sum": (corners.high + corners.low) / 2.0,
        "difference": (corners.high + corners.low) / 2.0,
        "worst case": 100.0 * (corners.high - middle) / middle,
    }
    check(expected, computed)


def test_two_voltages_have_the_derived_standard_uncertainty() -> None:
    result = propagate(
        lambda a, b: a + b,
        [Quantity(100.0, "V", standard_from_limits(1.0)), Quantity(80.0, "V", standard_from_limits(4.0))],
        unit="V",
    )
    assert result.uncertainty == pytest.approx(case("u-010")["derived"]["u_V"], abs=0.005)


@pytest.mark.parametrize("expected", rows("u-013", "mean absolute deviation"))
def test_five_readings_scatter_as_printed(expected: Case) -> None:
    readings = case("u-013")["inputs"]["V"]
    count = len(readings)
    of_mean = mean_of_repeats(readings, unit="V").uncertainty
    # The print divides by n; the uncertainty of the mean comes from the divisor n - 1 and from the root of n.
    check(expected, {"standard deviation (n)": of_mean * math.sqrt(count - 1)})


def test_five_readings_have_the_derived_uncertainty_of_the_mean() -> None:
    derived = case("u-013")["derived"]
    mean = mean_of_repeats(case("u-013")["inputs"]["V"], unit="V")
    assert mean.uncertainty == pytest.approx(derived["u_mean"], abs=5e-9)
    assert mean.uncertainty * math.sqrt(5) == pytest.approx(derived["s_n_minus_1"], abs=5e-8)


@pytest.mark.parametrize("expected", rows("u-014"))
def test_a_warm_resistor_has_the_printed_largest_value(expected: Case) -> None:
    inputs = case("u-014")["inputs"]
    at_25 = extremes(lambda r: r, [inputs["R"]], [0.05 * inputs["R"]]).high
    assert at_25 == pytest.approx(inputs["R_max25"], abs=0.05)
    coefficient = parse_quantity(f"{inputs['ppm']:g} ppm/°C", unit="1/K")
    warm = propagate(lambda r, a: r * (1.0 + a * inputs["dT"]), [Quantity(at_25, "Ω"), coefficient], unit="Ω")
    check(expected, {"R_max75": warm.value})


# --- tables of JCGM 100:2008


@pytest.mark.parametrize("row", [pytest.param(row, id=f"nu-{row['nu']}") for row in printed()["student_t"]])
def test_student_factors_are_as_printed(row: Case) -> None:
    dof = float(row["nu"])
    columns = {"p68_27": 0.6827, "p90": 0.90, "p95": 0.95, "p95_45": 0.9545, "p99": 0.99, "p99_73": 0.9973}
    wrong = {
        name: (row[name], coverage_factor(probability, dof))
        for name, probability in columns.items()
        if abs(coverage_factor(probability, dof) - row[name]) > 0.005
    }
    assert wrong == {}


@pytest.mark.parametrize(
    "row", [pytest.param(row, id=f"{row['distribution']}-{row['p']}") for row in printed()["coverage"]]
)
def test_coverage_factors_are_as_printed(row: Case) -> None:
    digits = max(2, len(repr(row["k"]).partition(".")[2]))
    factor = coverage_factor(row["p"] / 100.0, shape=row["distribution"])
    assert factor == pytest.approx(row["k"], abs=0.5 * 10.0**-digits)


@pytest.mark.parametrize("row", [pytest.param(row, id=row["distribution"]) for row in printed()["divisor"]])
def test_divisors_are_as_printed(row: Case) -> None:
    shape = row["distribution"].partition(" ")[0].rstrip(",")
    divisor = 1.0 / parse_quantity("0 V ± 1 V").uncertainty if shape == "normal" else DIVISORS[shape]
    assert divisor == pytest.approx(row["divisor"], abs=5e-8)


# --- JCGM 101:2008: drawn results


@pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in printed()["drawn"]])
def test_drawn_sums_have_the_printed_interval(row: Case) -> None:
    result = monte_carlo(
        lambda a, b, c, d: a + b + c + d,
        [Quantity(0.0, "1", spread) for spread in row["spreads"]],
        np.random.default_rng(20080901),
        400_000,
        unit="1",
        shapes=[row["shape"]] * 4,
    )
    computed = {"u": result.quantity.uncertainty, "low": result.low, "high": result.high}
    for name, value in row["expected"].items():
        assert computed[name] == pytest.approx(value, abs=row["tol"][name])


@pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in printed()["comparison_loss"]])
def test_drawn_comparison_loss_has_the_printed_interval(row: Case) -> None:
    result = monte_carlo(
        lambda x1, x2: 1e6 * (x1**2 + x2**2),
        [Quantity(row["x1"], "1", 0.005), Quantity(0.0, "1", 0.005)],
        np.random.default_rng(20080904),
        400_000,
        unit="1",
    )
    computed = {
        "value": result.quantity.value,
        "u": result.quantity.uncertainty,
        "low": result.shortest_low,
        "high": result.shortest_high,
    }
    for name, value in row["expected"].items():
        assert computed[name] == pytest.approx(value, abs=row["tol"][name])


def test_the_second_order_agrees_with_the_drawn_comparison_loss() -> None:
    # At x1 = 0 the first order says no uncertainty at all; the exact standard deviation is 2 u² = 50e-6.
    inputs = [Quantity(0.0, "1", 0.005), Quantity(0.0, "1", 0.005)]
    assert propagate(lambda a, b: a**2 + b**2, inputs, unit="1").uncertainty == pytest.approx(0.0, abs=1e-12)
    assert second_order_uncertainty(lambda a, b: a**2 + b**2, inputs) == pytest.approx(50e-6, rel=1e-6)
