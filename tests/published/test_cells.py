"""Limits of lithium cells against data sheets and test tables of their makers."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from lidoff.hazards import limit_table

FACTS: dict[str, dict[str, Any]] = {
    row["id"]: row
    for row in tomllib.loads((Path(__file__).parent / "data" / "cells.toml").read_text(encoding="utf-8"))[
        "cell_test"
    ]
}
TABLE = limit_table("lithium_cells").entries
ROW = TABLE["lithium-ion"]


def test_the_charge_limit_is_that_of_a_data_sheet() -> None:
    assert FACTS["inr-25r-charge"]["V"] == ROW["charge_limit"]


def test_the_standard_charge_is_that_of_a_data_sheet() -> None:
    capacity = FACTS["inr-25r-nominal"]["min_mAh"] / 1000.0
    assert FACTS["inr-25r-charge"]["A"] == pytest.approx(TABLE["standard_charge"] * capacity)


def test_a_pack_of_two_is_charged_and_emptied_to_twice_the_limits_of_a_cell() -> None:
    row = FACTS["lipo-2s"]
    assert (row["V_charge"], row["V_end"]) == (2.0 * ROW["charge_limit"], 2.0 * ROW["usual_cut_off"])


def test_a_data_sheet_empties_the_cell_to_the_lowest_voltage_taken() -> None:
    # "to 2.5 V", in the words of the data sheet's clause on capacity
    assert f"to {ROW['cut_off']:g} V" in FACTS["inr-25r-nominal"]["quantity"]
