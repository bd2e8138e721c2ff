"""The truth behind the demo of the crumb vacuum; invented, like the device."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit import Circuit, Situation, operating_point

from ..invention import Invention

CHARGE = 1.163  # [Ah] that the cell gives from full until 3.0 V at half an ampere
USABLE = 0.97  # share of it that the motor's higher current gets out
TAPER = 1400.0  # [s] of the charge at steady voltage


def quantities(circuit: Circuit, situations: Mapping[str, Situation]) -> Mapping[str, float]:
    """What clock, gauge, scales and load show, as far as possible from the solved circuit."""
    names = ("running", "charging")
    point = operating_point(circuit, situations=[situations[name] for name in names])
    running, charging = point.at("running"), point.at("charging")
    return {
        "cell_charge": CHARGE,
        "run_to_cutoff": 3600.0 * USABLE * CHARGE / -running.current("BT1"),
        "charge_to_full": 3600.0 * 0.93 * CHARGE / charging.current("BT1") + TAPER,
        "closed_suction": 5620.0,
        "weight": 0.318,
    }


TRUTH = Invention(
    dossier="crumb-vacuum",
    seed="crumb vacuum 1",
    values={
        # A crimp inside the red wire's sleeve has come loose: the one thing that the dossier does not know.
        ("W4", "resistance"): 0.081,
        ("W5", "resistance"): 0.0165,
        ("BT1", "internal_resistance"): 0.0565,
        ("J1", "voltage"): 5.13,
        ("W1", "loop_resistance"): 0.262,
        ("F1", "resistance"): 0.131,
        ("D2", "forward_drop"): 1.91,
        ("U1", "program_gain"): 1168.0,
        ("U1", "program_voltage"): 1.013,
        ("R3", "resistance"): 3012.0,
        ("R2", "resistance"): 987.0,
        ("R13", "resistance"): 10.2,
        ("U2", "supply_current"): 1.34e-3,
        ("U2", "drive_resistance"): 21.0,
        ("R7", "resistance"): 100.4e3,
        ("R8", "resistance"): 99.3e3,
        ("R4", "resistance"): 477.0,
        ("D3", "forward_drop"): 2.09,
        ("R11", "resistance"): 216.0,
        ("Q1", "on_resistance"): 0.0265,
        ("Q1", "threshold"): 0.82,
        ("M1", "resistance"): 0.276,
        ("M1", "back_emf_constant"): 0.962e-3,
        ("M1", "no_load_current"): 0.58,
        ("M1", "load_damping"): 1.19e-6,
        ("W2", "resistance"): 0.0112,
        ("W3", "resistance"): 0.0096,
        ("R14", "resistance"): 46.1,
        ("D5", "forward_drop"): 3.0,
    },
    settings={
        "idle": {("BT1", "emf"): 4.1131, ("U2", "supply_current"): 4.4e-6},
        "button_held": {("BT1", "emf"): 4.1126},
        "running": {("BT1", "emf"): 4.0174},
        "stalled": {("BT1", "emf"): 4.0052},
        "charging": {("BT1", "emf"): 3.7868},
    },
    quantities=quantities,
    scatter={
        "motor_voltage": 0.0015,
        "motor_current": 0.004,
        "charge_current": 0.002,
        "closed_suction": 0.012,
    },
)
