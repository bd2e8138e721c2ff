"""Which figure of a waveform a claim's sum takes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from lidoff.errors import ImpossibleValue
from lidoff.evidence.claim_roles import (
    CHARGE,
    CURRENT,
    POWER,
    TIMED_OR_DIVIDED,
    VOLTAGE_TIMES_CURRENT,
    as_read,
)
from lidoff.evidence.over_period import OverPeriod, figure_for
from lidoff.quantities import Quantity

PLAIN = as_read(CURRENT)
DIVIDED = TIMED_OR_DIVIDED[1]


def over_period(mean: float, swing: float) -> OverPeriod:
    """What has this mean and swings about it by this effective value."""
    return OverPeriod(mean=Quantity(mean, "A"), effective=Quantity(math.hypot(mean, swing), "A"))


def test_power_is_its_mean() -> None:
    shown = figure_for(OverPeriod(mean=Quantity(3.0, "W"), effective=None), POWER, as_read(POWER))
    assert (3.0, "mean over a period", False) == (shown.quantity.value, shown.seen, shown.alternates)


def test_what_hardly_changes_is_its_mean() -> None:
    shown = figure_for(over_period(-2.0, 0.05), CURRENT, PLAIN)
    assert (-2.0, "mean over a period", False) == (shown.quantity.value, shown.seen, shown.alternates)


def test_what_changes_is_its_effective_value() -> None:
    shown = figure_for(over_period(3.0, 4.0), CURRENT, PLAIN)
    assert (5.0, "effective over a period", True) == (shown.quantity.value, shown.seen, shown.alternates)


def test_a_current_that_moves_charge_is_its_mean() -> None:
    assert 3.0 == figure_for(over_period(3.0, 4.0), CURRENT, DIVIDED).quantity.value


def test_volts_times_amperes_take_effective_values_as_apparent_power_does() -> None:
    shown = figure_for(over_period(3.0, 4.0), CURRENT, VOLTAGE_TIMES_CURRENT)
    assert (5.0, True) == (shown.quantity.value, shown.alternates)


def test_charge_over_a_current_without_a_mean_is_refused() -> None:
    assert CHARGE in DIVIDED.inputs
    with pytest.raises(ImpossibleValue, match="it alternates, and moves no charge to speak of over a period"):
        figure_for(over_period(0.0, 1.0), CURRENT, DIVIDED)


def test_what_only_pulses_from_steady_supplies_is_what_a_dc_meter_shows() -> None:
    shown = figure_for(replace(over_period(3.0, 4.0), pulsed=True), CURRENT, PLAIN)
    assert (3.0, "mean over a period", True) == (shown.quantity.value, shown.seen, shown.alternates)


def test_what_pulses_to_both_sides_alike_is_its_effective_value() -> None:
    shown = figure_for(replace(over_period(0.0, 4.0), pulsed=True), CURRENT, PLAIN)
    assert (4.0, "effective over a period") == (shown.quantity.value, shown.seen)
