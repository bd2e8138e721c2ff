"""The truth behind the demo of the insect lure; invented, like the device."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit import Circuit, Situation

from ..invention import Invention

LED_DROPS = (
    3.241, 3.256, 3.262, 3.239, 3.247, 3.268, 3.251, 3.233, 3.259, 3.246,
    3.254, 3.243, 3.229, 3.258, 3.249, 3.264, 3.237, 3.252, 3.271, 3.245,
)  # fmt: skip
BALLASTS = (47.4, 46.3, 47.1, 46.8, 47.9, 46.6, 47.3, 45.9, 47.0)


def quantities(circuit: Circuit, situations: Mapping[str, Situation]) -> Mapping[str, float]:  # noqa: ARG001
    """What spectrometer and scales show."""
    return {"peak_wavelength": 396.2e-9, "weight": 0.243}


TRUTH = Invention(
    dossier="insect-lure",
    seed="insect lure 1",
    values={
        **{(f"LED{number}", "forward_drop"): drop for number, drop in enumerate(LED_DROPS, start=1)},
        **{(f"R{number}", "resistance"): ohms for number, ohms in enumerate(BALLASTS, start=1)},
        ("J1", "voltage"): 5.161,
        ("W1", "loop_resistance"): 0.531,
        ("S1", "contact_resistance"): 0.024,
        ("D1", "forward_drop"): 0.797,
        ("R10", "resistance"): 2.24,
        ("M1", "resistance"): 13.6,
        ("M1", "back_emf_constant"): 8.05e-3,
        ("M1", "no_load_current"): 0.065,
        ("M1", "load_damping"): 1.22e-6,
    },
    # A slip of the tracing: LED11 hangs on R5 with the pair beside it. The one thing that the dossier has wrong.
    rewired={("LED11", "anode"): "pair_5"},
    quantities=quantities,
    scatter={"adapter_current": 0.004, "peak_wavelength": 0.0015},
)
