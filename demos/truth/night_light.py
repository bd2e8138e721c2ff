"""The truth behind the demo of the night light; invented, like the device."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from scipy.optimize import brentq

from lidoff.circuit import Circuit, Situation, Waveforms, figures, operating_point, periodic_steady_state

from ..invention import Invention

MAINS = 231.4  # [V] effective, at this socket
FREQUENCY = 50.0  # [Hz]
DROPPER = 161e-9  # [F] left of 220 nF: the film has cleared many small breakdowns and lost area each time
DROPS = 2 * 0.71  # [V] of the two diodes that conduct, at 10 mA
METER = 10e6  # [Ω]
NEAR_PEAK = 0.97  # of the peak, the best of ten pulls


def on_mains(circuit: Circuit, situation: Situation) -> Waveforms:
    """The repeating waveform of the whole circuit, in which the dropper itself takes the place of V1, which stands for it."""
    return periodic_steady_state(circuit, situation=situation, start={"C2": 10.0})


def switching_light(circuit: Circuit, dark: Situation) -> float:
    """Illuminance at which half of the rail's current passes the LEDs [lx]."""

    def excess(light: float) -> float:
        here = replace(dark, settings={**dark.settings, "R4": {"light": light}})
        point = operating_point(circuit, situations=[here]).at(0)
        return point.current("R5") + 0.5 * point.current("V1")

    return float(brentq(excess, 1.0, 500.0, xtol=1e-3))


def quantities(circuit: Circuit, situations: Mapping[str, Situation]) -> Mapping[str, float]:
    """What the meters at the mains show, from the waveform, and what the sensor does."""
    dark, bright = (on_mains(circuit, situations[name]) for name in ("dark", "bright"))
    # Pulled at the peak, C1 keeps its voltage, of which the rail's is in the way of the meter at the pins.
    caught = (
        figures(dark.times, dark.part_voltage("C1")).highest
        - figures(dark.times, dark.voltage("rail")).average
    )
    return {
        "mains_voltage": MAINS,
        "mains_power_dark": -dark.power_figures("J1").real,
        "mains_power_bright": -bright.power_figures("J1").real,
        "mains_current_dark": figures(dark.times, dark.current("J1")).rms,
        "charge_on_the_pins": NEAR_PEAK * caught * math.exp(-1.0 / (METER * DROPPER)),
        "light_at_switching": switching_light(circuit, situations["dark"]),
    }


TRUTH = Invention(
    dossier="night-light",
    seed="night light 1",
    values={
        # The dropper has aged: the one thing that the dossier does not know. V1 stands for what is left of it.
        ("C1", "capacitance"): DROPPER,
        ("J1", "voltage"): MAINS,
        ("V1", "voltage"): 2.0**0.5 * MAINS - DROPS,
        ("V1", "resistance"): 1.0 / (4.0 * FREQUENCY * DROPPER),
        ("R1", "resistance"): 102.0,
        ("D5", "breakdown_voltage"): 11.84,
        ("R3", "resistance"): 46.2e3,
        ("R4", "resistance"): 8.7e3,
        ("R4", "gamma"): 0.73,
        ("R4", "dark_resistance"): 1.7e6,
        ("R6", "resistance"): 10.1e3,
        ("Q1", "current_gain"): 265.0,
        ("Q1", "base_emitter_drop"): 0.641,
        ("LED1", "forward_drop"): 3.07,
        ("LED2", "forward_drop"): 3.08,
        ("LED3", "forward_drop"): 3.06,
        ("R5", "resistance"): 47.9,
    },
    settings={
        "bench_dark": {("V1", "voltage"): 10.507, ("V1", "resistance"): 0.05},
        "bench_bright": {("V1", "voltage"): 10.507, ("V1", "resistance"): 0.05},
    },
    quantities=quantities,
    scatter={
        "mains_voltage": 0.0015,
        "mains_power_dark": 0.006,
        "mains_power_bright": 0.006,
        "light_at_switching": 0.04,
    },
)
