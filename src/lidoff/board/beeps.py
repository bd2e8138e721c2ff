"""Beeps against nets: contradictions with their place, the least set of changes that explains them, and what to probe next."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from lidoff.board.layout import Place
from lidoff.board.nets import Link

if TYPE_CHECKING:
    import networkx

__all__ = [
    "Beep",
    "Change",
    "Contradiction",
    "Explanation",
    "contradictions",
    "least_changes",
    "with_changes",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beep:
    """One reading of continuity between two nodes: joined or not; `source` says how it is known."""

    first: str
    second: str
    joined: bool
    source: str = "continuity beep"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contradiction:
    """A beep that the links do not bear out.

    Parameters
    ----------
    beep : Beep
        What was read.
    chain : tuple of Link
        Where the board joins what the beep parts: the chain that joins them; else the likeliest missing links.
    at : place
        Where to look first [mm].
    side : str
        On which side.
    """

    beep: Beep
    chain: tuple[Link, ...]
    at: Place
    side: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One link changed: made where it was open, or opened where it was made."""

    link: Link
    made: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """The cheapest set of changes under which every beep holds, and the beeps that no change of doubtful links explains."""

    changes: tuple[Change, ...]
    unexplained: tuple[Beep, ...]


def _cost(link: Link) -> float:
    """What it costs to change a link: the logarithm of the odds against it."""
    probability = min(max(link.probability, 1e-4), 1 - 1e-4)
    return max(abs(math.log(probability / (1 - probability))), 0.01)


def _made_graph(links: Sequence[Link], flipped: frozenset[int]) -> networkx.MultiGraph:
    import networkx as nx

    graph = nx.MultiGraph()
    for index, link in enumerate(links):
        graph.add_node(link.first)
        graph.add_node(link.second)
        if link.made != (index in flipped):
            graph.add_edge(link.first, link.second, index=index)
    return graph


def contradictions(links: Sequence[Link], beeps: Iterable[Beep]) -> tuple[Contradiction, ...]:
    """Beeps that the links do not bear out, with the place to look at.

    Parameters
    ----------
    links : sequence of Link
        From `board_links`.
    beeps : iterable of Beep
        What was read.

    Returns
    -------
    tuple of Contradiction
        In the order of the beeps.
    """
    import networkx as nx

    links = tuple(links)
    graph = _made_graph(links, frozenset())
    every = _all_graph(links)
    found = []
    for beep in beeps:
        graph.add_nodes_from((beep.first, beep.second))
        joined = nx.has_path(graph, beep.first, beep.second)
        if joined == beep.joined:
            continue
        if joined:
            chain = _chain(links, every, beep, made_only=True)
            weakest = min((link for link in chain if not link.stated), key=_cost, default=None)
        else:
            chain = tuple(link for link in _chain(links, every, beep, made_only=False) if not link.made)
            weakest = max(chain, key=lambda link: link.probability, default=None)
        found.append(
            Contradiction(
                beep=beep,
                chain=chain,
                at=weakest.at if weakest else (0.0, 0.0),
                side=weakest.side if weakest else "",
            )
        )
    return tuple(found)


def _all_graph(links: Sequence[Link]) -> networkx.Graph:
    """Every link, made or not; open ones cost what making them costs."""
    import networkx as nx

    graph = nx.Graph()
    for index, link in enumerate(links):
        if link.stated and not link.made:
            continue
        cost = 1e-3 if link.made else _cost(link)
        if not graph.has_edge(link.first, link.second) or graph.edges[link.first, link.second]["cost"] > cost:
            graph.add_edge(link.first, link.second, cost=cost, index=index)
    return graph


def _chain(links: Sequence[Link], graph: networkx.Graph, beep: Beep, *, made_only: bool) -> tuple[Link, ...]:
    import networkx as nx

    if made_only:
        graph = graph.edge_subgraph(
            [(a, b) for a, b, index in graph.edges(data="index") if links[index].made]
        )
    try:
        path = nx.shortest_path(graph, beep.first, beep.second, weight="cost")
    except (nx.NetworkXNoPath, nx.NodeNotFound):
        return ()
    return tuple(links[graph.edges[a, b]["index"]] for a, b in itertools.pairwise(path))


