"""Wires that run between the parts of a group alone."""

from __future__ import annotations

from collections.abc import Sequence, Set
from typing import TYPE_CHECKING

from lidoff.schematic.drawing import Symbol, Wire

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

__all__ = ["inner_wires"]


def inner_wires(members: Set[str], symbols: Sequence[Symbol], wires: Sequence[Wire]) -> list[BaseGeometry]:
    """Wires of nets that only a group's parts are on.

    Parameters
    ----------
    members : set of str
        References of the group.
    symbols, wires : sequences
        What is on the sheet.

    Returns
    -------
    list of geometry
        Each a box a fifth of a grid step wide.
    """
    from shapely import box

    on: dict[str, set[str]] = {}
    for symbol in symbols:
        for lead in symbol.shape.leads:
            on.setdefault(lead.net, set()).add(symbol.reference)
    return [
        box(min(w.x0, w.x1) - 0.1, min(w.y0, w.y1) - 0.1, max(w.x0, w.x1) + 0.1, max(w.y0, w.y1) + 0.1)
        for w in wires
        if len(on.get(w.net, set())) > 1 and on[w.net] <= members
    ]
