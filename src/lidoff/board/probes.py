"""Probe plan: the fewest continuity probes that settle the doubtful links, in an order that can be walked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.board.layout import Place
from lidoff.board.nets import Link

if TYPE_CHECKING:
    import networkx

__all__ = ["Probe", "ProbePlan", "probe_plan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """Hold the two tips here and there; what is expected, and which doubtful links the answer settles.

    When the answer is the expected one, all `settles` are settled at once; otherwise one is wrong and a new plan is due.
    """

    first: str
    second: str
    first_at: Place
    second_at: Place
    expected: bool
    settles: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbePlan:
    """Probes in walking order, and the length of the way over all first tips [mm]."""

    probes: tuple[Probe, ...]
    walk: float


def probe_plan(
    links: Sequence[Link],
    places: Mapping[str, Place],
    *,
    doubt: float = 0.25,
) -> ProbePlan:
    """Fewest probes that settle every doubtful link if the expectations hold.

    Parameters
    ----------
    links : sequence of Link
        From `board_links`.
    places : mapping of str to place
        Where a node can be touched [mm]; nodes without a place are not probed.
    doubt : float
        Links within this of one half are doubtful.

    Returns
    -------
    ProbePlan
        Links expected to be made are probed in chains from end to end, each chain by one probe: a tree with k ends
        needs (k + 1) // 2. Links expected to be open need one probe for each pair of groups they lie between.
    """
    import networkx as nx

    doubtful = [link for link in links if abs(link.probability - 0.5) < doubt and not link.stated]
    sure = nx.Graph()
    for link in links:
        sure.add_nodes_from((link.first, link.second))
        if link.made and (link.stated or abs(link.probability - 0.5) >= doubt):
            sure.add_edge(link.first, link.second)
    group_of = {node: number for number, group in enumerate(nx.connected_components(sure)) for node in group}
    touch: dict[int, list[tuple[str, Place]]] = {}
    for node, place in sorted(places.items()):
        if node in group_of:
            touch.setdefault(group_of[node], []).append((node, place))
    made = nx.Graph()
    open_pairs: dict[tuple[int, int], list[Link]] = {}
    for link in doubtful:
        a, b = group_of[link.first], group_of[link.second]
        if a == b:
            continue  # joined for sure by another way: nothing hangs on this one
        if link.made:
            if made.has_edge(a, b):
                made.edges[a, b]["links"].append(link)
            else:
                made.add_edge(a, b, links=[link])
        else:
            open_pairs.setdefault((min(a, b), max(a, b)), []).append(link)
    probes = []
    for component in sorted(nx.connected_components(made), key=min):
        probes += _chains(made.subgraph(component), touch)
    together = {node: number for number, part in enumerate(nx.connected_components(made)) for node in part}
    for (a, b), between in sorted(open_pairs.items()):
        if together.get(a, -1 - a) == together.get(b, -1 - b):
            continue
        probe = _probe(touch, a, b, expected=False, settles=tuple(between))
        if probe is not None:
            probes.append(probe)
    ordered = _walk(probes)
    length = sum(math.dist(one.second_at, other.first_at) for one, other in itertools.pairwise(ordered))
    return ProbePlan(probes=tuple(ordered), walk=length)


def _chains(tree: networkx.Graph, touch: Mapping[int, Sequence[tuple[str, Place]]]) -> list[Probe]:
    """Cover a tree's links by as few end-to-end paths as can be: ends paired across the tree's middle."""
    import networkx as nx

    tree = nx.minimum_spanning_tree(tree)
    # A group that cannot be touched is no end of a chain: it hangs on its neighbours unsettled.
    ends = [node for node in nx.dfs_preorder_nodes(tree, min(tree)) if tree.degree(node) == 1]
    ends = [node for node in ends if node in touch]
    if len(ends) < 2:
        return []
    half = (len(ends) + 1) // 2
    probes = []
    left = {frozenset(edge) for edge in tree.edges}
    # Ends in depth-first order, the k-th paired with the (k + half)-th: every link lies between some pair.
    for index in range(half):
        other = index + half if index + half < len(ends) else 0
        if ends[index] == ends[other]:
            continue
        path = nx.shortest_path(tree, ends[index], ends[other])
        steps = [frozenset(pair) for pair in itertools.pairwise(path)]
        settled = [link for step in steps if step in left for link in tree.edges[tuple(step)]["links"]]
        left -= set(steps)
        probe = _probe(touch, ends[index], ends[other], expected=True, settles=tuple(settled))
        if probe is not None:
            probes.append(probe)
    return probes


def _probe(
    touch: Mapping[int, Sequence[tuple[str, Place]]],
    a: int,
    b: int,
    *,
    expected: bool,
    settles: tuple[Link, ...],
) -> Probe | None:
    """The two touchable nodes nearest to each other; pins before bare copper."""
    if a not in touch or b not in touch:
        return None
    best = min(
        ((one, other) for one in touch[a] for other in touch[b]),
        key=lambda pair: (
            (":" in pair[0][0]) + (":" in pair[1][0]),
            math.dist(pair[0][1], pair[1][1]),
            pair[0][0],
            pair[1][0],
        ),
    )
    (first, first_at), (second, second_at) = best
    return Probe(
        first=first, second=second, first_at=first_at, second_at=second_at, expected=expected, settles=settles
    )


def _walk(probes: list[Probe]) -> list[Probe]:
    """Nearest next probe, then improved by reversing stretches while that shortens the way."""
    if not probes:
        return []
    left = sorted(probes, key=lambda probe: (probe.first_at[0] + probe.first_at[1], probe.first))
    order = [left.pop(0)]
    while left:
        here = order[-1].second_at
        nearest = min(left, key=lambda probe: math.dist(here, probe.first_at))
        left.remove(nearest)
        order.append(nearest)

    def length(sequence: list[Probe]) -> float:
        return sum(math.dist(a.second_at, b.first_at) for a, b in itertools.pairwise(sequence))

    best = length(order)
    improved = True
    while improved and len(order) < 200:
        improved = False
        for i in range(1, len(order) - 1):
            for j in range(i + 1, len(order)):
                trial = order[:i] + order[i : j + 1][::-1] + order[j + 1 :]
                if (now := length(trial)) < best - 1e-9:
                    order, best, improved = trial, now, True
    return order
