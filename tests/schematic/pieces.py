"""Short names for parts, to write circuits as tables."""

from __future__ import annotations

from lidoff.circuit.kind import all_kinds
from lidoff.circuit.netlist import Circuit, Part


def piece(reference: str, kind: str, nets: str, marking: str = "", **values: float) -> Part:
    """One part; nets in the order of the kind's pins, ``-`` for a pin that is left out."""
    names = all_kinds()[kind].pins
    pins = {pin: net for pin, net in zip(names, nets.split(), strict=True) if net != "-"}
    return Part(reference=reference, kind=kind, pins=pins, values=values, marking=marking)


def resistor(reference: str, nets: str, ohms: float) -> Part:
    return piece(reference, "resistor", nets, resistance=ohms)


def capacitor(reference: str, nets: str, farads: float) -> Part:
    return piece(reference, "capacitor", nets, capacitance=farads)


def electrolytic(reference: str, nets: str, farads: float) -> Part:
    return piece(reference, "electrolytic_capacitor", nets, capacitance=farads)


def inductor(reference: str, nets: str, henries: float) -> Part:
    return piece(reference, "inductor", nets, inductance=henries)


def diode(reference: str, nets: str, kind: str = "diode") -> Part:
    return piece(reference, kind, nets)


def led(reference: str, nets: str) -> Part:
    return piece(reference, "led", nets)


def zener(reference: str, nets: str, volts: float) -> Part:
    """Nets: anode, cathode."""
    return piece(reference, "zener", nets, breakdown_voltage=volts)


def npn(reference: str, nets: str) -> Part:
    """Nets: collector, base, emitter."""
    return piece(reference, "npn", nets)


def pnp(reference: str, nets: str) -> Part:
    """Nets: collector, base, emitter."""
    return piece(reference, "pnp", nets)


def nmos(reference: str, nets: str) -> Part:
    """Nets: gate, drain, source."""
    return piece(reference, "mosfet_n", nets)


def pmos(reference: str, nets: str) -> Part:
    """Nets: gate, drain, source."""
    return piece(reference, "mosfet_p", nets)


def supply(reference: str, nets: str, volts: float) -> Part:
    return piece(reference, "dc_supply", nets, voltage=volts)


def mains(reference: str, nets: str, volts: float = 230.0) -> Part:
    return piece(reference, "ac_supply", nets, voltage=volts)


def amplifier(reference: str, nets: str, marking: str = "") -> Part:
    """Nets: non-inverting, inverting, output, plus supply, minus supply."""
    return piece(reference, "operational_amplifier", nets, marking)


def box(reference: str, table: str, marking: str = "", kind: str = "box") -> Part:
    """Box from a table of ``pin:name:role:net``."""
    rows = [row.split(":") for row in table.split()]
    return Part(
        reference=reference,
        kind=kind,
        pins={pin: net for pin, _, _, net in rows},
        pin_names={pin: name for pin, name, _, _ in rows},
        pin_roles={pin: role for pin, _, role, _ in rows if role},
        marking=marking,
    )


def circuit(title: str, *parts: Part, ground: str = "gnd", rails: dict[str, str] | None = None) -> Circuit:
    return Circuit(parts=parts, ground=ground, title=title, rails=rails or {})
