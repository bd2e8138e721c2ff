"""Nets: what hangs together through copper, plated holes, pins, wires and stated joins, and the chain that proves it.

Everything that conducts is a node: a piece of copper ("front:3"), a pin ("R1.2"), a hole ("hole:7"). A `Link` says that two
nodes are joined, by what, where, and how sure that is. Nets are the connected parts of the links that are more likely made
than not.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lidoff.board.frame import SIDES
from lidoff.board.islands import Pieces
from lidoff.board.layout import Hole, Pad, Place
from lidoff.board.package import PlacedPart
from lidoff.board.rasters import pad_corners
from lidoff.errors import UnknownName

if TYPE_CHECKING:
    import networkx

__all__ = ["Link", "Net", "Nets", "Wire", "board_links", "nets_from_links"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A wire or a stated join between two nodes: pins, or places written as "side:x,y" in mm; `kind` is its witness."""

    first: str
    second: str
    kind: str = "wire"


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Two nodes that are joined, or might be.

    Parameters
    ----------
    first, second : str
        Nodes.
    kind : str
        "copper", "land", "hole", "wire" or "stated".
    probability : float
        That they are joined.
    side : str
        Where it is seen; empty for both.
    at : place
        Where to look [mm].
    stated : bool
        Whether the analyst decided it, so that no inference may change it.
    """

    first: str
    second: str
    kind: str
    probability: float
    side: str = ""
    at: Place = (0.0, 0.0)
    stated: bool = False

    @property
    def made(self) -> bool:
        """Whether the link is taken for made."""
        return self.probability > 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Net:
    """One net: its name, its pins ("R1.2"), its pieces of copper ("front:3") and its holes, each sorted."""

    name: str
    pins: tuple[str, ...]
    pieces: tuple[str, ...]
    holes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Nets:
    """All nets of a board, and the links that make them."""

    nets: tuple[Net, ...]
    links: tuple[Link, ...]

    def net_of(self, node: str) -> Net:
        """Net that holds a node.

        Raises
        ------
        UnknownName
            The board has no such node.
        """
        for net in self.nets:
            if node in net.pins or node in net.pieces or node in net.holes:
                return net
        known = [pin for net in self.nets for pin in net.pins]
        raise UnknownName(f"nothing on the board is called {node!r}", name=node, known=known)

    def pin_nets(self) -> Mapping[str, str]:
        """Net name of every pin."""
        return {pin: net.name for net in self.nets for pin in net.pins}

    def chain(self, first: str, second: str) -> tuple[Link, ...]:
        """Witness that two nodes are joined: the surest chain of links between them; empty where none.

        Raises
        ------
        UnknownName
            The board has no such node.
        """
        import networkx as nx

        self.net_of(first), self.net_of(second)
        graph = _graph(self.links)
        try:
            path = nx.shortest_path(graph, first, second, weight="cost")
        except (nx.NetworkXNoPath, nx.NodeNotFound):
            return ()
        return tuple(graph.edges[a, b]["link"] for a, b in itertools.pairwise(path))


def _graph(links: Iterable[Link]) -> networkx.Graph:
    import networkx as nx

    graph = nx.Graph()
    for link in links:
        if not link.made:
            continue
        cost = 1e-6 - float(np.log(max(link.probability, 1e-6)))
        if not graph.has_edge(link.first, link.second) or graph.edges[link.first, link.second]["cost"] > cost:
            graph.add_edge(link.first, link.second, link=link, cost=cost)
    return graph


def board_links(
    pieces: Mapping[str, Pieces],
    *,
    parts: Sequence[PlacedPart] = (),
    pads: Sequence[Pad] = (),
    holes: Sequence[Hole] = (),
    wires: Sequence[Wire] = (),
) -> tuple[Link, ...]:
    """Links between everything that conducts.

    Parameters
    ----------
    pieces : mapping of str to Pieces
        By side.
    parts : sequence of PlacedPart
        Their pads carry the pins.
    pads : sequence of Pad
        Further lands with pins.
    holes : sequence of Hole
        Plated ones join the sides.
    wires : sequence of Wire
        Wires, connectors, stated joins.

    Returns
    -------
    tuple of Link
        Doubtful and open joins included, with their probability.
    """
    links: list[Link] = []
    for side in SIDES:
        if side in pieces:
            links += [
                Link(
                    first=f"{side}:{join.first}",
                    second=f"{side}:{join.second}",
                    kind="copper",
                    probability=join.probability,
                    side=side,
                    at=join.at,
                    stated=join.stated,
                )
                for join in pieces[side].joins
            ]
    for pad in (*(pad for part in parts for pad in part.pads), *pads):
        if pad.pin and pad.side in pieces:
            links += _land_links(pad, pieces[pad.side])
    for number, hole in enumerate(holes):
        # A hole that is surely bare joins nothing; a doubtful one is an open link that a beep may close.
        if hole.plated or hole.sure < 0.95:
            links += _hole_links(f"hole:{number + 1}", hole, pieces)
    for wire in wires:
        first, second = _node(wire.first, pieces), _node(wire.second, pieces)
        links.append(Link(first=first, second=second, kind=wire.kind, probability=1.0, stated=True))
    return tuple(links)


def _node(name: str, pieces: Mapping[str, Pieces]) -> str:
    """A pin as it is; a place "side:x,y" as the piece that lies there."""
    side, colon, place = name.partition(":")
    if colon and side in pieces and "," in place:
        x, y = (float(value) for value in place.split(","))
        number = pieces[side].at((x, y))
        return f"{side}:{number}" if number else name
    return name


def _window(
    corners: Sequence[Place], pieces: Pieces
) -> tuple[tuple[slice, slice], np.ndarray[tuple[int, int], np.dtype[np.uint8]]]:
    """Rows and columns round a polygon, and the polygon's pixels in them."""
    import cv2

    points = np.array(corners) * pieces.px_per_mm - 0.5
    low = np.maximum(np.floor(points.min(axis=0)).astype(int) - 1, 0)
    high = np.ceil(points.max(axis=0)).astype(int) + 2
    window = (slice(low[1], max(high[1], low[1] + 1)), slice(low[0], max(high[0], low[0] + 1)))
    shape = pieces.labels[window].shape
    inside = np.zeros((max(shape[0], 1), max(shape[1], 1)), np.uint8)
    cv2.fillPoly(inside, [np.round((points - low) * 16).astype(np.int32)], [1], cv2.LINE_8, 4)
    return window, inside[: shape[0], : shape[1]]


