"""A traced board as one value, and the same as plain data for ``boards/<board>.json``."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from lidoff.board.beeps import Beep
from lidoff.board.classes import Stroke
from lidoff.board.copper_found import CopperFound
from lidoff.board.frame import SIDES, Registration
from lidoff.board.islands import Island, Join, Pieces
from lidoff.board.layout import Hole, Layout, Place
from lidoff.board.nets import Link, Nets, Wire, board_links, nets_from_links
from lidoff.board.package import PlacedPart
from lidoff.board.polygons import piece_polygons, pieces_from_polygons
from lidoff.board.rasters import copper_coverage

__all__ = [
    "Board",
    "TracedPart",
    "TracedSide",
    "board_from_layout",
    "board_nets",
    "circuit_parts",
    "doubtful_joins",
    "links_of_board",
    "traced_side",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedSide:
    """What is known of one side.

    Parameters
    ----------
    side : str
        "front" or "back".
    photo, sha256 : str
        The photo's path within the dossier, and its hash; empty where the side was typed in.
    registration : Registration, optional
        How the photo shows the board.
    px_per_mm : float
        Raster on which the copper was traced.
    strokes : tuple of Stroke
        The analyst's strokes, in order.
    copper : tuple of Island
        Pieces of copper as polygons, each under its piece's number.
    joins : tuple of Join
        Between the pieces.
    blank : bool
        Whether the side carries no copper, as the analyst says.
    edge_uncertainty : float, optional
        Standard uncertainty of each edge of copper, as the photo shows it [mm]; None where that is not known.
    """

    side: str
    photo: str = ""
    sha256: str = ""
    registration: Registration | None = None
    px_per_mm: float = 20.0
    strokes: tuple[Stroke, ...] = ()
    copper: tuple[Island, ...] = ()
    joins: tuple[Join, ...] = ()
    blank: bool = False
    edge_uncertainty: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One traced board.

    Attributes
    ----------
    name : str
        Of the board in its dossier.
    outline : tuple of place
        Corners [mm].
    cutouts : tuple of tuple of place
        Openings in the board, each by its corners [mm].
    thickness : float
        Of the laminate [mm].
    sides : tuple of TracedSide
        As far as they are traced.
    holes : tuple of Hole
        Plated or not.
    parts : tuple of PlacedPart
        On either side.
    wires : tuple of Wire
        Joins that are no copper.
    beeps : tuple of Beep
        What the continuity beeper said.
    net_names : mapping of str to str
        Names given to nets.
    copper_found : CopperFound, optional
        What its copper was found with; None where that is not known.
    """

    name: str
    outline: tuple[Place, ...]
    cutouts: tuple[tuple[Place, ...], ...] = ()
    thickness: float = 1.6
    sides: tuple[TracedSide, ...] = ()
    holes: tuple[Hole, ...] = ()
    parts: tuple[PlacedPart, ...] = ()
    wires: tuple[Wire, ...] = ()
    beeps: tuple[Beep, ...] = ()
    net_names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    copper_found: CopperFound | None = None

    @property
    def size(self) -> tuple[float, float]:
        """Right and lower end of the outline [mm]: what a raster of the board frame must span."""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPart:
    """A part as the board tells it: reference, package, side, and the net of each pin."""

    reference: str
    package: str
    side: str
    pins: Mapping[str, str]


def traced_side(
    pieces: Pieces,
    *,
    photo: str = "",
    sha256: str = "",
    registration: Registration | None = None,
    strokes: Sequence[Stroke] = (),
    blank: bool = False,
) -> TracedSide:
    """Side for a `Board`, from its pieces of copper."""
    return TracedSide(
        side=pieces.side,
        photo=photo,
        sha256=sha256,
        registration=registration,
        px_per_mm=pieces.px_per_mm,
        strokes=tuple(strokes),
        copper=piece_polygons(pieces),
        joins=pieces.joins,
        blank=blank,
        edge_uncertainty=pieces.edge_uncertainty,
    )


