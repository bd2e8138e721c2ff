"""The stretch of a net between some of its ends: what a current runs along, without the branches it passes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import networkx as nx

from lidoff.schematic.drawing import RailMark, Wire

__all__ = ["stretch_of"]

Point = tuple[int, int]


def stretch_of(
    wires: Sequence[Wire], marks: Sequence[RailMark], ends: Sequence[Point]
) -> tuple[list[tuple[Point, Point]], list[RailMark]]:
    """Pieces of a net's wires that join some of its pins.

    Parameters
    ----------
    wires : sequence of Wire
        Of one net on one sheet.
    marks : sequence of RailMark
        Its rail symbols, which join what no wire joins.
    ends : sequence of (x, y)
        Pins to be joined.

    Returns
    -------
    pieces : list of (point, point)
        Straight pieces of wire.
    marks : list of RailMark
        The symbols over which the way goes on, the nearest of each piece.
    """
    spots = {(mark.x, mark.y): mark for mark in marks}
    graph = _graph(wires, [*ends, *spots])
    parts = [
        (part, [end for end in dict.fromkeys(ends) if end in part]) for part in nx.connected_components(graph)
    ]
    held = [(part, inside) for part, inside in parts if inside]
    pieces: list[tuple[Point, Point]] = []
    lit: list[RailMark] = []
    for part, inside in held:
        goals = list(inside)
        here = [spot for spot in spots if spot in part]
        if len(held) > 1 and here:
            lengths = nx.multi_source_dijkstra_path_length(graph, set(inside))
            nearest = min(here, key=lambda spot: (lengths[spot], spot))
            goals.append(nearest)
            lit.append(spots[nearest])
        pieces.extend(_tree(graph, goals))
    return pieces, lit


def _graph(wires: Sequence[Wire], points: Sequence[Point]) -> nx.Graph:
    """Wires cut where others end on them and at the points given."""
    graph: nx.Graph = nx.Graph()
    graph.add_nodes_from(points)
    cuts = {*points, *((w.x0, w.y0) for w in wires), *((w.x1, w.y1) for w in wires)}
    for wire in wires:
        along = sorted(
            (x, y)
            for x, y in cuts
            if min(wire.x0, wire.x1) <= x <= max(wire.x0, wire.x1)
            and min(wire.y0, wire.y1) <= y <= max(wire.y0, wire.y1)
        )
        graph.add_edges_from(
            (a, b, {"weight": abs(a[0] - b[0]) + abs(a[1] - b[1])}) for a, b in pairwise(along)
        )
    return graph


def _tree(graph: nx.Graph, goals: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Shortest ways from the first goal to the others."""
    found: dict[tuple[Point, Point], None] = {}
    for goal in goals[1:]:
        for a, b in pairwise(nx.shortest_path(graph, goals[0], goal, weight="weight")):
            found[(min(a, b), max(a, b))] = None
    return list(found)
