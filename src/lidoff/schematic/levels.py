"""Which nets are rails, and how high each net stands on the page.

The order of potentials decides what is drawn above what. It must not change from situation to situation, or the drawing would
jump; so it comes from a linear stand-in of the circuit in which every switch is closed and every transistor conducts:
resistors keep their values, other parts become resistors of a typical size, and diodes block one way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part, Pin
from lidoff.circuit.zero_net import zero_nets
from lidoff.schematic.shapes import pin_role

__all__ = ["Levels", "find_levels", "main_number"]

STAND_IN = {
    "capacitor": 1e8, "polarised_capacitor": 1e8, "inductor": 1.0, "diode": 60.0, "schottky": 40.0, "led": 150.0,
    "zener": 1e3, "suppressor": 1e7, "photodiode": 1e6, "phototransistor": 1e4, "light_resistor": 1e4, "fuse": 0.1,
    "switch": 0.1, "button": 0.1, "link": 0.01, "motor": 10.0, "lamp": 50.0, "cell": 0.1, "battery": 0.1, "npn": 50.0,
    "pnp": 50.0, "nmos": 10.0, "pmos": 10.0, "thyristor": 50.0, "triac": 50.0, "thermistor": 1e3, "shunt_reference": 1e3,
}  # fmt: skip
"""Typical resistance of the main path [Ω]; common practice, no source: only the order of the outcome is used."""


ONE_WAY = frozenset({"diode", "schottky", "led"})
"""Outlines that block when their cathode is higher."""
FEEDERS = frozenset(
    {"fuse", "switch", "link", "contact", "diode", "schottky", "inductor", "thermistor", "resistor"}
)
"""Outlines that pass a rail on with little loss; a resistor may, where it carries what loads behind it draw."""
SERIES_OHMS = 10.0
"""Resistors up to here lie in the way of a load's current, as fusible and sense resistors do; our choice."""
SMOOTHING_FARADS = 1e-6
"""Capacitors from here smooth a rail, smaller ones may as well delay a signal behind its pull-up; our choice."""
CONTROLS = frozenset({"gate", "base"})
"""Pins that take a signal and no supply."""
ALTERNATING = frozenset({"ac_source", "pulse_source"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Rank of the nets.

    Attributes
    ----------
    role : mapping of str to str
        ``supply``, ``ground`` or ``signal`` for each net.
    plain : frozenset of str
        Supplies that are drawn as a plain wire from one pin to the other.
    potential : mapping of str to float
        In the stand-in circuit [V].
    current : mapping of str to float
        Along each part's main path in the stand-in circuit [A].
    """

    role: Mapping[str, str]
    plain: frozenset[str]
    potential: Mapping[str, float]
    current: Mapping[str, float]


def main_number(part: Part) -> float | None:
    """Value of the part's main parameter in SI units, or None when it is not told."""
    kind = kind_of(part)
    value = part.values.get(kind.main_value)
    if value is None:
        parameter = kind.parameters_of(part).get(kind.main_value)
        value = parameter.typical if parameter is not None else None
    return float(value) if isinstance(value, int | float) else None


def find_levels(circuit: Circuit) -> Levels:
    """Rails and potentials of a circuit.

    Parameters
    ----------
    circuit : Circuit
        Need not be solvable.

    Returns
    -------
    Levels
        Of every net.
    """
    ground = next(iter(zero_nets(circuit)), "")
    potential, current = _stand_in(circuit, ground)
    role = _roles(circuit, ground, potential)
    plain = {
        net
        for net, pins in circuit.nets.items()
        if role[net] == "supply" and net not in circuit.rails and _is_wire(circuit, pins)
    }
    return Levels(role=role, plain=frozenset(plain), potential=potential, current=current)


def _path_resistance(part: Part) -> float:
    outline = kind_of(part).outline.name
    if outline == "resistor":
        value = main_number(part)
        return max(value, 1e-3) if value else 1e3
    return STAND_IN.get(outline, 1e3)


def _stand_in(circuit: Circuit, ground: str) -> tuple[dict[str, float], dict[str, float]]:
    """Potentials and main currents, as the mean over both half waves where a source alternates."""
    nets = list(circuit.nets)
    if not nets:
        return {}, {}
    waves = [1.0]
    if any(kind_of(part).outline.name in ALTERNATING for part in circuit.parts):
        waves = [1.0, -1.0]
    solved = [_half_wave(circuit, nets, ground, wave) for wave in waves]
    potential = {net: sum(v[net] for v, _ in solved) / len(solved) for net in nets}
    current = {
        part.reference: sum(i.get(part.reference, 0.0) for _, i in solved) / len(solved)
        for part in circuit.parts
    }  # fmt: skip
    return potential, current


def _half_wave(
    circuit: Circuit, nets: list[str], ground: str, wave: float
) -> tuple[dict[str, float], dict[str, float]]:
    """Linear solve; junctions that turn out reverse-biased are opened and it is solved again."""
    row = {net: number for number, net in enumerate(nets)}
    blocked: set[str] = set()
    alternates = any(kind_of(part).outline.name in ALTERNATING for part in circuit.parts)
    for _ in range(12):
        branches = _branches(circuit, blocked, wave, alternates)
        matrix = np.zeros((len(nets), len(nets)))
        drive = np.zeros(len(nets))
        for branch in branches:
            i, j, g = row[branch.high], row[branch.low], branch.conductance
            matrix[i, i] += g
            matrix[j, j] += g
            matrix[i, j] -= g
            matrix[j, i] -= g
            drive[i] += g * branch.source
            drive[j] -= g * branch.source
        matrix[np.diag_indices(len(nets))] += 1e-10
        if ground:
            matrix[row[ground], row[ground]] += 1e6
        x = np.linalg.solve(matrix, drive)
        now = {
            part.reference
            for part in circuit.parts
            if kind_of(part).outline.name in ONE_WAY
            and {"anode", "cathode"} <= set(part.pins)
            and x[row[part.pins["anode"]]] < x[row[part.pins["cathode"]]] - 1e-9
        }
        if now == blocked:
            break
        blocked = now
    potential = {net: float(x[row[net]]) for net in nets}
    current: dict[str, float] = {}
    for branch in branches:
        if branch.reference:
            drop = potential[branch.high] - potential[branch.low] - branch.source
            current[branch.reference] = drop * branch.conductance
    return potential, current


@dataclass(frozen=True, slots=True)
class _Branch:
    """A resistance with a source in series; named if it is a part's main path."""

    high: str
    low: str
    conductance: float
    source: float = 0.0
    reference: str = ""


def _branches(circuit: Circuit, blocked: set[str], wave: float, alternates: bool) -> list[_Branch]:
    branches = []
    for part in circuit.parts:
        kind = kind_of(part)
        outline = kind.outline.name
        path = kind.path if kind.path and all(pin in part.pins for pin in kind.path) else ()
        if len(path) == 2:
            high, low = part.pins[path[0]], part.pins[path[1]]
            if kind.supplies:
                volts = abs(main_number(part) or 5.0) * (wave if outline in ALTERNATING else 1.0)
                branches.append(_Branch(high, low, 10.0, volts, part.reference))
            else:
                resistance = 1e8 if part.reference in blocked else _path_resistance(part)
                if alternates and outline in ("capacitor", "polarised_capacitor"):
                    resistance = 1e5
                branches.append(_Branch(high, low, 1.0 / resistance, 0.0, part.reference))
            branches.extend(
                _Branch(net, low, 1e-8) for pin, net in part.pins.items() if pin not in path and net != low
            )
        else:
            branches.extend(_box_branches(part))
    return [branch for branch in branches if branch.high != branch.low]


def _box_branches(part: Part) -> list[_Branch]:
    """Load between supply and ground pins; outputs stand between them, inputs hardly load."""
    supply = [net for pin, net in part.pins.items() if pin_role(part, pin) == "supply"]
    ground = [net for pin, net in part.pins.items() if pin_role(part, pin) == "ground"]
    branches: list[_Branch] = []
    for pin, net in part.pins.items():
        role = pin_role(part, pin)
        if role != "ground":
            branches.extend(_Branch(net, low, 1e-3 if role == "supply" else 1e-7) for low in ground[:1])
        if role in ("output", ""):
            branches.extend(_Branch(net, rail, 1e-3) for rail in (*supply[:1], *ground[:1]))
    return branches


def _roles(circuit: Circuit, ground: str, potential: Mapping[str, float]) -> dict[str, str]:
    role = dict.fromkeys(circuit.nets, "signal")
    top = max(potential.values(), default=0.0)
    for net, pins in circuit.nets.items():
        wanted = circuit.rails.get(net)
        if wanted is not None:
            role[net] = wanted if wanted in ("supply", "ground") else "signal"
        elif net == ground:
            role[net] = "ground"
        elif potential[net] > 0.1 * top and _feeds(circuit, net, ground, len(pins)):
            role[net] = "supply"
    changed = True
    while changed:
        found = {
            net
            for net in role
            if role[net] == "signal"
            and net not in circuit.rails
            and _passed_on(circuit, net, role, potential)
        }
        role.update(dict.fromkeys(found, "supply"))
        changed = bool(found)
    return role


def _is_wire(circuit: Circuit, pins: Sequence[Pin]) -> bool:
    """Whether a wire between two pins says more than a symbol at each; the supply of a box or amplifier keeps its symbol."""
    return len(pins) == 2 and not any(
        pin_role(circuit.part(pin.reference), pin.pin) == "supply" or pin.pin == "supply_plus" for pin in pins
    )


def _passed_on(circuit: Circuit, net: str, role: Mapping[str, str], potential: Mapping[str, float]) -> bool:
    """Whether a rail goes on here behind a fuse, switch, diode or the like, to several loads."""
    pins = circuit.nets[net]
    if len(pins) < 4:
        return False
    for pin in pins:
        part = circuit.part(pin.reference)
        outline = kind_of(part).outline.name
        if outline == "resistor" and not _carries_loads(circuit, net, part):
            continue
        if outline in FEEDERS and len(part.pins) == 2:
            other = next((n for n in part.pins.values() if n != net), net)
            if role[other] == "supply" and 0.5 * potential[other] < potential[net] <= potential[other] + 1e-9:
                return True
    return False


def _carries_loads(circuit: Circuit, net: str, resistor: Part) -> bool:
    """Whether a resistor towards a net feeds loads there, and does not merely pull a signal up."""
    loads = (main_number(resistor) or np.inf) <= SERIES_OHMS
    for pin in circuit.nets[net]:
        part = circuit.part(pin.reference)
        outline, role = kind_of(part).outline.name, pin_role(part, pin.pin)
        if role == "output" or pin.pin in CONTROLS:
            return False
        smooths = (
            outline in ("capacitor", "polarised_capacitor") and (main_number(part) or 0.0) >= SMOOTHING_FARADS
        )
        loads = loads or smooths or role == "supply"
    return loads


def _feeds(circuit: Circuit, net: str, ground: str, legs: int) -> bool:
    """Whether the net looks like a rail: a steady source's upper end, or fed and decoupled with loads on it."""
    sources = loads = stores = rectifiers = onward = 0
    for pin in circuit.nets[net]:
        part = circuit.part(pin.reference)
        kind = kind_of(part)
        name = kind.outline.name
        if kind.supplies and name in ("dc_source", "cell", "battery") and kind.path[:1] == (pin.pin,):
            sources += 1
        elif pin_role(part, pin.pin) == "supply":
            loads += 1
        elif name in ("capacitor", "polarised_capacitor"):
            stores += ground in part.pins.values()
        elif name in ("diode", "schottky"):
            rectifiers += pin.pin == "cathode"
            onward += pin.pin == "anode"
    if rectifiers and stores and legs >= 3 and not onward:
        return True
    return bool(sources) or (legs >= 4 and loads >= 1) or (legs >= 4 and loads + stores >= 2)
