"""Which nets are rails, and how high each net stands on the page.

The order of potentials decides what is drawn above what. It must not change from situation to situation, or the drawing would jump;
so it comes from a linear stand-in of the circuit in which every switch is closed and every transistor conducts: resistors keep their
values, other parts become resistors of a typical size.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part

__all__ = ["Levels", "find_levels", "main_number"]

STAND_IN = {
    "capacitor": 1e8, "polarised_capacitor": 1e8, "inductor": 1.0, "diode": 60.0, "schottky": 40.0, "led": 150.0,
    "zener": 1e3, "suppressor": 1e7, "photodiode": 1e6, "phototransistor": 1e4, "light_resistor": 1e4, "fuse": 0.1,
    "switch": 0.1, "button": 0.1, "link": 0.01, "motor": 10.0, "lamp": 50.0, "cell": 0.1, "npn": 50.0, "pnp": 50.0,
    "nmos": 10.0, "pmos": 10.0, "thyristor": 50.0, "triac": 50.0, "thermistor": 1e3, "shunt_reference": 1e3,
}  # fmt: skip
"""Typical resistance of the main path [Ω]; common practice, no source: only the order of the outcome is used."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """Rank of the nets.

    Attributes
    ----------
    role : mapping of str to str
        ``supply``, ``ground`` or ``signal`` for each net.
    potential : mapping of str to float
        In the stand-in circuit [V].
    current : mapping of str to float
        Along each part's main path in the stand-in circuit [A].
    """

    role: Mapping[str, str]
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
    nets = list(circuit.nets)
    ground = _ground_net(circuit)
    potential = _stand_in_potentials(circuit, nets, ground)
    current = {}
    for part in circuit.parts:
        path = kind_of(part).path
        if len(path) == 2 and all(pin in part.pins for pin in path):
            drop = potential[part.pins[path[0]]] - potential[part.pins[path[1]]]
            current[part.reference] = drop / _path_resistance(part)
    role = _roles(circuit, ground, potential)
    return Levels(role=role, potential=potential, current=current)


def _ground_net(circuit: Circuit) -> str:
    nets = circuit.nets
    if circuit.ground in nets:
        return circuit.ground
    for net, role in circuit.rails.items():
        if role == "ground" and net in nets:
            return net
    returns = [
        part.pins[kind_of(part).path[1]]
        for part in circuit.parts
        if kind_of(part).supplies and len(kind_of(part).path) == 2 and kind_of(part).path[1] in part.pins
    ]
    return max(sorted(set(returns)), key=lambda net: len(nets[net]), default="")


def _path_resistance(part: Part) -> float:
    outline = kind_of(part).outline.name
    if outline == "resistor":
        value = main_number(part)
        return max(value, 1e-3) if value else 1e3
    return STAND_IN.get(outline, 1e3)


def _stand_in_potentials(circuit: Circuit, nets: list[str], ground: str) -> dict[str, float]:
    index = {net: row for row, net in enumerate(nets)}
    size = len(nets)
    if not size:
        return {}
    matrix = np.zeros((size, size))
    drive = np.zeros(size)

    def join(a: str, b: str, conductance: float, source: float = 0.0) -> None:
        i, j = index[a], index[b]
        matrix[i, i] += conductance
        matrix[j, j] += conductance
        matrix[i, j] -= conductance
        matrix[j, i] -= conductance
        drive[i] += conductance * source
        drive[j] -= conductance * source

    for part in circuit.parts:
        kind = kind_of(part)
        path = kind.path if all(pin in part.pins for pin in kind.path) else ()
        if kind.supplies and len(path) == 2:
            join(part.pins[path[0]], part.pins[path[1]], 10.0, abs(main_number(part) or 5.0))
        elif len(path) == 2:
            join(part.pins[path[0]], part.pins[path[1]], 1.0 / _path_resistance(part))
        for pin, net in part.pins.items():
            if pin not in path and path:
                join(net, part.pins[path[1]], 1e-8)
        if not path:
            _join_box(part, join)
    matrix[np.diag_indices(size)] += 1e-10
    if ground:
        matrix[index[ground], index[ground]] += 1e6
    solved = np.linalg.solve(matrix, drive)
    return {net: float(solved[row]) for net, row in index.items()}


def _join_box(part: Part, join: object) -> None:
    """Load between supply and ground pins; outputs stand between them, inputs hardly load."""
    assert callable(join)
    supply = [net for pin, net in part.pins.items() if part.pin_roles.get(pin) == "supply"]
    ground = [net for pin, net in part.pins.items() if part.pin_roles.get(pin) == "ground"]
    for pin, net in part.pins.items():
        role = part.pin_roles.get(pin, "both")
        for low in ground[:1]:
            if role == "supply":
                join(net, low, 1e-3)
            elif role != "ground":
                join(net, low, 1e-7)
        for high in supply[:1]:
            if role == "output":
                join(net, high, 1e-5)


def _roles(circuit: Circuit, ground: str, potential: Mapping[str, float]) -> dict[str, str]:
    role = dict.fromkeys(circuit.nets, "signal")
    for net, pins in circuit.nets.items():
        wanted = circuit.rails.get(net)
        if wanted is not None:
            role[net] = wanted if wanted in ("supply", "ground") else "signal"
        elif net == ground:
            role[net] = "ground"
        elif potential[net] > 0.2 and _feeds(circuit, net, len(pins)):
            role[net] = "supply"
    return role


def _feeds(circuit: Circuit, net: str, legs: int) -> bool:
    """Whether the net looks like a rail: a steady source's upper end, or fed and decoupled with loads on it."""
    sources = loads = stores = 0
    for pin in circuit.nets[net]:
        part = circuit.part(pin.reference)
        kind = kind_of(part)
        if kind.supplies and kind.outline.name in ("dc_source", "cell") and kind.path[:1] == (pin.pin,):
            sources += 1
        elif part.pin_roles.get(pin.pin) == "supply":
            loads += 1
        elif kind.outline.name in ("capacitor", "polarised_capacitor"):
            stores += 1
    return bool(sources) or (legs >= 4 and loads >= 1) or (legs >= 4 and loads + stores >= 2)
