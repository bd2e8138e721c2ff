"""Printed results on charge and energy, each with its source in data/batteries.toml.

How capacity falls with the current (Peukert) is not tested: lidoff predicts none, and says at which current it was read.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import Claim, FromSolution, FromStatement, integrate, judge, mean_over, read_log
from lidoff.quantities import Quantity

Case = Mapping[str, Any]


@cache
def printed() -> dict[str, Any]:
    with (Path(__file__).parent / "data" / "batteries.toml").open("rb") as file:
        return tomllib.load(file)


def rows(section: str) -> list[Any]:
    return [pytest.param(row, id=row["id"]) for row in printed()[section]]


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


@pytest.mark.parametrize("row", rows("energy"))
def test_a_log_of_steady_power_holds_the_printed_energy(row: Case) -> None:
    lines = [f"{hour},{row['volts']:.3f},{row['amperes']:.3f}" for hour in range(round(row["hours"]) + 1)]
    log = read_log("\n".join(("t [h],U [V],I [A]", *lines)).encode())
    energy = integrate(log, ("U", "I")).quantity
    assert row["expected_kwh"] == pytest.approx(energy.value_in("kWh"), abs=row["tol"])


@pytest.mark.parametrize("row", rows("charge"))
def test_a_printed_charge_is_the_current_over_its_time(row: Case) -> None:
    amperes = row["coulombs"] / row["seconds"]
    lines = [f"{second},{amperes:.3f}" for second in range(round(row["seconds"]) + 1)]
    log = read_log("\n".join(("t [s],I [A]", *lines)).encode())
    assert row["expected_amperes"] == mean_over(log, "I").quantity.value
    assert row["coulombs"] == pytest.approx(3600.0 * integrate(log, ("I",)).quantity.value)


@pytest.mark.parametrize("row", rows("cell"))
def test_a_claimed_energy_is_the_printed_one(row: Case) -> None:
    inputs = {
        "charge": FromStatement(value=f"{row['ampere_hours']} Ah", why="printed"),
        "voltage": FromStatement(value=f"{row['volts']} V", why="printed"),
    }
    claim = Claim(
        name="cell", kind="battery_energy", says="Wh", value=f"{row['expected_wh']} Wh", inputs=inputs
    )
    found = judge(claim, {}, unsolved).found
    assert found is not None
    assert row["expected_wh"] == pytest.approx(found.value, abs=row["tol"])
