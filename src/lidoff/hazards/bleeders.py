"""Which resistors discharge a capacitor: those across it, and those in series on a way from one of its pins to the other."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from lidoff.circuit import Circuit, Part, Situation, kind_of, settings_of
from lidoff.circuit.path import has_path, path_of
from lidoff.hazards.watching import is_fuse
from lidoff.hazards.words import listed

__all__ = ["Bleeder", "bleeders_across"]

LEAST = 1e-3
"""Resistance that a conductor counts with at least, so that none is a short to the search [Ω]."""
COUNTS = 0.01
"""Share of a way's resistance from which a part on it is named: the wires, fuses and chokes on it discharge nothing."""
FURTHER = 10.0
"""So many times the lowest resistance a further way may have to be named: beyond, it shortens the time by less than a tenth."""
MOST_WAYS = 4
"""So many ways are told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bleeder:
    """One way by which a capacitor discharges.

    Attributes
    ----------
    parts : tuple of str
        Resistors on it, in the order of the way; those that lie side by side together.
    in_series : bool
        Whether more than one lies in a row.
    """

    parts: tuple[str, ...]
    in_series: bool

    @property
    def words(self) -> str:
        """The way as a person says it."""
        return f"{listed(self.parts)}{' in series' if self.in_series else ''}"


def bleeders_across(circuit: Circuit, capacitor: Part, situation: Situation) -> tuple[Bleeder, ...]:
    """Ways of resistors between the pins of a capacitor.

    Parameters
    ----------
    circuit : Circuit
    capacitor : Part
    situation : Situation
        Whose settings hold, as for a fuse that is blown.

    Returns
    -------
    tuple of Bleeder
        The lowest resistance first.
    """
    graph = nx.Graph()
    for part, ohms in _conductors(circuit, situation):
        one, other = (part.pins[pin] for pin in path_of(part))
        if one == other:
            continue
        known = graph.get_edge_data(one, other, default={"parts": {}})["parts"]
        parts = {**known, part.reference: ohms}
        graph.add_edge(one, other, parts=parts, ohms=1.0 / sum(1.0 / each for each in parts.values()))
    start, end = (capacitor.pins[pin] for pin in path_of(capacitor))
    if start not in graph or end not in graph or not nx.has_path(graph, start, end):
        return ()
    found: list[Bleeder] = []
    lowest = None
    for way in nx.shortest_simple_paths(graph, start, end, weight="ohms"):
        edges = [graph[one][other] for one, other in pairwise(way)]
        total = sum(edge["ohms"] for edge in edges)
        lowest = total if lowest is None else lowest
        if total > FURTHER * lowest or len(found) == MOST_WAYS:
            break
        named = [edge for edge in edges if edge["ohms"] >= COUNTS * total]
        found.append(
            Bleeder(
                parts=tuple(reference for edge in named for reference in edge["parts"]),
                in_series=len(named) > 1,
            )
        )
    return tuple(found)


def _conductors(circuit: Circuit, situation: Situation) -> Iterator[tuple[Part, float]]:
    """Parts that conduct by a resistance of their own between the two pins of their path, with it [Ω]."""
    for part in circuit.parts:
        kind = kind_of(part)
        settings = settings_of(part, situation.settings.get(part.reference))
        if kind.supplies or not has_path(part):
            continue
        if "winding_resistance" in settings:
            yield part, max(settings["winding_resistance"], LEAST)
        elif kind.main_value == "resistance" or (is_fuse(part) and settings.get("state", 1.0) > 0.0):
            yield part, max(settings["resistance"], LEAST)
