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
from lidoff.hazards.checks.risk_group import risk_group
from lidoff.hazards.shining import permitted_time, weighted_share
from lidoff.hazards.spectra import sunlight, white
from lidoff.hazards.weights import (
    ACTINIC,
    BRIGHTNESS,
    ERYTHEMA,
    NEAR_ULTRAVIOLET,
    Action,
    actinic_weight,
    blue_weight,
    erythema_weight,
    luminosity,
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
    found = row["irradiance_W_m2"] * weighted_share(ACTINIC, row["wavelength_nm"] * 1e-9, 1e-15)
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
    assert 0.5 == pytest.approx(weighted_share(NEAR_ULTRAVIOLET, 400e-9, 12e-9), abs=0.002)


# --- the sun (ASTM G173)

SPECTRA = [row for row in FACTS["solar"] if "spectrum" in row]


def band(low: float, high: float) -> Action:
    return Action(title="band", weight=np.ones_like, low=low * 1e-9, high=high * 1e-9)


@pytest.mark.parametrize("row", SPECTRA, ids=lambda row: row["id"])
@pytest.mark.parametrize(
    ("key", "action"),
    [
        ("total_280_4000", band(280.0, 4000.0)),
        ("uvb_280_315", band(280.0, 315.0)),
        ("uva_315_400", NEAR_ULTRAVIOLET),
        ("uv_280_400", band(280.0, 400.0)),
        ("uva1_340_400", band(340.0, 400.0)),
        ("visible_380_780", band(380.0, 780.0)),
        ("par_400_700", band(400.0, 700.0)),
        ("erythemal_W_m2", ERYTHEMA),
    ],
)
def test_integrals_of_sunlight(row: dict[str, Any], key: str, action: Action) -> None:
    found = sunlight(row["spectrum"]).sum(action)
    assert row[key] == pytest.approx(found, rel=row["tol_rel"])


@pytest.mark.parametrize("row", SPECTRA, ids=lambda row: row["id"])
def test_actinic_sum_of_sunlight(row: dict[str, Any]) -> None:
    # The printed sum takes its weights from a table of every nanometre, ours from the guideline's own rows and lines of the
    # logarithm between them; near 300 nm they differ by some per mille.
    assert row["S_weighted_W_m2"] == pytest.approx(sunlight(row["spectrum"]).sum(ACTINIC), rel=4e-3)


@pytest.mark.parametrize("row", SPECTRA, ids=lambda row: row["id"])
def test_illuminance_of_sunlight(row: dict[str, Any]) -> None:
    efficacy = limit_table("luminosity").entries["efficacy"]
    found = efficacy * sunlight(row["spectrum"]).sum(BRIGHTNESS)
    assert row["illuminance_lx"] == pytest.approx(found, rel=row["tol_rel"])


def test_total_of_sunlight_is_that_of_the_standard() -> None:
    row = next(row for row in FACTS["solar"] if row["id"] == "g173-nominal")
    assert row["total_280_4000"] == pytest.approx(sunlight().sum(), abs=0.05)
    assert row["direct"] == pytest.approx(sunlight("direct").sum(), abs=0.05)
    assert row["etr"] == pytest.approx(sunlight("extraterrestrial").sum(), abs=0.05)


# --- sunburn and brightness


def test_sunburn_weight_at_every_told_wavelength() -> None:
    row = FACTS["erythema"][0]
    found = erythema_weight(np.array(row["wavelength_nm"]) * 1e-9)
    assert row["value"] == pytest.approx(found, rel=1e-4)  # five digits are printed


def test_a_standard_dose_at_a_high_index() -> None:
    rows = {row["id"]: row for row in FACTS["uv_index"]}
    told = LIMITS["erythema"]
    assert (rows["uvi"]["value"], rows["med"]["value"]) == (told["index"], told["dose"])
    found = permitted_time(8.0 * told["index"], told["dose"])
    assert rows["uvi-8-sed"]["value"] == pytest.approx(found)


def test_brightness_at_every_told_wavelength() -> None:
    row = FACTS["photopic"][0]
    at = np.array(row["wavelength_nm"])
    on_grid = at % 5 == 0
    found = luminosity(at * 1e-9)
    assert np.array(row["V"])[on_grid] == pytest.approx(found[on_grid], rel=1e-5)
    assert np.array(row["V"]) == pytest.approx(found, rel=3e-3)  # between the rows of five nanometres


# --- risk groups


@pytest.mark.parametrize("row", FACTS["risk_group"], ids=lambda row: row["id"])
def test_risk_groups_end_where_their_table_says(row: dict[str, Any]) -> None:
    keys = {"rg-1": "actinic", "rg-2": "near_ultraviolet", "rg-3": "blue_radiance", "rg-4": "blue"}
    limits = (row["exempt"], row["rg1"], row["rg2"])
    assert limits == tuple(LIMITS["risk"][keys[row["id"]]])
    assert 3 == risk_group(1.01 * row["rg2"], limits)
    assert 0 == risk_group(row["exempt"], limits)


@pytest.mark.parametrize(("identity", "key"), [("LB-dose", "dose"), ("LB-long", "radiance")])
def test_limits_of_blue_radiance_are_those_of_their_source(identity: str, key: str) -> None:
    (row,) = (row for row in FACTS["blue_radiance"] if row["id"] == identity)
    assert row["value"] == LIMITS["blue_radiance"][key]


@pytest.mark.parametrize(("identity", "kelvin"), [("ler-led-b1", 2733.0), ("ler-led-b3", 4103.0)])
def test_lumens_of_a_white_diode_for_each_watt(identity: str, kelvin: float) -> None:
    # The bells have no tail into the deep red, so they come out some percent too bright.
    (row,) = (row for row in FACTS["photopic"] if row["id"] == identity)
    efficacy = limit_table("luminosity").entries["efficacy"]
    assert row["lm_per_W"] == pytest.approx(efficacy * white(kelvin).sum(BRIGHTNESS), rel=0.1)


@pytest.mark.parametrize(
    "row", [row for row in FACTS["photopic"] if row["id"].startswith("mono-")], ids=lambda row: row["id"]
)
def test_lumens_of_a_single_line(row: dict[str, Any]) -> None:
    nanometres = float(row["id"].removeprefix("mono-"))
    efficacy = limit_table("luminosity").entries["efficacy"]
    found = efficacy * weighted_share(BRIGHTNESS, nanometres * 1e-9, 1e-15)
    assert row["lumen"] == pytest.approx(found, rel=3e-3)  # between rows of five nanometres
