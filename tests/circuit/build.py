"""Short ways to write parts for the tests of this room."""

from __future__ import annotations

import math

from lidoff.circuit import Circuit, Part


def supply(reference: str, plus: str, volts: float, *, minus: str = "gnd", ohms: float = 0.0) -> Part:
    pins = {"plus": plus, "minus": minus}
    return Part(
        reference=reference, kind="dc_supply", pins=pins, values={"voltage": volts, "resistance": ohms}
    )


def mains(reference: str, plus: str, minus: str, volts: float, hertz: float, phase: float = 0.0) -> Part:
    values = {"voltage": volts, "frequency": hertz, "phase": math.radians(phase)}
    return Part(reference=reference, kind="ac_supply", pins={"plus": plus, "minus": minus}, values=values)


def resistor(reference: str, one: str, other: str, ohms: float) -> Part:
    pins = {"1": one, "2": other}
    return Part(reference=reference, kind="resistor", pins=pins, values={"resistance": ohms})


def capacitor(reference: str, one: str, other: str, farads: float) -> Part:
    pins = {"1": one, "2": other}
    return Part(reference=reference, kind="capacitor", pins=pins, values={"capacitance": farads})


def inductor(reference: str, one: str, other: str, henries: float, ohms: float = 0.0) -> Part:
    values = {"inductance": henries, "winding_resistance": ohms}
    return Part(reference=reference, kind="inductor", pins={"1": one, "2": other}, values=values)


def diode(reference: str, anode: str, cathode: str, **values: float) -> Part:
    return Part(reference=reference, kind="diode", pins={"anode": anode, "cathode": cathode}, values=values)


def led(reference: str, anode: str, cathode: str, **values: float) -> Part:
    return Part(reference=reference, kind="led", pins={"anode": anode, "cathode": cathode}, values=values)


def zener(reference: str, cathode: str, anode: str, volts: float, **values: float) -> Part:
    pins = {"anode": anode, "cathode": cathode}
    return Part(reference=reference, kind="zener", pins=pins, values={"breakdown_voltage": volts, **values})


def npn(reference: str, collector: str, base: str, emitter: str, **values: float) -> Part:
    pins = {"collector": collector, "base": base, "emitter": emitter}
    return Part(reference=reference, kind="npn", pins=pins, values=values)


def circuit(*parts: Part, ground: str = "gnd") -> Circuit:
    return Circuit(parts=parts, ground=ground)
