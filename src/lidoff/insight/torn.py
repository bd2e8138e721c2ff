"""A circuit torn apart at its pins, so that many wirings of the same parts are one batch.

Every pin is a node of its own. A wiring says which net each node is on; it is only an index, one row a sample. The laws' ports
and responses stand at the nodes and never change; what changes from sample to sample is where they are gathered from and
added to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import Circuit, Part, Pin, kind_of
from lidoff.circuit.kind import Array
from lidoff.circuit.solve.assemble import Group, Placed, place_part
from lidoff.insight.variant import LOOSE, Variant

__all__ = ["ADDED", "LEAD", "LOAD", "METER", "Index", "Torn", "tear"]

Index = NDArray[np.intp]
ADDED: Mapping[str, Part] = {
    "resistor": Part(
        reference="~resistor", kind="resistor", pins={"1": "", "2": ""}, values={"resistance": 1e3}
    ),
    "diode": Part(reference="~diode", kind="diode", pins={"anode": "", "cathode": ""}),
}
"""A part of each kind that may be missing from the trace; it lies with both ends on the ground until a variant places it."""
METER = "~meter"
"""A meter on its ohm, diode or continuity range, red on its pin a and black on b."""
LOAD = "~load"
"""A voltmeter's input resistance or an ammeter's burden, for readings that it changes much."""
LEAD = "~lead"
"""Net between an ammeter and the pin whose lead it breaks."""
_INSTRUMENTS = (
    Part(
        reference=METER,
        kind="meter",
        pins={"a": "", "b": ""},
        values={"red on a": "touching", "black on b": "touching"},
    ),
    Part(reference=LOAD, kind="resistor", pins={"1": "", "2": ""}, values={"resistance": 1e7}),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Torn:
    """The equations of all parts at their own nodes.

    Attributes
    ----------
    circuit : Circuit
        As traced, with the parts that may be added.
    ground : str
        Net that all voltages are told against.
    nets : mapping of str to int
        Unknown of each net, those that a variant may make included; the ground's is the last.
    nodes : mapping of str to int
        Node of each pin, as ``R1.1``, inner node and law's unknown.
    size : int
        Number of unknowns N, the ground not counted.
    wiring : ndarray of int, shape (M,)
        Unknown of each node, as traced.
    linear, curved : tuple of Group
        Groups of laws.
    ports : tuple of two ndarrays of shape (M, P)
        From nodes to the ports of the linear and the curved groups.
    rows : tuple of two ndarrays of shape (outputs, M)
        From their responses to the nodes where these act.
    entries : tuple of two ndarrays of int, shape (4, E)
        For each entry of the Jacobian: slope, node of the row, node of the column; the last row is not used.
    weights : tuple of two ndarrays of shape (E,)
        Weight of each entry.
    pair_port : tuple of two ndarrays of int
        Port of each slope.
    pair_output : tuple of two ndarrays of int
        Response of each slope.
    anchors : ndarray of int
        Unknowns, one an island without ground, that are held to the ground by a very small conductance.
    """

    circuit: Circuit
    ground: str
    nets: Mapping[str, int]
    nodes: Mapping[str, int]
    size: int
    wiring: Index
    linear: tuple[Group, ...]
    curved: tuple[Group, ...]
    ports: tuple[Array, Array]
    rows: tuple[Array, Array]
    entries: tuple[Index, Index]
    weights: tuple[Array, Array]
    pair_port: tuple[Index, Index]
    pair_output: tuple[Index, Index]
    anchors: Index

    def node(self, reference: str, pin: str) -> int:
        """Node of a pin."""
        return self.nodes[str(Pin(reference, pin))]

    def wired(self, variant: Variant) -> Index:
        """Unknown of each node in a variant, shape (M,)."""
        wiring = self.wiring.copy()
        for net, other in variant.merged.items():
            wiring[wiring == self.nets[net]] = self.nets[other]
        for pin, net in variant.pins.items():
            wiring[self.nodes[str(pin)]] = self.nets[variant.net_of(net)]
        for part in variant.added:
            for pin_name, net in part.pins.items():
                wiring[self.node(ADDED[part.kind].reference, pin_name)] = self.nets[variant.net_of(net)]
        return wiring


def tear(circuit: Circuit) -> Torn:
    """Tear a circuit apart.

    Parameters
    ----------
    circuit : Circuit
        As traced.

    Returns
    -------
    Torn
        With the parts that may be missing, a meter and a meter's load, all with every pin on the ground.
    """
    ground = circuit.ground if circuit.ground in circuit.nets else _busiest(circuit)
    more = [
        replace(part, pins={pin: net or ground for pin, net in part.pins.items()})
        for part in (*ADDED.values(), *_INSTRUMENTS)
    ]
    whole = replace(circuit, parts=(*circuit.parts, *more), ground=ground)
    placed = [one for part in whole.parts for one in _torn_part(part)]
    nets = [net for net in (*whole.nets, *LOOSE, LEAD) if net != ground]
    own = sorted(
        {name for one in placed for name in one.variables}
        - {str(pin) for pins in whole.nets.values() for pin in pins}
    )
    unknowns = {name: number for number, name in enumerate((*nets, *own))}
    size = len(unknowns)
    unknowns[ground] = size
    pins = {str(pin): unknowns[net] for net, members in whole.nets.items() for pin in members}
    nodes = {name: number for number, name in enumerate((*pins, *own))}
    by_law: dict[str, list[Placed]] = {}
    for one in placed:
        by_law.setdefault(one.element.law.name, []).append(one)
    groups = [
        Group(law=members[0].element.law, placed=tuple(members)) for _, members in sorted(by_law.items())
    ]
    parted = (
        tuple(group for group in groups if group.law.linear),
        tuple(group for group in groups if not group.law.linear),
    )
    matrices = [_matrices(part, nodes) for part in parted]
    return Torn(
        circuit=whole,
        ground=ground,
        nets={net: unknowns[net] for net in (*nets, ground)},
        nodes=nodes,
        size=size,
        wiring=np.array([*pins.values(), *(unknowns[name] for name in own)], dtype=np.intp),
        linear=parted[0],
        curved=parted[1],
        ports=(matrices[0].ports, matrices[1].ports),
        rows=(matrices[0].rows, matrices[1].rows),
        entries=(matrices[0].entries, matrices[1].entries),
        weights=(matrices[0].weights, matrices[1].weights),
        pair_port=(matrices[0].pair_port, matrices[1].pair_port),
        pair_output=(matrices[0].pair_output, matrices[1].pair_output),
        anchors=_anchors(placed, pins, unknowns, ground),
    )


def _torn_part(part: Part) -> list[Placed]:
    """Elements of one part, each pin a node of its own."""
    alone = replace(part, pins={pin: str(Pin(part.reference, pin)) for pin in part.pins})
    return [
        Placed(part=part, element=one.element, variables=one.variables)
        for one in place_part(alone, kind_of(part).elements(part))
    ]


def _busiest(circuit: Circuit) -> str:
    return max(circuit.nets, key=lambda net: (len(circuit.nets[net]), net))


def _anchors(
    placed: Sequence[Placed], pins: Mapping[str, int], unknowns: Mapping[str, int], ground: str
) -> Index:
    """One unknown of each island that nothing joins to the ground."""
    from lidoff.circuit.solve.islands import Union, joined_by

    names = {number: name for name, number in unknowns.items()}
    union = Union(list(unknowns))
    for one in placed:
        for group in joined_by(one, dynamic=False):
            ends = [names[pins[end]] if end in pins else end for end in group]
            for other in ends[1:]:
                union.join(ends[0], other)
    voltages = {names[number] for number in pins.values()}
    roots = {union.find(net): unknowns[net] for net in sorted(voltages, reverse=True)}
    roots.pop(union.find(ground), None)
    return np.array(sorted(roots.values()), dtype=np.intp)


@dataclass(frozen=True, slots=True, eq=False)
class _Matrices:
    ports: Array
    rows: Array
    entries: Index
    weights: Array
    pair_port: Index
    pair_output: Index


def _matrices(groups: Sequence[Group], nodes: Mapping[str, int]) -> _Matrices:
    """Incidence of some groups, port-major within a group as the laws' responses are."""
    port_terms: list[list[tuple[int, float]]] = []
    row_terms: list[list[tuple[int, float]]] = []
    pairs: list[tuple[int, int]] = []
    for group in groups:
        law, count = group.law, len(group.placed)
        places = [dict(zip(law.variables, placed.variables, strict=True)) for placed in group.placed]
        first_port, first_row = len(port_terms), len(row_terms)
        for port in law.ports:
            port_terms.extend([(nodes[place[name]], w) for name, w in port.items()] for place in places)
        for row in law.rows:
            row_terms.extend([(nodes[place[name]], w) for name, w in row.items()] for place in places)
        for output, port_number in law.pairs:
            pairs.extend(
                (first_row + output * count + k, first_port + port_number * count + k) for k in range(count)
            )
    ports, rows = np.zeros((len(nodes), len(port_terms))), np.zeros((len(row_terms), len(nodes)))
    for number, terms in enumerate(port_terms):
        for node, weight in terms:
            ports[node, number] += weight
    for number, terms in enumerate(row_terms):
        for node, weight in terms:
            rows[number, node] += weight
    found = [
        (pair, row_node, port_node, row_weight * port_weight)
        for pair, (output, port_number) in enumerate(pairs)
        for row_node, row_weight in row_terms[output]
        for port_node, port_weight in port_terms[port_number]
    ]
    return _Matrices(
        ports=ports,
        rows=rows,
        entries=np.array([entry[:3] for entry in found], dtype=np.intp).reshape(-1, 3).T,
        weights=np.array([entry[3] for entry in found]),
        pair_port=np.array([port for _, port in pairs], dtype=np.intp),
        pair_output=np.array([output for output, _ in pairs], dtype=np.intp),
    )
