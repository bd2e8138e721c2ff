"""Which nets conduct to each other, and which are coupled through capacitors only: what stands between mains and hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import numpy as np

from lidoff.circuit import Circuit, Part, kind_of, settings_of
from lidoff.circuit.kind import Element
from lidoff.hazards.subject import is_alternating

__all__ = ["Way", "dangerous_nets", "joined_to", "way_between"]

LIVE_CREST = 42.4
"""Crest of an alternating voltage from which a supply counts as dangerous [V]: IEC 62368-1:2018, Table 4, from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way from a net to another through parts.

    Attributes
    ----------
    parts : tuple of str
        References, in the order of the way.
    capacitors : tuple of str
        Those among them through which it goes by their charge alone; empty where the way conducts.
    unknown : tuple of str
        Parts of unknown content among them, which may join there or not.
    nets : tuple of str
        From the start to the end; nets inside of parts as well.
    """

    parts: tuple[str, ...]
    capacitors: tuple[str, ...]
    unknown: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()


def _links(part: Part) -> Iterator[tuple[str, str, bool]]:
    """Nets that a part joins, with whether through charge alone."""
    kind = kind_of(part)
    for element in kind.elements(part):
        if kind.unknown and _draws_nothing(part, element):
            continue
        places = {
            terminal: part.pins.get(pin, f"{part.reference}{pin}" if pin.startswith("~") else "")
            for terminal, pin in zip(element.law.terminals, element.joins, strict=True)
        }
        for rows, charge in ((element.law.rows, False), (element.law.store_rows, True)):
            for row in rows:
                nets = [places[name] for name in row if places.get(name)]
                yield from ((nets[0], other, charge) for other in nets[1:])


def _draws_nothing(part: Part, element: Element) -> bool:
    """Whether the element stands for a pin of which no current was measured."""
    told = element.derive({name: np.full((1, 1), value) for name, value in settings_of(part).items()})
    return "current" in told and not np.any(told["current"])


def _graph(circuit: Circuit, *, charge: bool, unknown: bool = False) -> nx.Graph:
    graph = nx.Graph()
    graph.add_nodes_from(circuit.nets)
    for part in circuit.parts:
        if unknown and kind_of(part).unknown:
            for one, other in pairwise(part.pins.values()):
                if not graph.has_edge(one, other):
                    graph.add_edge(
                        one, other, weight=1_000_001, reference=part.reference, charge=False, unknown=True
                    )
        for one, other, through_charge in _links(part):
            if through_charge and not charge:
                continue
            # A conducting way goes before one through a capacitor, a short one before a long one.
            weight = 1001 if through_charge else 1
            known = graph.get_edge_data(one, other)
            if known is None or known["weight"] > weight:
                graph.add_edge(
                    one, other, weight=weight, reference=part.reference, charge=through_charge, unknown=False
                )
    return graph


def dangerous_nets(circuit: Circuit) -> tuple[str, ...]:
    """Nets at the poles of supplies whose alternating crest is dangerous."""
    found: dict[str, None] = {}
    for part in circuit.parts:
        volts = settings_of(part).get("voltage", 0.0)
        if is_alternating(part) and 2.0**0.5 * abs(volts) > LIVE_CREST:
            found.update(dict.fromkeys(part.pins.values()))
    return tuple(found)


def joined_to(circuit: Circuit, nets: Sequence[str]) -> frozenset[str]:
    """Every net that is known to conduct to one of some nets, those nets included.

    Parameters
    ----------
    circuit : Circuit
    nets : sequence of str

    Returns
    -------
    frozenset of str
    """
    graph = _graph(circuit, charge=False)
    known = set(circuit.nets)
    return frozenset(
        net
        for start in nets
        if start in graph
        for net in nx.node_connected_component(graph, start)
        if net in known
    )


def way_between(
    circuit: Circuit, nets: Sequence[str], net: str, *, through_unknown: bool = False
) -> Way | None:
    """Way from one of some nets to another, by conduction where there is one, else with the fewest capacitors.

    Parameters
    ----------
    circuit : Circuit
    nets : sequence of str
        Where it begins.
    net : str
        Where it ends.
    through_unknown : bool, optional
        Whether a part of unknown content counts as if it joined all its pins, after everything that is known.

    Returns
    -------
    Way or None
        None where nothing joins them.
    """
    graph = _graph(circuit, charge=True, unknown=through_unknown)
    starts = {start for start in nets if start in graph}
    if net not in graph or not starts or not any(nx.has_path(graph, start, net) for start in starts):
        return None
    _, path = nx.multi_source_dijkstra(graph, starts, net)
    edges: list[Mapping[str, object]] = [graph.edges[one, other] for one, other in pairwise(path)]
    return Way(
        parts=tuple(dict.fromkeys(str(edge["reference"]) for edge in edges)),
        capacitors=tuple(dict.fromkeys(str(edge["reference"]) for edge in edges if edge["charge"])),
        unknown=tuple(dict.fromkeys(str(edge["reference"]) for edge in edges if edge["unknown"])),
        nets=tuple(path),
    )