def links_of_board(board: Board) -> tuple[Link, ...]:
    """Links between everything that conducts on a board; see `board_links`."""
    pieces = {
        side.side: pieces_from_polygons(
            side.side, side.copper, side.joins, px_per_mm=side.px_per_mm, size=board.size
        )
        for side in board.sides
    }
    return board_links(pieces, parts=board.parts, holes=board.holes, wires=board.wires)


def doubtful_joins(board: Board, *, margin: float = 0.25) -> tuple[Join, ...]:
    """Joins of both sides that are neither sure nor stated: the places marked "check here".

    Parameters
    ----------
    board : Board
        Traced board.
    margin : float
        Joins whose probability lies within this of one half are doubtful.

    Returns
    -------
    tuple of Join
        Most doubtful first.
    """
    every = [join for side in board.sides for join in side.joins]
    doubtful = [join for join in every if abs(join.probability - 0.5) < margin and not join.stated]
    return tuple(sorted(doubtful, key=lambda join: (abs(join.probability - 0.5), join.side, join.first)))


def board_nets(board: Board) -> Nets:
    """Nets of a board under the names that the analyst gave."""
    pins = [pad.pin for part in board.parts for pad in part.pads]
    return nets_from_links(links_of_board(board), names=board.net_names, pins=pins)


def circuit_parts(board: Board) -> tuple[TracedPart, ...]:
    """Parts with the net of each pin, so that a dossier can merge them by reference.

    Parameters
    ----------
    board : Board
        Traced board.

    Returns
    -------
    tuple of TracedPart
        By reference.
    """
    nets = board_nets(board).pin_nets()
    found = []
    for part in sorted(board.parts, key=lambda part: part.reference):
        pins = {pad.pin.rpartition(".")[2]: nets[pad.pin] for pad in part.pads if pad.pin in nets}
        found.append(
            TracedPart(
                reference=part.reference, package=part.package, side=part.side, pins=MappingProxyType(pins)
            )
        )
    return tuple(found)


def board_from_layout(layout: Layout, name: str, *, px_per_mm: float = 20.0) -> Board:
    """Board as a perfect trace of an invented layout.

    Parameters
    ----------
    layout : Layout
        The layout, with bodies for its parts.
    name : str
        Name of the board.
    px_per_mm : float
        Raster of the trace.

    Returns
    -------
    Board
        Nets keep the layout's names.
    """
    from lidoff.board.copper import Copper
    from lidoff.board.islands import pieces_of

    sides = []
    for side in SIDES:
        coverage = copper_coverage(layout, side, px_per_mm)
        mask = coverage >= 0.5
        if not np.any(mask):
            continue
        copper = Copper(
            side=side,
            px_per_mm=px_per_mm,
            probability=mask.astype(np.float32),
            mask=mask,
            classes=np.where(mask, 0, 2).astype(np.uint8),
            fixed=np.zeros(mask.shape, bool),
        )
        # Pieces hang together as the pixels do; how far a pixel is covered tells where in it the edge runs.
        level = np.where(mask, np.maximum(coverage, 0.501), np.minimum(coverage, 0.499)).astype(np.float32)
        sides.append(traced_side(replace(pieces_of(copper), level=level)))
    parts = []
    for body in layout.bodies:
        pads = tuple(pad for pad in layout.pads if pad.pin.rpartition(".")[0] == body.reference)
        parts.append(
            PlacedPart(
                reference=body.reference,
                package=body.package,
                side=body.side,
                at=body.at,
                turn=body.turn,
                pads=pads,
            )
        )
    names = {pad.pin: pad.net for pad in layout.pads if pad.pin and pad.net}
    return Board(
        name=name,
        outline=layout.outline,
        cutouts=layout.cutouts,
        thickness=layout.thickness,
        sides=tuple(sides),
        holes=layout.holes,
        parts=tuple(parts),
        net_names=MappingProxyType(names),
    )
