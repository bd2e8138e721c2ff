"""Weights and limits of light against published tables, and sums on them.

The figures and their sources stand in data/light.toml, apart from the package's own tables, so that each check compares two
independent copies. Rows with how = "memory" were recalled: they check the rule, not the standard.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lidoff.hazards import limit_table
from lidoff.hazards.checks.light import (
    actinic_weight,
    blue_weight,
    near_ultraviolet_weight,
    permitted_time,
    weighted_share,
)

FACTS: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "data" / "light.toml").read_text(encoding="utf-8")
)
WEIGHTS = FACTS["uv_weighting"][0]
LIMITS = limit_table("light_limits").entries
MONOCHROMATIC = [row for row in FACTS["uv_example"] if "wavelength_nm" in row]


@pytest.mark.parametrize(
    ("nanometres", "weight"), list(zip(WEIGHTS["wavelength_nm"], WEIGHTS["S"], strict=True))
)
def test_actinic_weight_at_every_tabulated_wavelength(nanometres: float, weight: float) -> None:
    assert weight == pytest.approx(float(actinic_weight(np.array([nanometres * 1e-9]))[0]), rel=1e-9)


@pytest.mark.parametrize("row", FACTS["blue_light"], ids=lambda row: row["id"])
def test_blue_weight_at_every_tabulated_wavelength(row: dict[str, Any]) -> None:
    found = blue_weight(np.array(row["wavelength_nm"]) * 1e-9)
    assert row["B"] == pytest.approx(found, rel=5e-4)  # the formula's values are printed to four digits


@pytest.mark.parametrize("nanometres", [179.0, 401.0])
def test_actinic_weight_is_nothing_outside_its_band(nanometres: float) -> None:
    assert 0.0 == actinic_weight(np.array([nanometres * 1e-9]))[0]


@pytest.mark.parametrize("row", MONOCHROMATIC, ids=lambda row: row["id"])
def test_a_single_line_acts_by_its_weight(row: dict[str, Any]) -> None:
    found = row["irradiance_W_m2"] * weighted_share(actinic_weight, row["wavelength_nm"] * 1e-9, 1e-15)
    assert row["effective_W_m2"] == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize("row", MONOCHROMATIC, ids=lambda row: row["id"])
def test_time_to_the_actinic_limit(row: dict[str, Any]) -> None:
    found = permitted_time(row["effective_W_m2"], LIMITS["actinic"]["exposure"])
    assert row["time_to_30_J_m2_s"] == pytest.approx(found, rel=5e-4)  # four digits are printed


def test_time_to_the_limit_of_near_ultraviolet() -> None:
    row = next(row for row in FACTS["uv_example"] if row["id"] == "uva-time-365")
    assert row["time_to_1e4_J_m2_s"] == permitted_time(10.0, LIMITS["near_ultraviolet"]["exposure"])


@pytest.mark.parametrize(
    ("identity", "found"),
    [
        ("heff-30", LIMITS["actinic"]["exposure"]),
        ("huva-eye", LIMITS["near_ultraviolet"]["exposure"]),
        ("uva-1000s", LIMITS["near_ultraviolet"]["irradiance"]),
    ],
)
def test_limits_are_those_of_their_source(identity: str, found: float) -> None:
    assert next(row["value"] for row in FACTS["uv_limit"] if row["id"] == identity) == found


def test_a_bell_centred_on_the_edge_counts_by_half() -> None:
    assert 0.5 == pytest.approx(weighted_share(near_ultraviolet_weight, 400e-9, 12e-9), abs=0.002)
