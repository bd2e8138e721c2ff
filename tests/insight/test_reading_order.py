"""Blocks are told as a person goes through a circuit: from the plug inward."""

from __future__ import annotations

from lidoff.insight import recognise
from lidoff.insight.sketch import chip, piece, sketch


def test_the_fuse_comes_before_the_regulator_and_the_lamp_last() -> None:
    circuit = sketch(
        "",
        piece("D1", "led", "a1 gnd"),
        piece("A1", "linear_regulator", "v12 gnd v5", output_voltage=5.0),
        piece("C9", "electrolytic_capacitor", "v12 gnd", capacitance=100e-6),
        piece("R1", "resistor", "out a1", resistance=1e3),
        chip("U1", supply="supply v5", ground="ground gnd", out="output out"),
        piece("C1", "capacitor", "v5 gnd", capacitance=100e-9),
        piece("Z1", "fuse", "plug v12"),
        piece("J1", "dc_supply", "plug gnd", voltage=12.0),
    )
    told = [block.kind for block in recognise(circuit)]
    assert ["fuse_input", "linear_regulator", "series_resistor_led"] == told
