"""The next probe on a contradiction: in the middle of the chain in question, so that its answer leaves half of it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from lidoff.board.beeps import Beep, Contradiction
from lidoff.board.nets import Link

__all__ = ["halving_probe"]


def halving_probe(
    links: Sequence[Link], beeps: Iterable[Beep], against: Contradiction, touched: Collection[str]
) -> tuple[str, str, bool] | None:
    """Two nodes to probe, and whether the copper as traced joins them.

    Parameters
    ----------
    links : sequence of Link
        Of the board.
    beeps : iterable of Beep
        All that was read: what beeped is not doubted again.
    against : Contradiction
        One of those that `contradictions` finds.
    touched : collection of str
        Nodes that a tip can be held on.

    Returns
    -------
    tuple of (str, str, bool) or None
        None where no pin lies between the ends: then the links of the chain are all that is left to look at.
    """
    import networkx as nx

    suspects = {id(link) for link in against.chain if not link.stated}
    sure = nx.Graph()
    for link in links:
        sure.add_nodes_from((link.first, link.second))
        if link.made and id(link) not in suspects:
            sure.add_edge(link.first, link.second)
    sure.add_edges_from((beep.first, beep.second) for beep in beeps if beep.joined and beep != against.beep)
    group_of = {node: number for number, group in enumerate(nx.connected_components(sure)) for node in group}
    chained = nx.Graph()
    for link in against.chain:
        one, other = group_of[link.first], group_of[link.second]
        if one != other:
            chained.add_edge(one, other)
    first, last = group_of.get(against.beep.first), group_of.get(against.beep.second)
    if first not in chained or last not in chained or not nx.has_path(chained, first, last):
        return None
    pins: dict[int, str] = {}
    for node in sorted(touched):
        if node in group_of:
            pins.setdefault(group_of[node], node)
    between = [group for group in nx.shortest_path(chained, first, last)[1:-1] if group in pins]
    if not between:
        return None
    middle = pins[between[len(between) // 2]]
    return against.beep.first, middle, not against.beep.joined