def least_changes(links: Sequence[Link], beeps: Sequence[Beep]) -> Explanation:
    """Cheapest set of changed links under which every beep holds.

    Parameters
    ----------
    links : sequence of Link
        From `board_links`; stated ones are never changed.
    beeps : sequence of Beep
        What was read.

    Returns
    -------
    Explanation
        Exact: a whole-number programme whose rows are added as they are found broken. Each change costs the logarithm of
        the odds against it, so that the sum is the least unlikely explanation.
    """
    links = tuple(links)
    explained, unexplained = _possible(links, beeps)
    free = [index for index, link in enumerate(links) if not link.stated]
    costs = np.array([_cost(links[index]) for index in free])
    column = {index: position for position, index in enumerate(free)}
    rows: list[dict[int, float]] = []
    bounds: list[float] = []
    flipped: frozenset[int] = frozenset()
    for _ in range(400):
        graph = _made_graph(links, flipped)
        broken = [row for beep in explained for row in [_broken_row(links, graph, beep)] if row is not None]
        if not broken:
            break
        for wanted, bound in broken:
            rows.append({column[index]: value for index, value in wanted.items()})
            bounds.append(bound)
        flipped = frozenset(free[position] for position in _solved(costs, rows, bounds))
    changes = tuple(
        Change(link=links[index], made=not links[index].made)
        for index in sorted(flipped, key=lambda i: links[i].at)
    )
    return Explanation(changes=changes, unexplained=unexplained)


def _possible(links: Sequence[Link], beeps: Sequence[Beep]) -> tuple[list[Beep], tuple[Beep, ...]]:
    """Beeps that some choice of the free links could bear out, each taken alone, and the rest."""
    import networkx as nx

    most = nx.Graph((link.first, link.second) for link in links if link.made or not link.stated)
    least = nx.Graph((link.first, link.second) for link in links if link.made and link.stated)
    possible: list[Beep] = []
    stuck: list[Beep] = []
    for beep in beeps:
        graph = most if beep.joined else least
        has = beep.first in graph and beep.second in graph and nx.has_path(graph, beep.first, beep.second)
        (possible if has == beep.joined else stuck).append(beep)
    # Two beeps that contradict each other have no common explanation: the later one is left over.
    must = nx.Graph(least)
    kept = []
    for beep in possible:
        if beep.joined:
            must.add_edge(beep.first, beep.second)
            kept.append(beep)
    final: list[Beep] = []
    for beep in possible:
        clash = (
            not beep.joined
            and beep.first in must
            and beep.second in must
            and nx.has_path(must, beep.first, beep.second)
        )
        (stuck if clash else final).append(beep)
    return final, tuple(stuck)


def _broken_row(
    links: Sequence[Link], graph: networkx.MultiGraph, beep: Beep
) -> tuple[dict[int, float], float] | None:
    """One row that the present choice breaks, over x = 1 where a link is changed."""
    import networkx as nx

    graph.add_nodes_from((beep.first, beep.second))
    joined = nx.has_path(graph, beep.first, beep.second)
    if joined == beep.joined:
        return None
    wanted: dict[int, float] = {}
    bound = 1.0
    if joined:
        # One link of this chain must be open: Σ open ≥ 1, where open = x for a made link and 1 − x for an open one.
        path = nx.shortest_path(nx.Graph(graph), beep.first, beep.second)
        for a, b in itertools.pairwise(path):
            for data in list(graph.get_edge_data(a, b).values())[:1]:
                index = data["index"]
                if links[index].stated:
                    continue
                wanted[index] = 1.0 if links[index].made else -1.0
                bound -= 0.0 if links[index].made else 1.0
    else:
        # One link out of this group must be made: Σ made ≥ 1 over all links that leave it.
        group = nx.node_connected_component(graph, beep.first)
        for index, link in enumerate(links):
            if link.stated or (link.first in group) == (link.second in group):
                continue
            wanted[index] = -1.0 if link.made else 1.0
            bound -= 1.0 if link.made else 0.0
    return wanted, bound


def _solved(
    costs: np.ndarray[tuple[int], np.dtype[np.float64]], rows: list[dict[int, float]], bounds: list[float]
) -> list[int]:
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import lil_array

    matrix = lil_array((len(rows), len(costs)))
    for number, row in enumerate(rows):
        for position, value in row.items():
            matrix[number, position] = value
    result = milp(
        costs,
        constraints=LinearConstraint(matrix.tocsr(), lb=np.array(bounds), ub=np.inf),
        integrality=np.ones(len(costs), dtype=np.int64),
        bounds=Bounds(0, 1),
    )
    if result.x is None:
        return []
    return [position for position, value in enumerate(result.x) if value > 0.5]


def with_changes(links: Sequence[Link], explanation: Explanation) -> tuple[Link, ...]:
    """Links after an explanation is accepted: the changed ones are certain, and say so."""
    changed = {id(change.link): change.made for change in explanation.changes}
    return tuple(
        replace(link, probability=1.0 if changed[id(link)] else 0.0, stated=True)
        if id(link) in changed
        else link
        for link in links
    )
