"""Which nets hang together by current, and which net each island's voltages are told against."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from lidoff.circuit.netlist import Circuit
from lidoff.circuit.zero_net import zero_nets

if TYPE_CHECKING:
    from lidoff.circuit.solve.assemble import Placed

__all__ = ["islands_of", "joined_by"]


class Union:
    """Disjoint sets of names."""

    def __init__(self, names: Sequence[str]) -> None:
        self._parent = {name: name for name in names}

    def find(self, name: str) -> str:
        """Representative of the name's set."""
        root = name
        while self._parent[root] != root:
            root = self._parent[root]
        while self._parent[name] != root:
            self._parent[name], name = root, self._parent[name]
        return root

    def join(self, one: str, other: str) -> None:
        """Make one set of two."""
        self._parent[self.find(one)] = self.find(other)


def joined_by(placed: Placed, *, dynamic: bool) -> tuple[tuple[str, ...], ...]:
    """Groups of nodes between which the element can carry current."""
    law = placed.element.law
    place = dict(zip(law.variables, placed.variables, strict=True))
    rows = (*law.rows, *law.store_rows) if dynamic else law.rows
    return tuple(tuple(place[name] for name in row if name in law.terminals) for row in rows)


def islands_of(
    circuit: Circuit, placed: Sequence[Placed], nodes: Sequence[str], *, dynamic: bool
) -> Mapping[str, str]:
    """For each node, the net its voltage is told against.

    The circuit's ground serves its own island; any other island is told against its supply's minus, and where it has none
    against its net with most pins (ties by name). See `zero_nets`.
    """
    union = Union(nodes)
    for one in placed:
        for group in joined_by(one, dynamic=dynamic):
            for other in group[1:]:
                union.join(group[0], other)
    pins = dict.fromkeys(nodes, 0)
    for part in circuit.parts:
        for net in part.pins.values():
            pins[net] += 1
    islands: dict[str, list[str]] = {}
    for node in nodes:
        islands.setdefault(union.find(node), []).append(node)
    zeros = zero_nets(circuit)
    references: dict[str, str] = {}
    for members in islands.values():
        reference = next((net for net in zeros if net in members), "")
        if not reference:
            nets = [node for node in members if "~" not in node] or members
            reference = min(nets, key=lambda node: (-pins[node], node))
        references.update(dict.fromkeys(members, reference))
    return references
