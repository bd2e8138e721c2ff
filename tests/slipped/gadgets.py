"""Ten circuits with situations: the demos' three, and seven gadgets invented for this."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from lidoff.circuit import Circuit, Situation
from lidoff.dossier import circuit_of, load_dossier, situations_of
from lidoff.insight import is_driven
from lidoff.insight.sketch import chip, piece, sketch

__all__ = ["DEMOS", "GADGETS", "Gadget", "all_gadgets"]

DEMOS = ("crumb-vacuum", "insect-lure", "night-light")
HOME = Path(__file__).parents[2] / "demos"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gadget:
    """A circuit as it truly is, with the situations in which it is read."""

    name: str
    circuit: Circuit
    situations: tuple[Situation, ...]


def situation(name: str, **settings: dict[str, float | str]) -> Situation:
    """Situation by keyword."""
    return Situation(name=name, settings=settings)


GADGETS = (
    Gadget(
        name="bedside lamp",
        circuit=sketch(
            "",
            piece("J1", "dc_supply", "usb gnd", voltage=5.0, resistance=0.3),
            piece("F1", "resettable_fuse", "usb rail"),
            chip(
                "U1",
                supply="supply rail",
                ground="ground gnd",
                warm="output warm",
                cold="output cold",
                key="input key",
            ),
            piece("R1", "resistor", "warm g1", resistance=220.0),
            piece("R2", "resistor", "g1 gnd", resistance=47e3),
            piece("Q1", "mosfet_n", "g1 k1 gnd"),
            piece("R3", "resistor", "rail a1", resistance=47.0),
            piece("LED1", "led", "a1 k1", forward_drop=3.0),
            piece("R4", "resistor", "rail a2", resistance=47.0),
            piece("LED2", "led", "a2 k1", forward_drop=3.0),
            piece("R5", "resistor", "cold b2", resistance=1e3),
            piece("Q2", "npn", "k3 b2 gnd"),
            piece("R6", "resistor", "rail a3", resistance=68.0),
            piece("LED3", "led", "a3 k3", forward_drop=3.1),
            piece("R7", "resistor", "rail key", resistance=10e3),
            piece("S1", "button", "key gnd"),
        ),
        situations=(
            situation("off", U1={"warm": "low", "cold": "low"}),
            situation("warm", U1={"warm": "high", "cold": "low"}),
            situation("cold", U1={"warm": "low", "cold": "high"}),
            situation("key held", U1={"warm": "low", "cold": "low"}, S1={"state": "pressed"}),
        ),
    ),
    Gadget(
        name="garden light",
        circuit=sketch(
            "",
            piece("BT1", "dc_supply", "bat gnd", voltage=3.7, resistance=0.2),
            piece("R1", "resistor", "bat sense", resistance=100e3),
            piece("R2", "photoresistor", "sense gnd", resistance=10e3),
            piece("R3", "resistor", "sense b1", resistance=22e3),
            piece("Q1", "npn", "k1 b1 gnd"),
            piece("R4", "resistor", "bat c", resistance=4.7e3),
            piece("R5", "resistor", "c k1", resistance=1e3),
            piece("Q2", "pnp", "a c bat"),
            piece("R6", "resistor", "a led", resistance=22.0),
            piece("LED1", "led", "led gnd", forward_drop=2.9),
            piece("C1", "capacitor", "bat gnd", capacitance=1e-6),
        ),
        situations=(situation("day", R2={"light": 500.0}), situation("night", R2={"light": 0.1})),
    ),
    Gadget(
        name="door chime",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "in gnd", voltage=12.0, resistance=1.0),
            piece("D1", "diode", "in raw", forward_drop=0.75),
            piece("U1", "linear_regulator", "raw gnd five", output_voltage=5.0),
            piece("C1", "electrolytic_capacitor", "raw gnd", capacitance=100e-6),
            piece("C2", "capacitor", "five gnd", capacitance=1e-6),
            piece("R1", "resistor", "five key", resistance=10e3),
            piece("S1", "button", "key gnd"),
            chip(
                "U2",
                supply="supply five",
                ground="ground gnd",
                key="input key",
                tone="output tone",
                lamp="output lamp",
            ),
            piece("R2", "resistor", "tone base", resistance=1e3),
            piece("Q1", "npn", "horn base gnd"),
            piece("R3", "resistor", "raw horn", resistance=120.0),
            piece("D2", "diode", "horn raw", forward_drop=0.7),
            piece("R4", "resistor", "lamp a", resistance=330.0),
            piece("LED1", "led", "a gnd", forward_drop=2.0),
        ),
        situations=(
            situation("rest", U2={"tone": "low", "lamp": "high"}),
            situation("ringing", U2={"tone": "high", "lamp": "low"}, S1={"state": "pressed"}),
        ),
    ),
    Gadget(
        name="battery tester",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "cell gnd", voltage=9.0, resistance=0.8),
            piece("S1", "switch", "cell run"),
            piece("R1", "resistor", "run top", resistance=3.3e3),
            piece("R2", "resistor", "top low", resistance=1e3),
            piece("R3", "resistor", "low gnd", resistance=1e3),
            piece("R4", "resistor", "run ref", resistance=1e3),
            piece("D1", "zener", "gnd ref", breakdown_voltage=3.3),
            piece("Q1", "npn", "k1 top e"),
            piece("Q2", "npn", "k2 ref e"),
            piece("R5", "resistor", "e gnd", resistance=270.0),
            piece("R6", "resistor", "run a1", resistance=330.0),
            piece("LED1", "led", "a1 k1", forward_drop=2.0),
            piece("R7", "resistor", "run a2", resistance=330.0),
            piece("LED2", "led", "a2 k2", forward_drop=2.1),
            piece("R8", "resistor", "run load", resistance=150.0),
            piece("D2", "diode", "load gnd", forward_drop=0.7),
        ),
        situations=(
            situation("fresh", S1={"state": "closed"}),
            situation("worn", S1={"state": "closed"}, V1={"voltage": 6.5}),
            situation("open", S1={"state": "open"}),
        ),
    ),
    Gadget(
        name="cupboard light",
        circuit=sketch(
            "",
            piece("V1", "dc_supply", "plus gnd", voltage=4.5, resistance=0.6),
            piece("S1", "switch", "plus rail"),
            piece("R1", "resistor", "rail eye", resistance=1e6),
            piece("R2", "resistor", "eye gnd", resistance=470e3),
            piece("Q1", "mosfet_n", "eye drain gnd", threshold=0.9),
            piece("R3", "resistor", "rail drain", resistance=100e3),
            piece("Q2", "mosfet_p", "drain lit rail"),
            piece("R4", "resistor", "lit a1", resistance=27.0),
            piece("LED1", "led", "a1 gnd", forward_drop=3.0),
            piece("R5", "resistor", "lit a2", resistance=27.0),
            piece("LED2", "led", "a2 gnd", forward_drop=3.0),
            piece("R6", "resistor", "lit a3", resistance=27.0),
            piece("LED3", "led", "a3 gnd", forward_drop=3.0),
        ),
        situations=(
            situation("shut", S1={"state": "open"}),
            situation("lit", S1={"state": "closed"}),
            situation("weak", S1={"state": "closed"}, V1={"voltage": 3.6}),
        ),
    ),
    Gadget(
        name="charging stand",
        circuit=sketch(
            "",
            piece("J1", "dc_supply", "vin gnd", voltage=5.1, resistance=0.25),
            piece("D1", "schottky", "vin bus"),
            piece("R1", "resistor", "bus half", resistance=100e3),
            piece("R2", "resistor", "half gnd", resistance=100e3),
            piece("R3", "resistor", "bus red", resistance=1.5e3),
            piece("LED1", "led", "red done", forward_drop=1.9),
            piece("Q1", "npn", "done on gnd"),
            piece("R4", "resistor", "half on", resistance=47e3),
            piece("R5", "resistor", "bus out", resistance=10.0),
            piece("R6", "resistor", "out back", resistance=22e3),
            piece("R7", "resistor", "back gnd", resistance=10e3),
            piece("R8", "resistor", "out gnd", resistance=180.0),
            piece("Q2", "pnp", "green back out"),
            piece("R9", "resistor", "green b", resistance=1e3),
            piece("LED2", "led", "b gnd", forward_drop=2.2),
        ),
        situations=(situation("plugged"), situation("sagging", J1={"voltage": 4.4})),
    ),
    Gadget(
        name="plant watcher",
        circuit=sketch(
            "",
            piece("BT1", "dc_supply", "bat gnd", voltage=3.0, resistance=2.0),
            piece("R1", "resistor", "bat vref", resistance=2.2e3),
            piece("D1", "diode", "vref d2", forward_drop=0.65),
            piece("D2", "diode", "d2 gnd", forward_drop=0.65),
            piece("R2", "resistor", "bat probe", resistance=47e3),
            piece("R3", "resistor", "probe gnd", resistance=33e3),
            piece("U1", "comparator", "vref probe out bat gnd"),
            piece("R4", "resistor", "out a", resistance=680.0),
            piece("LED1", "led", "a gnd", forward_drop=1.8),
            piece("R5", "resistor", "out vref", resistance=470e3),
            piece("C1", "capacitor", "probe gnd", capacitance=100e-9),
            piece("S1", "switch", "probe soil"),
            piece("R6", "resistor", "soil gnd", resistance=5.6e3),
        ),
        situations=(situation("dry", S1={"state": "open"}), situation("wet", S1={"state": "closed"})),
    ),
)


@cache
def all_gadgets() -> tuple[Gadget, ...]:
    """The seven, and the demos with their circuits as traced."""
    found = list(GADGETS)
    for name in DEMOS:
        dossier = load_dossier(HOME / name)
        circuit = circuit_of(dossier)
        powered = tuple(one for one in situations_of(dossier) if is_driven(circuit, one))
        found.append(Gadget(name=name, circuit=circuit, situations=powered))
    return tuple(found)
