"""Warmth of tracks and loss in cables against worked examples.

The figures and their sources stand in data/safety.toml, apart from the package's own tables.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from lidoff.circuit import Circuit, Part, operating_point
from lidoff.hazards import limit_table
from lidoff.hazards.checks.surface_heat import surface_limits
from lidoff.hazards.checks.track_current import track_rise, track_width

FACTS: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "data" / "safety.toml").read_text(encoding="utf-8")
)
OUNCE = 1.378 * 25.4e-6  # [m] thickness of an ounce to the square foot, as stated with the examples


def rows(table: str) -> list[Any]:
    """Rows of one table, each named for the report."""
    return [pytest.param(row, id=row["id"]) for row in FACTS[table]]


@pytest.mark.parametrize("row", rows("ipc_current"))
def test_curves_are_those_of_their_standard(row: dict[str, Any]) -> None:
    table = limit_table("track_current").entries
    assert (row["k"], row["b"], row["c"]) == (
        table[row["layer"]],
        table["rise_power"],
        table["area_power"],
    )


@pytest.mark.parametrize("row", rows("ipc_example"))
def test_width_of_a_track_for_its_current_and_rise(row: dict[str, Any]) -> None:
    inside = row["layer"] == "internal"
    found = track_width(row["current_A"], row["dT_K"], OUNCE * row["copper_oz"], inside=inside)
    assert row["width_mm"] == pytest.approx(1e3 * found, rel=2e-4)


@pytest.mark.parametrize("row", rows("ipc_example"))
def test_rise_of_a_track_of_that_width(row: dict[str, Any]) -> None:
    inside = row["layer"] == "internal"
    found = track_rise(row["current_A"], 1e-3 * row["width_mm"], OUNCE * row["copper_oz"], inside=inside)
    assert row["dT_K"] == pytest.approx(found, rel=1e-3)


@pytest.mark.parametrize("row", rows("usb_cable_example"))
def test_loss_of_a_cable_by_gauge_length_and_current(row: dict[str, Any]) -> None:
    cable = Part(
        reference="W1",
        kind="cable",
        pins={"near_plus": "plus", "near_minus": "gnd", "far_plus": "far", "far_minus": "back"},
        values={"length": row["length_m"], "gauge": float(row["awg"]), "temperature": 20.0},
    )
    supply = Part(
        reference="J1", kind="dc_supply", pins={"plus": "plus", "minus": "gnd"}, values={"voltage": 5.0}
    )
    load = Part(
        reference="I1",
        kind="current_supply",
        pins={"plus": "back", "minus": "far"},
        values={"current": row["current_A"]},
    )
    solution = operating_point(Circuit(parts=(supply, cable, load)))
    lost = 5.0 - float((solution.voltage("far") - solution.voltage("back"))[0])
    assert row["round_trip_drop_V"] == pytest.approx(lost, abs=0.0001)


SORTS = {"TS1": 0, "TS2": 1}
TOUCHES = {
    "held or worn in normal use (over 1 min)": "held",
    "10 s to 1 min": "10 s to 1 min",
    "1 s to 10 s": "1 s to 10 s",
    "below 1 s": "below 1 s",
}


@pytest.mark.parametrize("row", rows("touch_temperature"))
@pytest.mark.parametrize("material", ["metal", "glass", "plastic"])
def test_touch_temperatures_are_those_of_their_table(row: dict[str, Any], material: str) -> None:
    found = surface_limits(material, TOUCHES[row["contact"]])[SORTS[row["cls"]]]
    assert row[f"{material}_C"] == found
