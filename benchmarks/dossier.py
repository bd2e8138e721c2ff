"""Loading and analysing a dossier: the cost beside bare solving, and how loading grows with the number of parts."""

from __future__ import annotations

import math

from benchmarks.measurement import Measurement, interleaved_medians
from lidoff.circuit import predict_spread
from lidoff.dossier import Dossier, analyse, circuit_of, dossier_from_text, situations_of

__all__ = ["measure"]

SIZES = (50, 100, 200, 400)
HEAD = """
[device]
title = "ladder"
[instruments.meter]
input_resistance = "10 MΩ"
[[instruments.meter.ranges]]
measures = "voltage dc"
accuracy = "±(0.5 % + 3)"
[situations.on]
[situations.off]
set = { V1 = "0 V" }
[parts.V1]
kind = "dc_supply"
value = "10 V"
pins = { plus = "n0", minus = "gnd" }
"""
RUNG = """
[parts.R{0}]
kind = "resistor"
value = "{1} Ω ± 5 %"
pins = {{ 1 = "n{2}", 2 = "n{0}" }}
[parts.D{0}]
kind = "led"
pins = {{ anode = "n{0}", cathode = "gnd" }}
[readings.v{0}]
situation = "on"
instrument = "meter"
voltage = "n{0}"
shown = "1.8 V"
"""


def text_of(parts: int) -> str:
    """Text of a dossier of a ladder with so many parts, half as many readings and two situations."""
    rungs = parts // 2
    return HEAD + "".join(RUNG.format(number, 100 + number, number - 1) for number in range(1, rungs + 1))


def measure() -> list[Measurement]:
    """Analysis over the batched solve inside it, and the exponent of loading over a doubling of parts."""
    dossier: Dossier = dossier_from_text(text_of(50))
    circuit, situations = circuit_of(dossier), situations_of(dossier)
    seconds = interleaved_medians(
        {"analyse": lambda: analyse(dossier), "solve": lambda: predict_spread(circuit, situations)}, rounds=7
    )
    texts = {str(size): text_of(size) for size in SIZES}
    loading = interleaved_medians(
        {size: lambda text=text: dossier_from_text(text) for size, text in texts.items()},  # type: ignore[misc]
        rounds=7,
    )
    exponent = math.log(loading["400"] / loading["50"]) / math.log(8.0)
    return [
        Measurement(
            name="analysis over its batched solve",
            ratio=seconds["analyse"] / seconds["solve"],
            limit=4.0,
            seconds=seconds,
        ),
        Measurement(name="exponent of loading", ratio=exponent, limit=1.3, seconds=loading),
    ]
