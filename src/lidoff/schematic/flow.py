"""What should stand left of what: sources before loads, controlling before controlled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.schematic.levels import Levels
from lidoff.schematic.mirror import MirrorMate
from lidoff.schematic.shapes import pin_role
from lidoff.schematic.unit import Unit

__all__ = ["reading_order", "signal_edges"]

FROM_SOURCE = 0.7
"""Weight of "sources stand left of what they feed" against a signal's way."""
RAIL = 0.55
"""Weight of "what feeds a rail stands left of what the rail feeds"."""
LOAD = 0.4
"""Weight of "what feeds any other net stands left of what leads on from there to the ground"."""


def signal_edges(circuit: Circuit, levels: Levels) -> list[tuple[str, str]]:
    """Pairs of parts, the first of which steers the second over a signal net.

    Parameters
    ----------
    circuit : Circuit
        With its parts' kinds and pin roles.
    levels : Levels
        From `find_levels`.

    Returns
    -------
    list of (str, str)
        Sorted; a pair that steers both ways is left out.
    """
    edges: set[tuple[str, str]] = set()
    nets = circuit.nets
    for part in circuit.parts:
        controls = kind_of(part).controls
        inputs = {part.pins[g] for g, _ in controls if g in part.pins}
        inputs |= {net for pin, net in part.pins.items() if pin_role(part, pin) == "input"}
        outputs = {net for pin, net in part.pins.items() if pin_role(part, pin) == "output"}
        for net in inputs:
            for pin in nets[net]:
                if levels.role[net] == "signal" and not _steered(circuit, pin.reference, pin.pin):
                    edges.add((pin.reference, part.reference))
        for net in outputs:
            if levels.role[net] == "signal":
                edges.update((part.reference, pin.reference) for pin in nets[net])
    return sorted((a, b) for a, b in edges if a != b and (b, a) not in edges)


def _steered(circuit: Circuit, reference: str, pin: str) -> bool:
    part = circuit.part(reference)
    return pin_role(part, pin) == "input" or any(g == pin for g, _ in kind_of(part).controls)


def reading_order(
    circuit: Circuit, levels: Levels, units: Sequence[Unit], mirror: Mapping[int, MirrorMate]
) -> dict[int, list[tuple[int, float, bool]]]:
    """For each unit: others, weight, and whether the other should stand to its left.

    Parameters
    ----------
    circuit, levels : Circuit, Levels
        What is drawn.
    units : sequence of Unit
        In which the parts move.
    mirror : mapping of int to MirrorMate
        Mirror images: what steers within one may stand on either side.

    Returns
    -------
    dict of int to list of (int, float, bool)
        By number of the unit.
    """
    home = {reference: number for number, unit in enumerate(units) for reference in unit.references}
    edges: dict[tuple[int, int], float] = {}
    for a, b in signal_edges(circuit, levels):
        if a in home and b in home and home[a] != home[b]:
            edges[(home[a], home[b])] = 0.7
    for a, b in _rail_edges(circuit, levels):
        if a in home and b in home and home[a] != home[b]:
            edges.setdefault((home[a], home[b]), RAIL)
    for a, b in _load_edges(circuit, levels):
        if a in home and b in home and home[a] != home[b]:
            edges.setdefault((home[a], home[b]), LOAD)
    for part in circuit.parts:
        if kind_of(part).supplies and part.reference in home and not _is_charged(circuit, part):
            for other in circuit.parts:
                pair = (home[part.reference], home[other.reference])
                if not kind_of(other).supplies and pair[0] != pair[1] and pair not in edges:
                    edges[pair] = FROM_SOURCE
    flow: dict[int, list[tuple[int, float, bool]]] = {}
    for (i, j), weight in sorted(edges.items()):
        inside = i in mirror and j in mirror and mirror[i].group == mirror[j].group
        if not inside and edges.get((j, i), 0.0) < weight:
            flow.setdefault(i, []).append((j, weight, False))
            flow.setdefault(j, []).append((i, weight, True))
    return flow


def _is_charged(circuit: Circuit, part: Part) -> bool:
    """Whether a cell hangs on the output of a box, so that it is no beginning."""
    path = kind_of(part).path
    return any(
        pin_role(circuit.part(pin.reference), pin.pin) == "output"
        for pin in circuit.nets[part.pins[path[0]]]
        if pin.reference != part.reference
    )


def _rail_edges(circuit: Circuit, levels: Levels) -> list[tuple[str, str]]:
    """Pairs of parts, the first of which feeds a supply rail that the second is fed by."""
    edges: set[tuple[str, str]] = set()
    for net, pins in circuit.nets.items():
        if levels.role[net] != "supply":
            continue
        feeding: set[str] = set()
        for pin in pins:
            part = circuit.part(pin.reference)
            kind = kind_of(part)
            path = kind.path if all(name in part.pins for name in kind.path) else ()
            if (kind.supplies and not _is_charged(circuit, part)) or pin_role(part, pin.pin) == "output":
                feeding.add(part.reference)
            elif len(path) == 2 and pin.pin in path and not kind.supplies:
                other = part.pins[path[1] if pin.pin == path[0] else path[0]]
                flows = levels.current.get(part.reference, 0.0) * (1 if pin.pin == path[1] else -1)
                if levels.role[other] != "ground" and flows > 1e-9:
                    feeding.add(part.reference)
        edges.update((a, pin.reference) for a in feeding for pin in pins if pin.reference not in feeding)
    return sorted(edges)


def _load_edges(circuit: Circuit, levels: Levels) -> list[tuple[str, str]]:
    """Pairs of parts, the first of which feeds a net that is no rail, and the second leads on from there to the ground."""
    edges: set[tuple[str, str]] = set()
    for net, pins in circuit.nets.items():
        if levels.role[net] != "signal":
            continue
        feeding: set[str] = set()
        loads: set[str] = set()
        for pin in pins:
            part = circuit.part(pin.reference)
            kind = kind_of(part)
            path = kind.path if all(name in part.pins for name in kind.path) else ()
            if len(path) != 2 or pin.pin not in path or kind.supplies or kind.controls:
                continue
            other = part.pins[path[1] if pin.pin == path[0] else path[0]]
            if levels.role[other] == "ground":
                loads.add(part.reference)
            elif levels.current.get(part.reference, 0.0) * (1 if pin.pin == path[1] else -1) > 1e-9:
                feeding.add(part.reference)
        edges.update((a, b) for a in feeding for b in loads)
    return sorted(edges)
