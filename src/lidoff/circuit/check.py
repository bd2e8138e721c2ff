"""What can be told about a circuit from its graph alone, in words, before anything is solved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lidoff.circuit.article import with_article
from lidoff.circuit.kind import Array, kind_of
from lidoff.circuit.netlist import Circuit
from lidoff.circuit.solve.assemble import parameters_of
from lidoff.circuit.solve.islands import Union
from lidoff.circuit.zero_net import zero_nets

__all__ = ["WiringFault", "check_circuit", "check_pins"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WiringFault:
    """Something about the wiring that the analyst should know.

    Attributes
    ----------
    name : str
        Which check found it.
    what, where, remedy : str
        In words.
    nets, parts : tuple of str
        What it is about.
    fatal : bool
        Whether nothing can be solved before it is mended.
    """

    name: str
    what: str
    where: str = ""
    remedy: str = ""
    nets: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    fatal: bool = False


def check_pins(circuit: Circuit) -> tuple[WiringFault, ...]:
    """Faults of single parts: pins that the kind does not have, pins left out, all pins on one net."""
    faults: list[WiringFault] = []
    for part in circuit.parts:
        kind = kind_of(part)
        if kind.pins:
            faults.extend(
                WiringFault(
                    name="unknown pin",
                    what=f"{part.reference}: {with_article(kind.title)} has no pin {pin!r}",
                    where=part.reference,
                    remedy=f"its pins are {', '.join(kind.pins)}",
                    parts=(part.reference,),
                    fatal=True,
                )
                for pin in part.pins
                if pin not in kind.pins
            )
            missing = [pin for pin in kind.pins if pin not in part.pins and pin not in kind.optional_pins]
            if missing:
                faults.append(
                    WiringFault(
                        name="unconnected pin",
                        what=f"{part.reference}: pin {', '.join(missing)} is on no net",
                        where=part.reference,
                        remedy="name the net of every pin; a pin that goes nowhere gets a net of its own",
                        parts=(part.reference,),
                        fatal=True,
                    )
                )
        nets = set(part.pins.values())
        if len(part.pins) > 1 and len(nets) == 1:
            faults.append(
                WiringFault(
                    name="bridged part",
                    what=f"{part.reference} has all its pins on net {nets.pop()!r}, so it does nothing",
                    where=part.reference,
                    remedy="check the trace at that part",
                    parts=(part.reference,),
                )
            )
    return tuple(faults)


def _lone_pins(circuit: Circuit) -> list[WiringFault]:
    faults = []
    for net, pins in circuit.nets.items():
        if len(pins) == 1:
            faults.append(
                WiringFault(
                    name="net with one pin",
                    what=f"net {net!r} reaches only {pins[0]}",
                    where=str(pins[0]),
                    remedy="follow its copper further, or accept it as a pin that is not used",
                    nets=(net,),
                    parts=(pins[0].reference,),
                )
            )
    return faults


def _apart_from_ground(circuit: Circuit) -> list[WiringFault]:
    """Pieces of the circuit that no part of any kind joins to the ground; transformers and optocouplers do join."""
    if circuit.ground not in circuit.nets:
        return []
    union = Union(sorted(circuit.nets))
    for part in circuit.parts:
        for one, other in pairwise(part.pins.values()):
            union.join(one, other)
    pieces: dict[str, list[str]] = {}
    for net in sorted(circuit.nets):
        pieces.setdefault(union.find(net), []).append(net)
    pieces.pop(union.find(circuit.ground))
    faults = []
    for nets in pieces.values():
        parts = tuple(
            part.reference for part in circuit.parts if any(net in nets for net in part.pins.values())
        )
        if all(len(circuit.nets[net]) == 1 for net in nets):
            continue  # a part by itself, of which every pin is told to be alone on its net
        faults.append(
            WiringFault(
                name="no way to the ground",
                what=f"nothing joins {', '.join(parts)} to the rest of the circuit, so no voltage between "
                f"{', '.join(nets)} and {circuit.ground} is known",
                where=", ".join(nets),
                remedy="look for a joint, wire or part that was missed; a circuit of its own is fine as it is",
                nets=tuple(nets),
                parts=parts,
            )
        )
    return faults


def _ideal_branches(circuit: Circuit, table: Mapping[tuple[str, str], Array]) -> list[tuple[str, str, str]]:
    """(reference, net, net) of every part that holds a voltage with no resistance in at least one sample."""
    found = []
    for part in circuit.parts:
        for element in kind_of(part).elements(part):
            if element.law.unknowns != ("current",) or any(join.startswith("~") for join in element.joins):
                continue
            own = dict(parameters_of(part.reference, table))
            derived = element.derive(own)
            if "resistance" not in derived or "connected" not in derived:
                continue
            ideal = (np.asarray(derived["resistance"]) == 0.0) & (np.asarray(derived["connected"]) > 0.0)
            if ideal.any():
                found.append((part.reference, part.pins[element.joins[0]], part.pins[element.joins[1]]))
    return found


def _source_loops(circuit: Circuit, table: Mapping[tuple[str, str], Array]) -> list[WiringFault]:
    branches = _ideal_branches(circuit, table)
    union = Union(sorted({net for _, one, other in branches for net in (one, other)}))
    neighbours: dict[str, list[tuple[str, str]]] = {}
    faults = []
    for reference, one, other in branches:
        if union.find(one) == union.find(other):
            loop = sorted({reference, *_path_between(neighbours, one, other)})
            faults.append(
                WiringFault(
                    name="loop without resistance",
                    what=f"{', '.join(loop)} form a loop without any resistance, so its current has no bound",
                    where=reference,
                    remedy="give one of them its resistance, or check which net it really joins",
                    parts=tuple(loop),
                    fatal=True,
                )
            )
            continue
        union.join(one, other)
        neighbours.setdefault(one, []).append((other, reference))
        neighbours.setdefault(other, []).append((one, reference))
    return faults


def _path_between(neighbours: Mapping[str, list[tuple[str, str]]], start: str, end: str) -> list[str]:
    """Parts on the way from one net to another."""
    came: dict[str, tuple[str, str]] = {start: ("", "")}
    queue = [start]
    for net in queue:
        for other, reference in neighbours.get(net, []):
            if other not in came:
                came[other] = (net, reference)
                queue.append(other)
    path = []
    net = end
    while net != start and net in came:
        net, reference = came[net]
        path.append(reference)
    return path


def check_circuit(
    circuit: Circuit,
    table: Mapping[tuple[str, str], Array],
) -> tuple[WiringFault, ...]:
    """All faults that the graph shows.

    Parameters
    ----------
    circuit : Circuit
    table : mapping of (reference, parameter) to ndarray
        Parameters of all parts over all samples.

    Returns
    -------
    tuple of WiringFault
        Fatal ones first.
    """
    pins = check_pins(circuit)
    if any(fault.fatal for fault in pins):
        return tuple(sorted(pins, key=lambda fault: not fault.fatal))
    faults = [
        *pins,
        *_source_loops(circuit, table),
        *_lone_pins(circuit),
        *_apart_from_ground(circuit),
    ]
    if circuit.ground not in circuit.nets:
        zeros = zero_nets(circuit)[:1]
        told = f"; voltages are told against {zeros[0]} as long as none is" if zeros else ""
        faults.append(
            WiringFault(
                name="no ground",
                what=f"no pin is on the ground net {circuit.ground!r}{told}",
                remedy=f"name the net that voltages are told against {circuit.ground!r}",
                nets=zeros,
            )
        )
    return tuple(sorted(faults, key=lambda fault: not fault.fatal))
