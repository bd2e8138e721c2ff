"""Whole worked examples of the uncertainty guides, each with its source in data/uncertainty.toml.

A line by least squares (JCGM 100, H.3), a model in which the first order misses most of the uncertainty (JCGM 101, 9.3),
and probabilities of keeping to limits (JCGM 106).
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import Claim, FromSolution, FromStatement, judge
from lidoff.quantities import (
    Joint,
    Quantity,
    coverage_factor,
    monte_carlo,
    probability_at_least,
    probability_between,
    propagate,
    propagate_jointly,
    second_order_uncertainty,
)

Case = Mapping[str, Any]


@cache
def printed() -> dict[str, Any]:
    with (Path(__file__).parent / "data" / "uncertainty.toml").open("rb") as file:
        return tomllib.load(file)


# --- JCGM 100:2008, H.3: intercept and slope as functions of the eleven corrections, which share one scatter


def of_the_line(part: int) -> Callable[..., float]:
    """Intercept (0) or slope (1) of the least-squares line, as a function of the corrections."""
    case = printed()["line"]
    away = np.array(case["readings"]) - case["reference"]
    weights = np.linalg.pinv(np.column_stack([np.ones_like(away), away]))[part]
    return lambda *corrections: sum(weight * one for weight, one in zip(weights, corrections, strict=True))


def line() -> tuple[Joint, float]:
    """Intercept and slope with their correlation, and the scatter about the line."""
    case = printed()["line"]
    away = np.array(case["readings"]) - case["reference"]
    corrections = np.array(case["corrections"])
    slope, intercept = np.polyfit(away, corrections, 1)
    count = len(corrections)
    scatter = float(np.sqrt(np.sum((corrections - intercept - slope * away) ** 2) / (count - 2)))
    inputs = [Quantity(float(one), "K", scatter, count - 2) for one in corrections]
    return propagate_jointly([of_the_line(0), of_the_line(1)], inputs, units=["K", "1"]), scatter


def test_a_calibration_line_has_the_printed_parameters() -> None:
    case = printed()["line"]
    joint, scatter = line()
    (y1, y2) = joint.quantities
    computed = {
        "y1": y1.value,
        "u_y1": y1.uncertainty,
        "y2": y2.value,
        "u_y2": y2.uncertainty,
        "r": joint.correlations[0][1],
        "s": scatter,
    }
    for name, value in computed.items():
        assert case["expected"][name] == pytest.approx(value, abs=case["tol"][name]), name


def test_a_correction_read_off_the_line_has_the_printed_uncertainty() -> None:
    case = printed()["line"]
    joint, _ = line()
    found = propagate(
        lambda y1, y2: y1 + y2 * (30.0 - case["reference"]),
        joint.quantities,
        unit="K",
        correlations=joint.correlations,
    )
    assert case["expected"]["b_30"] == pytest.approx(found.value, abs=case["tol"]["b_30"])
    assert case["expected"]["u_b_30"] == pytest.approx(found.uncertainty, abs=case["tol"]["u_b_30"])


# --- JCGM 101:2008, 9.3


def deviation(m_rc: Any, d_rc: Any, rho_a: Any, rho_w: Any, rho_r: Any) -> Any:
    return (m_rc + d_rc) * (1.0 + (rho_a - 1.2) * (1.0 / rho_w - 1.0 / rho_r)) - 100000.0


def mass_inputs() -> tuple[list[Quantity], list[str]]:
    case = printed()["mass"]
    normal = [Quantity(value, "1", spread) for value, spread in case["normal"].values()]
    flat = [Quantity(value, "1", half / math.sqrt(3.0)) for value, half in case["rectangular"].values()]
    return [*normal, *flat], ["normal"] * len(normal) + ["rectangular"] * len(flat)


def test_the_first_order_of_a_mass_is_as_printed() -> None:
    case = printed()["mass"]
    found = propagate(deviation, mass_inputs()[0], unit="1")
    half = coverage_factor(0.95) * found.uncertainty
    computed = {
        "value": found.value,
        "u": found.uncertainty,
        "low": found.value - half,
        "high": found.value + half,
    }
    for name, value in computed.items():
        # The ends carry the print's rounded u: 1.96 times half its last digit more.
        tolerance = case["tol"]["first_order"] * (3.0 if name in ("low", "high") else 1.0)
        assert case["first_order"][name] == pytest.approx(value, abs=tolerance), name


def test_the_second_order_of_a_mass_is_as_printed() -> None:
    case = printed()["mass"]
    found = second_order_uncertainty(deviation, mass_inputs()[0])
    assert case["second_order"]["u"] == pytest.approx(found, abs=case["tol"]["second_order"])


def test_the_draws_of_a_mass_are_as_printed() -> None:
    case = printed()["mass"]
    inputs, shapes = mass_inputs()
    result = monte_carlo(deviation, inputs, np.random.default_rng(20080903), 400_000, unit="1", shapes=shapes)
    computed = {
        "value": result.quantity.value,
        "u": result.quantity.uncertainty,
        "low": result.shortest_low,
        "high": result.shortest_high,
    }
    for name, value in computed.items():
        assert case["drawn"][name] == pytest.approx(value, abs=case["tol"][name]), name


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


# --- JCGM 106:2012: probability of keeping to limits


@pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in printed()["conformity"]])
def test_a_probability_of_keeping_to_limits_is_as_printed(row: Case) -> None:
    found = Quantity(row["found"][0], "1", row["found"][1])
    if "low" in row and "high" in row:
        probability = probability_between(found, row["low"], row["high"])
    elif "low" in row:
        probability = probability_at_least(found, row["low"])
    else:
        probability = 1.0 - probability_at_least(found, row["high"])
    assert row["probability"] == pytest.approx(probability, abs=row["tol"])


@pytest.mark.parametrize("row", [pytest.param(row, id=row["id"]) for row in printed()["conformity"]])
def test_a_claim_of_such_limits_is_judged_by_the_same_probability(row: Case) -> None:
    middle = (
        0.5 * (row["low"] + row["high"])
        if "low" in row and "high" in row
        else row.get("low", row.get("high"))
    )
    claim = Claim(
        name="limits",
        kind="measured_value",
        says="within limits",
        value=f"{middle!r} m",
        sense="about" if "low" in row and "high" in row else "at least" if "low" in row else "at most",
        tolerance=f"{0.5 * (row['high'] - row['low'])!r} m" if "low" in row and "high" in row else "",
        inputs={
            "value": FromStatement(value=f"{row['found'][0]!r} m ± {2 * row['found'][1]!r} m", why="printed")
        },
    )
    verdict = judge(claim, {}, unsolved).verdict
    assert row["probability"] == pytest.approx(verdict.probability, abs=row["tol"])
