"""What a board is made of, as plain values: outline, copper, holes, print and bodies, in millimetres.

An invented board is described by a `Layout`; the generator of photos draws it, and the truth about its nets follows from it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.errors import ImpossibleValue

__all__ = ["Body", "Hole", "Layout", "Legend", "Pad", "Place", "Pour", "Track", "check_layout", "rectangle"]

Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Track:
    """One run of copper along a line of places, on one side, in one net; widths and places in [mm]."""

    side: str
    net: str
    points: tuple[Place, ...]
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Pad:
    """One land: a rectangle (round where `round` is true), turned by `turn` degrees; sizes in [mm].

    `pin` is "reference.pin" where a part's pin is soldered there, and empty for a bare land.
    """

    side: str
    net: str
    at: Place
    size: tuple[float, float]
    turn: float = 0.0
    round: bool = False
    pin: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One drilled hole [mm]; plated holes join the sides and belong to a net; `filled` with solder and a lead.

    `sure` is the probability, one half to one, that `plated` says it rightly; 1 where the analyst states it.
    """

    at: Place
    diameter: float
    plated: bool = True
    net: str = ""
    filled: bool = False
    sure: float = 0.97


@dataclass(frozen=True, slots=True, kw_only=True)
class Pour:
    """A copper area on one side, kept `gap` [mm] away from the copper of other nets."""

    side: str
    net: str
    polygon: tuple[Place, ...]
    gap: float = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class Legend:
    """Printed text, or a printed line where `points` are given; height and line width in [mm]."""

    side: str
    text: str = ""
    at: Place = (0.0, 0.0)
    height: float = 1.2
    points: tuple[Place, ...] = ()
    width: float = 0.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A part's body as seen from its side: a turned rectangle or disc of one colour; sizes in [mm], colour in sRGB 0…1."""

    side: str
    reference: str
    package: str
    at: Place
    size: tuple[float, float]
    turn: float = 0.0
    round: bool = False
    colour: tuple[float, float, float] = (0.08, 0.08, 0.09)
    marking: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """One invented board.

    Parameters
    ----------
    outline : tuple of places
        Corners of the board, in order [mm].
    cutouts : tuple of polygons
        Milled slots and windows [mm].
    thickness : float
        Of the laminate [mm].
    tracks, pads, holes, pours, legends, bodies : tuple
        What lies on it.
    """

    outline: tuple[Place, ...]
    cutouts: tuple[tuple[Place, ...], ...] = ()
    thickness: float = 1.6
    tracks: tuple[Track, ...] = ()
    pads: tuple[Pad, ...] = ()
    holes: tuple[Hole, ...] = ()
    pours: tuple[Pour, ...] = ()
    legends: tuple[Legend, ...] = ()
    bodies: tuple[Body, ...] = ()
    invented: str = field(default="an invented board")

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the box round the outline [mm]."""
        xs, ys = [x for x, _ in self.outline], [y for _, y in self.outline]
        return max(xs) - min(xs), max(ys) - min(ys)


def rectangle(width: float, height: float) -> tuple[Place, ...]:
    """Corners of a board of the given size [mm], upper left at the origin."""
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


def check_layout(layout: Layout) -> None:
    """Refuse a layout that no board house could make.

    Parameters
    ----------
    layout : Layout
        The board.

    Raises
    ------
    ImpossibleValue
        Lists every fault: a side that is none, a width of zero, an outline of fewer than three corners.
    """
    faults = []
    if len(layout.outline) < 3:
        faults.append(
            ImpossibleValue(f"the outline has {len(layout.outline)} corners", remedy="give three or more")
        )
    sides = [track.side for track in layout.tracks] + [pad.side for pad in layout.pads]
    sides += [pour.side for pour in layout.pours] + [legend.side for legend in layout.legends]
    sides += [body.side for body in layout.bodies]
    faults += [
        ImpossibleValue(f"side {side!r}", remedy=f"one of {FRONT}, {BACK}")
        for side in sides
        if side not in SIDES
    ]
    faults += [
        ImpossibleValue(f"track of net {track.net!r} has width {track.width} mm", remedy="above zero")
        for track in layout.tracks
        if track.width <= 0.0
    ]
    faults += [
        ImpossibleValue(f"hole at {hole.at} has diameter {hole.diameter} mm", remedy="above zero")
        for hole in layout.holes
        if hole.diameter <= 0.0
    ]
    if faults:
        raise ImpossibleValue("the layout cannot be made", faults=faults)
