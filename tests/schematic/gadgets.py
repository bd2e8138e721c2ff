"""Invented gadgets, built as cheap ones are."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit.netlist import Circuit, Part
from tests.schematic.pieces import (
    amplifier,
    box,
    capacitor,
    circuit,
    diode,
    electrolytic,
    inductor,
    led,
    mains,
    nmos,
    npn,
    piece,
    pmos,
    resistor,
    supply,
    zener,
)


def _strings(count: int, leds: int, top: str, bottom: str, ohms: float) -> list[Part]:
    parts = []
    for k in range(count):
        nets = [top, *(f"s{k}_{j}" for j in range(leds)), bottom]
        parts.append(resistor(f"R{k + 1}", f"{nets[0]} {nets[1]}", ohms))
        parts.extend(led(f"D{k * leds + j + 1}", f"{nets[j + 1]} {nets[j + 2]}") for j in range(leds))
    return parts


GADGETS: Mapping[str, Circuit] = {
    "crumb_vacuum": circuit(
        "Crumb vacuum (invented)",
        supply("J1", "usb gnd", 5.0),
        capacitor("C1", "usb gnd", 10e-6),
        piece("U1", "linear_charger", "usb gnd bat prog chg -", "TP4054"),
        resistor("R1", "prog gnd", 2e3),
        resistor("R2", "usb la", 1e3),
        led("D1", "la chg"),
        piece("BT1", "cell", "bat gnd"),
        capacitor("C2", "bat gnd", 10e-6),
        box(
            "U2",
            "1:VDD:supply:bat 8:VSS:ground:gnd 2:PA0:input:key 3:PA1:output:drive 4:PA2:output:ind",
            "8-pin MCU", "controller",
        ),
        piece("S1", "button", "key gnd"),
        resistor("R3", "bat key", 100e3),
        resistor("R4", "drive gate", 100.0),
        resistor("R5", "gate gnd", 10e3),
        nmos("Q1", "gate motor gnd"),
        piece("M1", "motor", "bat motor"),
        diode("D2", "motor bat", "schottky"),
        resistor("R6", "ind lb", 470.0),
        led("D3", "lb gnd"),
        rails={"bat": "supply", "usb": "supply"},
    ),
    "night_light": circuit(
        "Night light (invented)",
        mains("J1", "live neutral"),
        piece("F1", "fuse", "live lf", current_rating=0.25),
        piece("C1", "film_capacitor", "lf ac1", capacitance=330e-9),
        resistor("R1", "ac1 ac2", 100.0),
        diode("D1", "ac2 pos"),
        diode("D2", "neutral pos"),
        diode("D3", "neg ac2"),
        diode("D4", "neg neutral"),
        electrolytic("C2", "pos neg", 47e-6),
        zener("D5", "neg pos", 15.0),
        resistor("R2", "pos base", 220e3),
        piece("R3", "photoresistor", "base neg"),
        npn("Q1", "cathode base neg"),
        resistor("R4", "pos a1", 100.0),
        led("D6", "a1 a2"),
        led("D7", "a2 a3"),
        led("D8", "a3 cathode"),
        ground="neg",
    ),
    "insect_lure": circuit(
        "Insect lure (invented)",
        supply("J1", "usb gnd", 5.0),
        piece("F1", "resettable_fuse", "usb v5", hold_current=0.5),
        capacitor("C1", "v5 gnd", 10e-6),
        piece("M1", "motor", "v5 gnd"),
        *_strings(5, 1, "v5", "gnd", 68.0),
        rails={"v5": "supply"},
    ),
    "strings_apart": circuit("Three LED strings", supply("V1", "v12 gnd", 12.0), *_strings(3, 3, "v12", "gnd", 150.0)),
    "two_strings": circuit("Two LED strings", supply("V1", "v12 gnd", 12.0), *_strings(2, 3, "v12", "gnd", 150.0)),
    "dimmed_strings": circuit(
        "Dimmed LED strings",
        supply("V1", "v12 gnd", 12.0),
        *_strings(4, 3, "v12", "k", 120.0),
        nmos("Q1", "g k gnd"),
        resistor("R10", "pwm g", 100.0),
        resistor("R11", "g gnd", 100e3),
        box("U1", "1:VDD:supply:v12 2:GND:ground:gnd 3:PWM:output:pwm 4:KEY:input:key", "dimmer", "controller"),
        piece("S1", "button", "key gnd"),
    ),
    "power_bank": circuit(
        "Power bank (invented)",
        supply("J1", "usb gnd", 5.0),
        electrolytic("C1", "usb gnd", 22e-6),
        box(
            "U1",
            "1:VIN:supply:usb 2:GND:ground:gnd 3:BAT:both:bat 4:SW:output:sw 5:KEY:input:key 6:L1:output:l1 7:L2:output:l2 "
            "8:OUT:output:out",
            "IP5306",
        ),
        inductor("L1", "bat sw", 1e-6),
        piece("BT1", "cell", "bat gnd"),
        capacitor("C2", "bat gnd", 10e-6),
        electrolytic("C3", "out gnd", 22e-6),
        piece("S1", "button", "key gnd"),
        resistor("R1", "l1 x1", 1e3),
        led("D1", "x1 l2"),
        led("D2", "l2 x1"),
        resistor("RL", "out gnd", 5.0),
        rails={"bat": "supply", "usb": "supply", "out": "supply"},
    ),
    "door_chime": circuit(
        "Wireless chime (invented)",
        piece("BT1", "cell", "vbat gnd"),
        piece("S1", "button", "vbat sw"),
        resistor("R1", "sw v", 10.0),
        capacitor("C1", "v gnd", 100e-9),
        box("U1", "1:VDD:supply:v 2:GND:ground:gnd 3:DATA:output:data", "encoder", "controller"),
        resistor("R2", "data b", 10e3),
        npn("Q1", "tank b e"),
        inductor("L1", "v tank", 100e-9),
        capacitor("C2", "tank e", 3.3e-12),
        resistor("R3", "e gnd", 150.0),
        capacitor("C3", "e gnd", 10e-12),
    ),
    "soldering_control": circuit(
        "Heater control (invented)",
        supply("V1", "v12 gnd", 12.0),
        piece("U1", "linear_regulator", "v12 gnd v5", "7805"),
        capacitor("C1", "v12 gnd", 330e-9),
        capacitor("C2", "v5 gnd", 100e-9),
        piece("RT1", "ntc", "sense gnd"),
        resistor("R1", "v5 sense", 10e3),
        resistor("R2", "v5 set", 10e3),
        resistor("R3", "set gnd", 10e3),
        amplifier("U2", "sense set cmp v5 gnd", "LM393"),
        resistor("R4", "cmp sense", 1e6),
        resistor("R5", "cmp g", 1e3),
        nmos("Q1", "g heat gnd"),
        resistor("RH", "v12 heat", 10.0),
        resistor("R6", "heat a", 2.2e3),
        led("D1", "v12 a2"),
        resistor("R7", "a2 heat", 4.7e3),
        led("D2", "a gnd"),
        rails={"v12": "supply", "v5": "supply"},
    ),
    "fan_controller": circuit(
        "Fan control (invented)",
        supply("J1", "v12 gnd", 12.0),
        electrolytic("C1", "v12 gnd", 100e-6),
        piece("M1", "motor", "v12 fan"),
        diode("D1", "fan v12"),
        npn("Q1", "fan b gnd"),
        resistor("R1", "out b", 1e3),
        amplifier("U1", "ref t out v12 gnd", "LM358"),
        resistor("R2", "v12 ref", 22e3),
        resistor("R3", "ref gnd", 10e3),
        piece("RT1", "ntc", "t gnd"),
        resistor("R4", "v12 t", 10e3),
        resistor("R5", "out ref", 100e3),
    ),
    "relay_board": circuit(
        "Relay board (invented)",
        supply("J1", "v5 gnd", 5.0),
        box("U1", "1:VDD:supply:v5 2:GND:ground:gnd 3:IO1:output:io1 4:IO2:output:io2 5:RX:input:rx", "module", "controller"),
        *(
            part
            for k in (1, 2)
            for part in (
                resistor(f"R{k}1", f"io{k} b{k}", 1e3),
                npn(f"Q{k}", f"coil{k} b{k} gnd"),
                diode(f"D{k}", f"coil{k} v5"),
                piece(f"K{k}", "relay", f"v5 coil{k} com{k} no{k} nc{k}"),
                box(f"J{k}0", f"1:COM::com{k} 2:NO::no{k} 3:NC::nc{k}", "", "connector"),
            )
        ),
    ),
    "six_channels": circuit(
        "Six LED channels (invented)",
        supply("J1", "v5 gnd", 5.0),
        capacitor("C1", "v5 gnd", 100e-9),
        box(
            "U1",
            " ".join(f"{k + 2}:PB{k}:output:p{k}" for k in range(1, 7))
            + " 1:VDD:supply:v5 2:GND:ground:gnd 10:KEY:input:key",
            "MCU", "controller",
        ),
        piece("S1", "button", "key gnd"),
        *(
            part
            for k in range(1, 7)
            for part in (
                resistor(f"R{k}", f"p{k} g{k}", 100.0),
                resistor(f"R{k + 10}", f"g{k} gnd", 10e3),
                nmos(f"Q{k}", f"g{k} k{k} gnd"),
                led(f"D{k}", f"a{k} k{k}"),
                resistor(f"R{k + 20}", f"v5 a{k}", 47.0),
            )
        ),
    ),
    "toothbrush": circuit(
        "Toothbrush (invented)",
        piece("L1", "inductor", "coil gnd", inductance=20e-6),
        diode("D1", "coil raw", "schottky"),
        electrolytic("C1", "raw gnd", 22e-6),
        zener("D2", "gnd raw", 5.6),
        piece("U1", "linear_charger", "raw gnd bat prog - -", "charger"),
        resistor("R1", "prog gnd", 10e3),
        piece("BT1", "cell", "bat gnd"),
        box(
            "U2",
            "1:VDD:supply:bat 2:GND:ground:gnd 3:KEY:input:key 4:A:output:da 5:B:output:db 6:LED:output:ledpin 7:SNS:input:raw",
            "MCU", "controller",
        ),
        piece("S1", "button", "key gnd"),
        resistor("R2", "ledpin la", 330.0),
        led("D3", "la gnd"),
        pmos("Q1", "da ma bat"),
        nmos("Q2", "db ma gnd"),
        piece("M1", "motor", "ma gnd"),
        rails={"bat": "supply", "raw": "supply"},
    ),
    "capacitor_lamp": circuit(
        "Mains LED lamp (invented)",
        mains("J1", "live neutral"),
        resistor("R1", "live a", 47.0),
        piece("C1", "film_capacitor", "a ac", capacitance=680e-9),
        resistor("R2", "a ac", 470e3),
        diode("D1", "ac pos"),
        diode("D2", "neutral pos"),
        diode("D3", "neg ac"),
        diode("D4", "neg neutral"),
        electrolytic("C2", "pos neg", 4.7e-6),
        resistor("R3", "pos neg", 510e3),
        *(led(f"D{k + 10}", f"{'pos' if k == 0 else f'm{k}'} {'neg' if k == 9 else f'm{k + 1}'}") for k in range(10)),
        ground="neg",
    ),
}  # fmt: skip
"""By a short name."""
