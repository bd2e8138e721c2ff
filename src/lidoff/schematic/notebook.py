"""Circuits in notebooks."""

from __future__ import annotations

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.draw import draw

__all__ = ["circuit_picture"]


def circuit_picture(circuit: Circuit) -> str:
    """Picture of a circuit for a notebook; `Circuit` finds it by the entry point ``circuit`` of ``lidoff.pictures``.

    Parameters
    ----------
    circuit : Circuit
        To be drawn.

    Returns
    -------
    str
        One SVG element.
    """
    return draw(circuit).to_svg()
