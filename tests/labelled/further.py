"""A third set labelled before any pattern was tried on it: kinds that no other set holds, and gadgets of many parts."""

from __future__ import annotations

from lidoff.circuit import Part
from lidoff.insight.sketch import chip, piece, sketch
from tests.labelled.label import Labelled

__all__ = ["FURTHER"]

INVENTED = "invented"
ART = "P. Horowitz, W. Hill, The Art of Electronics, 3rd ed., 2015, "
BOYLESTAD = "R. L. Boylestad & L. Nashelsky, Electronic Devices and Circuit Theory, "

FURTHER = (
    Labelled(
        name="Zener regulator with load",
        source=BOYLESTAD + "chapter 2: Zener diode with load resistance (example 2.26)",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "a gnd", voltage=16.0),
            piece("R1", "resistor", "a o", resistance=1e3),
            piece("R2", "resistor", "o gnd", resistance=3e3),
            piece("D1", "zener", "gnd o", breakdown_voltage=10.0),
        ),
        blocks=("zener_supply: R1 D1",),
    ),
    Labelled(
        name="precise reference for a comparator",
        source=ART + "chapter 9: shunt references",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "v12 gnd", voltage=12.0),
            piece("R1", "resistor", "v12 ref", resistance=2.2e3),
            piece("U1", "shunt_reference", "ref gnd ref"),
            piece("RT1", "ntc", "v12 t"),
            piece("R2", "resistor", "t gnd", resistance=10e3),
            piece("U2", "comparator", "t ref out v12 gnd"),
            piece("R3", "resistor", "out a", resistance=1e3),
            piece("D1", "led", "a gnd"),
        ),
        blocks=("shunt_reference: R1 U1", "sensor_divider: RT1 R2", "series_resistor_led: R3 D1"),
    ),
    Labelled(
        name="radio with two supplies",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("J1", "dc_supply", "jack gnd", voltage=6.0),
            piece("BT1", "battery", "bat gnd"),
            piece("D1", "schottky", "jack v"),
            piece("D2", "schottky", "bat v"),
            piece("C1", "electrolytic_capacitor", "v gnd", capacitance=470e-6),
            chip("U1", "box", vcc="supply v", gnd="ground gnd", out="output o", vol="input vol"),
            piece("RV1", "potentiometer", "audio vol gnd"),
            piece("C2", "capacitor", "v gnd", capacitance=100e-9),
        ),
        blocks=("diode_or: D1 D2", "bulk_capacitor: C1", "decoupling: C2"),
    ),
    Labelled(
        name="old adapter lamp",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("J1", "dc_supply", "in gnd", voltage=12.0),
            piece("F1", "fuse", "in v"),
            piece("D1", "diode", "gnd v"),
            piece("R1", "resistor", "v x", resistance=150.0),
            piece("D2", "led", "x y", forward_drop=3.0),
            piece("D3", "led", "y z", forward_drop=3.0),
            piece("D4", "led", "z gnd", forward_drop=3.0),
        ),
        blocks=("fuse_input: F1", "polarity_shunt_diode: D1", "led_string: D2 D3 D4 R1"),
    ),
    Labelled(
        name="clock display",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("BT1", "cell", "v gnd"),
            chip("U1", supply="supply v", ground="ground gnd", r1="output r1", r2="output r2", c1="output p1", c2="output p2",
                 c3="output p3", m="input m"),
            *(piece(f"R{n}", "resistor", f"p{n} c{n}", resistance=220.0) for n in (1, 2, 3)),
            *(
                piece(f"D{3 * row + column - 3}", "led", f"r{row} c{column}")
                for row in (1, 2)
                for column in (1, 2, 3)
            ),
            piece("R4", "resistor", "m gnd", resistance=100e3),
            piece("S1", "switch", "v m"),
        ),
        blocks=("multiplexed_leds: D1 D2 D3 D4 D5 D6 R1 R2 R3", "pull_down: R4"),
    ),
    Labelled(
        name="negative bias from a clock",
        source=ART + "chapter 9: charge pumps",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "v5 gnd", voltage=5.0),
            chip("U1", supply="supply v5", ground="ground gnd", clk="output clk"),
            piece("C1", "capacitor", "clk m", capacitance=1e-6),
            piece("D1", "schottky", "v5 m"),
            piece("D2", "schottky", "m v9"),
            piece("C2", "capacitor", "v9 gnd", capacitance=10e-6),
            piece("R1", "resistor", "v9 k", resistance=2.2e3),
            piece("D3", "led", "k gnd", forward_drop=3.0),
        ),
        blocks=("charge_pump: C1 D1 D2 C2", "series_resistor_led: R1 D3"),
    ),
    Labelled(
        name="delayed lamp",
        source=ART + "chapter 1: RC circuits, time delay",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "v9 gnd", voltage=9.0),
            piece("R1", "resistor", "v9 s", resistance=1e6),
            piece("C1", "electrolytic_capacitor", "s gnd", capacitance=22e-6),
            piece("D1", "diode", "s v9"),
            piece("U1", "buffer", "s o v9 gnd"),
            piece("R2", "resistor", "o b", resistance=4.7e3),
            piece("Q1", "npn", "c b gnd"),
            piece("H1", "lamp", "v9 c", rated_voltage=9.0, rated_current=0.1),
        ),
        blocks=("rc_delay: R1 C1", "bipolar_low_side: Q1 R2"),
    ),
    Labelled(
        name="light meter",
        source=ART + "chapter 4: inverting amplifier; chapter 12: phototransistors",
        circuit=sketch(
            "",
            piece("BT1", "battery", "v gnd"),
            piece("R1", "resistor", "v mid", resistance=10e3),
            piece("R2", "resistor", "mid gnd", resistance=10e3),
            piece("Q1", "phototransistor", "v see"),
            piece("R3", "resistor", "see gnd", resistance=4.7e3),
            piece("R4", "resistor", "see n", resistance=100e3),
            piece("R5", "resistor", "n o", resistance=220e3),
            piece("U1", "operational_amplifier", "mid n o v gnd"),
            chip("U2", supply="supply v", ground="ground gnd", a="input o"),
        ),
        blocks=("divider: R1 R2", "light_sensor: Q1 R3", "inverting_stage: U1 R4 R5"),
    ),
    Labelled(
        name="mains filter with bleeder",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("J1", "ac_supply", "l n", voltage=230.0),
            piece("F1", "fuse", "l a"),
            piece("C1", "film_capacitor", "a n", capacitance=220e-9),
            piece("R1", "resistor", "a n", resistance=1e6),
            piece("RV1", "varistor", "a n"),
            piece("D1", "bridge_rectifier", "a n hv gnd"),
            piece("C2", "electrolytic_capacitor", "hv gnd", capacitance=47e-6, voltage_rating=400.0),
            piece("H1", "lamp", "hv gnd", rated_voltage=325.0, rated_current=0.1),
        ),
        blocks=("fuse_input: F1", "mains_filter: C1", "bleeder: R1", "surge_clamp: RV1", "bridge_rectifier: D1",
                "reservoir: C2"),
    ),
    Labelled(
        name="rechargeable mosquito racket",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("J1", "ac_supply", "l n", voltage=230.0),
            piece("R1", "resistor", "l x", resistance=47.0),
            piece("C1", "film_capacitor", "x y", capacitance=680e-9),
            piece("R2", "resistor", "x y", resistance=1e6),
            piece("D1", "bridge_rectifier", "y n bat gnd"),
            piece("BT1", "battery", "bat gnd"),
            piece("S1", "button", "bat on"),
            piece("R3", "resistor", "on k", resistance=100.0),
            piece("D2", "led", "k gnd"),
            piece("T1", "transformer", "on c h gnd", turns_ratio=0.02),
            piece("Q1", "npn", "c b gnd"),
            piece("R4", "resistor", "on b", resistance=1e3),
            piece("D3", "diode", "h hv"),
            piece("C2", "film_capacitor", "hv gnd", capacitance=22e-9),
        ),
        blocks=("capacitive_dropper: R1 C1 R2", "bridge_rectifier: D1", "series_resistor_led: R3 D2",
                "half_wave_rectifier: D3"),
    ),
    Labelled(
        name="drone toy's motor board",
        source=INVENTED,
        circuit=sketch(
            "",
            piece("BT1", "cell", "v gnd"),
            piece("U2", "linear_regulator", "v gnd v3", output_voltage=3.0),
            piece("C1", "capacitor", "v3 gnd", capacitance=1e-6),
            chip("U1", supply="supply v3", ground="ground gnd", a="output a", b="output b", led="output led", rx="input rx"),
            *(
                part
                for n, pin in ((1, "a"), (2, "b"))
                for part in (
                    piece(f"Q{n}", "mosfet_n", f"{pin} m{n} gnd"),
                    piece(f"R{n}", "resistor", f"{pin} gnd", resistance=10e3),
                    piece(f"M{n}", "motor", f"v m{n}"),
                    piece(f"D{n}", "schottky", f"m{n} v"),
                )
            ),
            piece("R3", "resistor", "v3 p", resistance=470.0),
            piece("D3", "led", "p led"),
            Part(reference="U3", kind="box", pins={"1": "rx", "2": "gnd", "3": "calm"}),
            piece("R4", "resistor", "v3 calm", resistance=100.0),
            piece("C2", "capacitor", "calm gnd", capacitance=10e-6),
        ),
        blocks=(
            "linear_regulator: U2", "low_side_mosfet: Q1", "low_side_mosfet: Q2", "gate_pull_down: R1", "gate_pull_down: R2",
            "flyback_diode: D1", "flyback_diode: D2", "series_resistor_led: R3 D3", "supply_filter: R4 C2",
        ),
    ),
)  # fmt: skip
