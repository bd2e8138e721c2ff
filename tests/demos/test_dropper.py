"""The night light on mains, followed through the period, beside the average that its operating point rests on."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from lidoff.circuit import Waveforms, figures, operating_point, periodic_steady_state
from lidoff.dossier import circuit_of, load_dossier, situations_of

FOLDER = Path(__file__).parents[2] / "demos" / "night-light"


@cache
def on_mains(name: str) -> Waveforms:
    """One period with the dropper itself in place of V1, which stands for it."""
    dossier = load_dossier(FOLDER)
    situation = next(one for one in situations_of(dossier) if one.name == name)
    # C2 starts near its voltage, from where the search for the period sets out.
    return periodic_steady_state(circuit_of(dossier), situation=situation, start={"C2": 10.0})


def through_bridge(wave: Waveforms) -> float:
    return sum(figures(wave.times, wave.current(diode)).average for diode in ("D1", "D2"))


@pytest.mark.parametrize("name", ["dark", "bright"])
def test_the_dropper_passes_four_charges_a_period(name: str) -> None:
    wave = on_mains(name)
    rail = figures(wave.times, wave.voltage("rail")).average
    # I = 4·f·C·(√2·U − U_rail − 2·U_D): C swings from peak to peak and back each period, less what the bridge takes;
    # R1 of 100 Ω and the ripple are left out, hence the tolerance.
    expected = 4.0 * 50.0 * 220e-9 * (2.0**0.5 * 230.0 - rail - 2.0 * 0.7)
    assert through_bridge(wave) == pytest.approx(expected, rel=0.005)


@pytest.mark.parametrize("name", ["dark", "bright"])
def test_the_stand_in_gives_the_average_current_of_the_dropper(name: str) -> None:
    dossier = load_dossier(FOLDER)
    point = operating_point(circuit_of(dossier), situations=situations_of(dossier)).at(name)
    assert -point.current("V1") == pytest.approx(through_bridge(on_mains(name)), rel=0.005)


def test_power_from_the_mains_is_power_in_the_parts() -> None:
    wave = on_mains("dark")
    taken = [wave.power_figures(part.reference).real for part in wave.circuit.parts if part.reference != "J1"]
    assert sum(taken) == pytest.approx(-wave.power_figures("J1").real, rel=0.01)


def test_the_light_takes_more_by_day_than_at_night() -> None:
    night, day = (-on_mains(name).power_figures("J1").real for name in ("dark", "bright"))
    assert day > 1.1 * night


def test_the_dropper_may_be_left_with_more_than_three_hundred_volts() -> None:
    wave = on_mains("dark")
    assert figures(wave.times, wave.part_voltage("C1")).highest > 300.0
