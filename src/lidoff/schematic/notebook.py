"""Circuits in notebooks.

A circuit cannot show itself: its room lies below this one and knows no pages. So a notebook wraps it: ``show(circuit)``.
"""

from __future__ import annotations

from dataclasses import dataclass

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.draw import draw
from lidoff.schematic.drawing import Drawing
from lidoff.schematic.options import DrawingOptions, SolvedCircuit

__all__ = ["Shown", "show"]


@dataclass(frozen=True, slots=True)
class Shown:
    """A drawing that a notebook displays."""

    drawing: Drawing

    def _repr_svg_(self) -> str:
        return self.drawing.to_svg()


def show(
    circuit: Circuit,
    solution: SolvedCircuit | None = None,
    options: DrawingOptions = DrawingOptions(),  # noqa: B008
) -> Shown:
    """Draw a circuit for a notebook.

    Parameters
    ----------
    circuit : Circuit
        To be drawn.
    solution : SolvedCircuit, optional
        Voltages to be written in.
    options : DrawingOptions
        As for `draw`.

    Returns
    -------
    Shown
        Displayed by the notebook.
    """  # fmt: skip
    return Shown(draw(circuit, solution, options=options))
