"""Limits of safety standards against transcriptions, and hand sums on their examples.

The figures and their sources stand in data/safety.toml, apart from the package's own tables, so that each check compares two
independent copies. Rows with how = "memory" were recalled: they check the rule, not the standard.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from lidoff.hazards import limit_table
from lidoff.hazards.checks.stored_charge import time_to_fall

FACTS: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "data" / "safety.toml").read_text(encoding="utf-8")
)
DISCHARGE = {row["id"]: row for row in FACTS["capacitor_discharge"]}


def rows(table: str) -> list[Any]:
    """Rows of one table, each named for the report."""
    return [pytest.param(row, id=row["id"]) for row in FACTS[table]]


# --- discharge of capacitors


@pytest.mark.parametrize(("ours", "theirs"), [("mains", "60335"), ("steady", "62368-plug")])
def test_discharge_limits_are_those_of_their_standard(ours: str, theirs: str) -> None:
    told, row = limit_table("capacitor_discharge").entries[ours], DISCHARGE[theirs]
    assert (row["voltage"], row["after_s"]) == (told["voltage"], told["after"])


def test_discharge_is_asked_from_a_tenth_of_a_microfarad() -> None:
    told = limit_table("capacitor_discharge").entries["mains"]["from_capacitance"]
    assert DISCHARGE["60335"]["threshold_uF"] == pytest.approx(told * 1e6)


def test_after_one_time_constant_the_printed_share_remains() -> None:
    share = DISCHARGE["60950-37"]["fraction"]
    assert 1.0 == pytest.approx(time_to_fall(1.0, share, 1.0, 1.0), abs=0.005 / share)


def test_the_largest_resistor_of_the_worked_example_has_the_time_constant_of_a_second() -> None:
    row = DISCHARGE["x-cap-1s"]
    fallen = time_to_fall(math.e, 1.0, row["resistance_ohm"], row["capacitance_nF"] * 1e-9)
    assert 1.0 == pytest.approx(fallen)
