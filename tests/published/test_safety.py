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
from lidoff.hazards.checks.insulation import impulse_voltage, required_clearance, required_creepage
from lidoff.hazards.falling import time_to_fall

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


def test_the_charge_that_may_be_left_is_that_of_its_standard() -> None:
    row, told = DISCHARGE["61010"], limit_table("capacitor_discharge").entries["charge"]
    assert (row["charge_uC"], row["t_s"]) == (pytest.approx(1e6 * told["charge"]), told["after"])


def test_the_example_holds_more_charge_than_that() -> None:
    row = DISCHARGE["61010-example"]
    charge = row["capacitance_uF"] * row["v"]
    assert row["charge_uC"] == pytest.approx(charge)
    assert charge > DISCHARGE["61010"]["charge_uC"]


# --- what may be touched (IEC 62368-1, recalled)

SOURCES = {row["id"]: row for row in FACTS["energy_source"]}


@pytest.mark.parametrize(
    ("identity", "sort", "key", "scale"),
    [
        ("es1-dc", "steady", "voltage", 1.0),
        ("es1-ac", "alternating", "voltage", 1.0),
        ("es1-i-dc", "steady", "felt", 1e3),
        ("es1-i-ac", "alternating", "felt", 1e3),
        ("es2-i-dc", "steady", "holds", 1e3),
        ("es2-i-ac", "alternating", "holds", 1e3),
    ],
)
def test_what_may_be_touched_is_that_of_its_standard(
    identity: str, sort: str, key: str, scale: float
) -> None:
    told = limit_table("touch_current").entries[sort][key]
    assert SOURCES[identity]["limit"] == pytest.approx(scale * told)


# --- distances (IEC 60664-1)

SURFACE = {"printed": "printed board", "other": "other"}
GROUPS = {"all": ("I", "II", "IIIa", "IIIb"), "I, II, IIIa": ("I", "II", "IIIa"), "III": ("IIIa", "IIIb")}


@pytest.mark.parametrize("row", rows("creepage"))
def test_creepage_at_every_tabulated_voltage(row: dict[str, Any]) -> None:
    for group in GROUPS.get(row["material_group"], (row["material_group"],)):
        found = [
            1e3
            * required_creepage(
                voltage,
                surface=SURFACE[row["construction"]],
                pollution_degree=str(row["pollution_degree"]),
                material_group=group,
                insulation="basic",
            )
            for voltage in row["voltage_rms"]
        ]
        assert row["creepage_mm"] == pytest.approx(found, rel=1e-12)


@pytest.mark.parametrize(
    ("table", "insulation"), [("clearance", "basic"), ("clearance_reinforced", "reinforced")]
)
def test_clearance_at_every_tabulated_impulse(table: str, insulation: str) -> None:
    for row in FACTS[table]:
        found = [
            1e3
            * required_clearance(
                impulse, pollution_degree=str(row["pollution_degree"]), insulation=insulation
            )
            for impulse in row["impulse_V"]
        ]
        assert row["clearance_mm"] == pytest.approx(found, rel=1e-12)


def test_clearance_grows_with_the_altitude() -> None:
    (row,) = FACTS["altitude_factor"]
    plain = required_clearance(2500.0, pollution_degree="2", insulation="basic")
    found = [
        required_clearance(2500.0, pollution_degree="2", insulation="basic", altitude=metres) / plain
        for metres in row["altitude_m"]
    ]
    assert row["factor"] == pytest.approx(found, rel=1e-12)


@pytest.mark.parametrize("row", rows("impulse_voltage"))
def test_impulses_of_the_mains_at_every_tabulated_voltage(row: dict[str, Any]) -> None:
    found = [impulse_voltage(volts, row["overvoltage_category"]) for volts in row["line_to_neutral_V"]]
    assert row["impulse_V"] == found


EXAMPLES = {row["id"]: row for row in FACTS["spacing_example"]}


def creepage_at(volts: float, insulation: str) -> float:
    return 1e3 * required_creepage(
        volts, surface="other", pollution_degree="2", material_group="IIIa", insulation=insulation
    )


@pytest.mark.parametrize(("example", "insulation"), [("sx-1", "basic"), ("sx-2", "reinforced")])
def test_creepage_of_the_examples_at_the_next_row_up(example: str, insulation: str) -> None:
    assert EXAMPLES[example]["creepage_mm"] == pytest.approx(creepage_at(250.0, insulation))


def test_creepage_between_two_rows_lies_on_the_straight_line() -> None:
    assert 2.3 == pytest.approx(creepage_at(230.0, "basic"))  # told with example sx-1


@pytest.mark.parametrize(
    ("example", "mains", "insulation"),
    [("sx-3", 230.0, "basic"), ("sx-4", 230.0, "reinforced"), ("sx-5", 120.0, "basic")],
)
def test_clearance_of_the_examples(example: str, mains: float, insulation: str) -> None:
    row = EXAMPLES[example]
    impulse = impulse_voltage(mains, "II")
    found = 1e3 * required_clearance(impulse, pollution_degree="2", insulation=insulation)
    assert (row["impulse_V"], row["clearance_mm"]) == (impulse, pytest.approx(found))