def _land_links(pad: Pad, pieces: Pieces) -> list[Link]:
    """Piece that fills most of a land; other pieces on the same land are joined by its solder."""
    window, inside = _window(pad_corners(pad), pieces)
    found = pieces.labels[window][inside > 0]
    if found.size == 0:
        return []
    counts = np.bincount(found[found > 0]) if np.any(found > 0) else np.zeros(1, int)
    numbers = [int(n) for n in np.argsort(-counts) if n > 0 and counts[n] >= max(0.12 * found.size, 2)]
    return [
        Link(
            first=pad.pin,
            second=f"{pieces.side}:{number}",
            kind="land",
            probability=float(0.55 + 0.44 * min(1.0, 2.0 * counts[number] / found.size)),
            side=pad.side,
            at=pad.at,
        )
        for number in numbers
    ]


def _hole_links(name: str, hole: Hole, pieces: Mapping[str, Pieces]) -> list[Link]:
    """Pieces in the ring round a plated hole, on both sides."""
    links = []
    for side in SIDES:
        if side not in pieces:
            continue
        own = pieces[side]
        ring = Pad(side=side, net="", at=hole.at, size=(hole.diameter + 0.3, hole.diameter + 0.3), round=True)
        window, inside = _window(pad_corners(ring), own)
        labels = own.labels[window]
        x, y = (np.array(hole.at) * own.px_per_mm - 0.5) - (window[1].start, window[0].start)
        rows, columns = np.indices(labels.shape)
        # What shines inside the drill is no copper, unless there is none round it, as in a hole filled with solder.
        drilled = np.hypot(rows - y, columns - x) < 0.5 * hole.diameter * own.px_per_mm
        found = labels[(inside > 0) & (labels > 0) & ~drilled]
        if found.size == 0:
            found = labels[(inside > 0) & (labels > 0)]
        if found.size == 0:
            continue
        counts = np.bincount(found)
        best = int(np.argmax(counts))
        links.append(
            Link(
                first=name,
                second=f"{side}:{best}",
                kind="hole",
                probability=hole.sure if hole.plated else 1.0 - hole.sure,
                side=side,
                stated=hole.sure >= 1.0,
                at=hole.at,
            )
        )
    return links


def nets_from_links(
    links: Sequence[Link],
    *,
    names: Mapping[str, str] | None = None,
    pins: Sequence[str] = (),
) -> Nets:
    """Connected parts of the made links.

    Parameters
    ----------
    links : sequence of Link
        From `board_links`.
    names : mapping of str to str, optional
        Name of the net of a node, as the analyst gave it; else a net is called by its first pin, or its first piece of
        copper: what stays when others are named, joined or found.
    pins : sequence of str
        Pins that must appear even where nothing is joined to them.

    Returns
    -------
    Nets
        The order and the names depend on the pins alone, not on the order of links.
    """
    import networkx as nx

    graph = _graph(links)
    nodes = {node for link in links for node in (link.first, link.second)} | set(pins)
    graph.add_nodes_from(sorted(nodes))
    groups = [sorted(group) for group in nx.connected_components(graph)]
    groups.sort(key=lambda group: (-sum(_is_pin(node) for node in group), group))
    given = names or {}
    nets = []
    for group in groups:
        named = sorted({given[node] for node in group if node in given})
        pins_on_it = tuple(node for node in group if _is_pin(node))
        nets.append(
            Net(
                name=" = ".join(named) or (*pins_on_it, *group)[0],
                pins=pins_on_it,
                pieces=tuple(node for node in group if node.partition(":")[0] in SIDES),
                holes=tuple(node for node in group if node.startswith("hole:")),
            )
        )
    return Nets(nets=tuple(nets), links=tuple(links))


def _is_pin(node: str) -> bool:
    return ":" not in node
