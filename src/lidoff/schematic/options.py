"""What can be chosen about a drawing, and what it needs to know of a solved circuit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol, runtime_checkable

from lidoff.errors import ImpossibleValue

__all__ = [
    "FARTHEST",
    "AlternatingCircuit",
    "ContactCircuit",
    "DrawingOptions",
    "Group",
    "Pinned",
    "SolvedCircuit",
]

FARTHEST = 300
"""Grid steps from the origin within which a part may be placed by hand."""


class SolvedCircuit(Protocol):
    """The solved circuit in one situation, as far as a drawing asks it."""

    def voltage(self, net: str) -> float:
        """Voltage of a net against ground [V]."""
        ...

    def current(self, reference: str) -> float:
        """Current along the main path of a part [A]."""
        ...


@runtime_checkable
class AlternatingCircuit(SolvedCircuit, Protocol):
    """A solved circuit in which voltages and currents may alternate round their mean."""

    def alternating(self, net: str) -> float:
        """Effective value of what alternates on a net, round its mean [V]."""
        ...

    def alternating_current(self, reference: str) -> float:
        """Effective value of what alternates along the main path of a part, round its mean [A]."""
        ...


@runtime_checkable
class ContactCircuit(SolvedCircuit, Protocol):
    """A solved circuit that tells how its contacts stand."""

    @property
    def contacts(self) -> Mapping[str, str]:
        """By reference, the pin that a moving contact touches, empty for none."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts that belong together, with what they are.

    Attributes
    ----------
    parts : tuple of str
        Their references.
    caption : str
        Written above them; empty for none.
    tint : str
        Colour of the area behind them, as ``#rrggbb``; empty for the theme's own.
    """

    parts: tuple[str, ...]
    caption: str = ""
    tint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pinned:
    """Where a person put a part.

    Attributes
    ----------
    x, y : int
        Centre of the symbol in grid steps, right and down, as `Symbol` tells it.
    quarter_turns : int
        Clockwise, 0 to 3.
    mirrored : bool
        Whether left and right change places before turning.

    Raises
    ------
    ImpossibleValue
        The place is more than `FARTHEST` steps from the origin, or there is no such turn.
    """

    x: int
    y: int
    quarter_turns: int = 0
    mirrored: bool = False

    def __post_init__(self) -> None:
        """Refuse places far off any page."""
        if max(abs(self.x), abs(self.y)) > FARTHEST:
            raise ImpossibleValue(
                f"the place {self.x}, {self.y} lies far off the page",
                remedy=f"give grid steps from -{FARTHEST} to {FARTHEST}",
            )
        if self.quarter_turns not in range(4):
            raise ImpossibleValue(
                f"{self.quarter_turns} quarter turns are no way to stand", remedy="give 0, 1, 2 or 3"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingOptions:
    """What a person may choose about a drawing.

    Attributes
    ----------
    voltages, currents : bool
        Whether solved voltages stand at the nets and solved currents at the parts; a source's is what it delivers.
    zigzag_resistors : bool
        Whether resistors are drawn in the zigzag of IEEE 315 in place of the rectangle of IEC 60617.
    abbreviate : bool
        Whether repeated branches and groups are drawn once with their number.
    least_repeats : int
        Number of equal groups from which they are drawn once.
    keep_apart : tuple of str
        References of parts that are always drawn, whatever repeats.
    similar_values : bool
        Whether groups that differ in values alone count as repeats; the values then stand in the table.
    buses : bool
        Whether neighbouring drops to one rail are joined by a drawn bus.
    pinned : mapping of str to Pinned
        Parts that a person has placed, by reference.
    highlight_nets, highlight_parts : tuple of str
        What stands out; all else is dimmed.
    highlight_way : bool
        Whether of the nets that stand out only the stretch between the parts that stand out does, as for the way of a current.
    voltage_ramp : bool
        Whether wires are coloured by their solved voltage.
    parts_a_sheet : int
        Number of symbols above which the circuit falls into sheets.
    effort : float
        How long to search for a better placement, 1 for the usual; less for a drawing that follows each edit.
    tall : bool
        Whether the page is to be higher than wide, as for a phone held upright, where the circuit lets it.
    title : str
        In place of the circuit's own.
    """

    voltages: bool = True
    currents: bool = False
    zigzag_resistors: bool = False
    abbreviate: bool = True
    least_repeats: int = 3
    keep_apart: tuple[str, ...] = ()
    similar_values: bool = False
    buses: bool = True
    pinned: Mapping[str, Pinned] = field(default_factory=dict)
    highlight_nets: tuple[str, ...] = ()
    highlight_parts: tuple[str, ...] = ()
    highlight_way: bool = False
    voltage_ramp: bool = False
    parts_a_sheet: int = 60
    effort: float = 1.0
    tall: bool = False
    title: str = ""
