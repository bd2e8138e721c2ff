"""Insulation distances between two nets of a traced board: on either side, and from one side to the other round an edge."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lidoff.board.distances import EDGE_UNCERTAINTY, Distance, clearance, counted_grooves, creepage
from lidoff.board.frame import SIDES
from lidoff.board.layout import Pad, Place
from lidoff.board.nets import Nets
from lidoff.board.rasters import pad_corners
from lidoff.board.traced import Board, board_nets
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

__all__ = ["NetDistance", "conductors_of", "edge_uncertainty_of", "net_distance", "round_the_edge"]

EDGE_STEP = 0.2
"""Distance of the places along an edge at which a path may change sides [mm]; the length errs by far less."""

PLACED_MM = 0.08
"""How far a land placed by two clicks may lie from where it is [mm]: twice the scatter of careful clicks; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NetDistance:
    """Shortest creepage and clearance between two nets.

    Attributes
    ----------
    creepage, clearance : Distance
        The shorter of all ways.
    creepage_side, clearance_side : str
        "front" or "back", or "round the edge" where the way changes sides.
    """

    creepage: Distance
    clearance: Distance
    creepage_side: str
    clearance_side: str


def conductors_of(
    board: Board, nets: Sequence[str], side: str, *, found: Nets | None = None
) -> tuple[BaseGeometry, ...]:
    """Copper and lands of nets on one side.

    Parameters
    ----------
    board : Board
        Traced board.
    nets : sequence of str
        Names of nets, as `board_nets` gives them.
    side : str
        "front" or "back".
    found : Nets, optional
        The board's nets, where at hand.

    Returns
    -------
    tuple of shapely geometries
        In [mm]; empty where the nets have nothing on this side. Where a land's copper is seen, that and not the placed land
        tells where it ends.
    """
    found = found or board_nets(board)
    chosen = [net for net in found.nets if net.name in nets]
    pieces = {piece for net in chosen for piece in net.pieces}
    pins = {pin for net in chosen for pin in net.pins}
    shapes: list[BaseGeometry] = [
        island.polygon().buffer(0)
        for one in board.sides
        if one.side == side
        for island in one.copper
        if f"{side}:{island.number}" in pieces
    ]
    lands = [pad for part in board.parts for pad in part.pads if pad.side == side and pad.pin in pins]
    shapes += [_land(pad, shapes) for pad in lands]
    return tuple(shapes)


def _land(pad: Pad, copper: Sequence[BaseGeometry]) -> BaseGeometry:
    """A placed land; where its copper is seen, so much smaller that the seen edge decides and not the click."""
    from shapely.geometry import Polygon

    whole = Polygon(pad_corners(pad))
    seen = sum(whole.intersection(one).area for one in copper)
    inner = Polygon(pad_corners(pad, -min(PLACED_MM, 0.25 * min(pad.size))))
    return inner if seen > 0.5 * whole.area else whole


def net_distance(
    board: Board,
    first: Sequence[str],
    second: Sequence[str],
    *,
    pollution_degree: int = 2,
    edge_uncertainty: float | None = None,
) -> NetDistance:
    """Shortest ways between two groups of nets over the whole board.

    Parameters
    ----------
    board : Board
        Traced board; sides without copper count as bare laminate.
    first, second : sequence of str
        Names of the nets of either group.
    pollution_degree : int
        1, 2 or 3.
    edge_uncertainty : float, optional
        Standard uncertainty of each edge of copper [mm]; None takes what each side's photo told when it was traced, and
        `EDGE_UNCERTAINTY` for a side that tells nothing.

    Returns
    -------
    NetDistance
        Conductors of neither group shorten the creepage that crosses them.

    Raises
    ------
    ImpossibleValue
        A group has no conductor, or no surface joins the two.
    """
    found = board_nets(board)
    groups = {
        side: (
            conductors_of(board, first, side, found=found),
            conductors_of(board, second, side, found=found),
        )
        for side in SIDES
    }
    for number, names in ((0, first), (1, second)):
        if not any(groups[side][number] for side in SIDES):
            known = ", ".join(net.name for net in found.nets if net.pins)
            raise ImpossibleValue(
                f"{' and '.join(names)} has no conductor on the board {board.name!r}",
                remedy=f"name nets of this board (known: {known})",
            )
    scale = max(
        (side.registration.scale_uncertainty for side in board.sides if side.registration is not None),
        default=0.003,
    )
    edges = {
        side: edge_uncertainty_of(board, side) if edge_uncertainty is None else edge_uncertainty
        for side in SIDES
    }
    others = [net.name for net in found.nets if net.name not in {*first, *second}]
    over: list[tuple[Distance, str]] = []
    through: list[tuple[Distance, str]] = []
    for side in SIDES:
        one, other = groups[side]
        if not one or not other:
            continue
        uncertainty: Mapping[str, float] = {"scale_uncertainty": scale, "edge_uncertainty": edges[side]}
        straight = clearance(one, other, **uncertainty)
        through.append((straight, side))
        floating = _between(conductors_of(board, others, side, found=found), one, other, straight.length)
        over.append(
            (
                creepage(
                    one,
                    other,
                    outline=board.outline,
                    slots=board.cutouts,
                    floating=floating,
                    pollution_degree=pollution_degree,
                    **uncertainty,
                ),
                side,
            )
        )
    front, back = groups[SIDES[0]], groups[SIDES[1]]
    # One edge lies on either side: both count in squares.
    uncertainty = {
        "scale_uncertainty": scale,
        "edge_uncertainty": math.hypot(*edges.values()) / math.sqrt(2.0),
    }
    for one, other in ((front[0], back[1]), (front[1], back[0])):
        if one and other:
            way = round_the_edge(
                one, other, board=board, pollution_degree=pollution_degree, uncertainty=uncertainty
            )
            over.append((way, "round the edge"))
            air = Distance(kind="clearance", length=way.length, uncertainty=way.uncertainty, path=way.path)
            through.append((air, "round the edge"))
    surface, surface_side = min(over, key=lambda item: item[0].length)
    air, air_side = min(through, key=lambda item: item[0].length)
    return NetDistance(creepage=surface, clearance=air, creepage_side=surface_side, clearance_side=air_side)


def edge_uncertainty_of(board: Board, side: str) -> float:
    """Standard uncertainty of the edges of copper on one side.

    Parameters
    ----------
    board : Board
        Traced board.
    side : str
        "front" or "back".

    Returns
    -------
    float
        As the side's photo told it when it was traced; `EDGE_UNCERTAINTY` where it told nothing [mm].
    """
    told = [one.edge_uncertainty for one in board.sides if one.side == side]
    return next((value for value in told if value is not None), EDGE_UNCERTAINTY)


def _between(
    shapes: Sequence[BaseGeometry],
    one: Sequence[BaseGeometry],
    other: Sequence[BaseGeometry],
    straight: float,
) -> tuple[BaseGeometry, ...]:
    """Conductors that could shorten a way: near enough to both groups, the nearest forty of them."""
    from shapely.ops import unary_union

    a, b = unary_union(list(one)), unary_union(list(other))
    reach = 1.5 * straight + 1.0
    ranked = sorted((shape.distance(a) + shape.distance(b), index) for index, shape in enumerate(shapes))
    return tuple(shapes[index] for total, index in ranked[:40] if total < reach)


def round_the_edge(
    front: Sequence[BaseGeometry],
    back: Sequence[BaseGeometry],
    *,
    board: Board,
    pollution_degree: int = 2,
    uncertainty: Mapping[str, float] | None = None,
) -> Distance:
    """Shortest way from conductors of the front over an edge of the board to conductors of the back.

    Parameters
    ----------
    front, back : sequence of shapely geometries
        Conductors on either side [mm].
    board : Board
        Its outline, openings and unplated holes give the edges, its thickness the way along them.
    pollution_degree : int
        Openings narrower than its groove width give no way.
    uncertainty : mapping of str to float, optional
        ``scale_uncertainty`` and ``edge_uncertainty``, as for `creepage`.

    Returns
    -------
    Distance
        Straight on either side; where another conductor or an opening lies in between, the true creepage is no longer than
        told past the conductor, and no shorter than told past the opening.

    Raises
    ------
    ImpossibleValue
        A group is empty.
    """
    import shapely
    from shapely.ops import nearest_points, unary_union

    if not front or not back:
        raise ImpossibleValue("one of the groups has no conductor", remedy="name nets with copper")
    rings: list[Sequence[Place]] = [board.outline]
    rings += counted_grooves(board.cutouts, pollution_degree=pollution_degree)
    rings += [_circle(hole.at, hole.diameter) for hole in board.holes if not hole.plated and not hole.filled]
    rims = shapely.points(np.concatenate([_stepped(ring) for ring in rings]))
    one, other = unary_union(list(front)), unary_union(list(back))
    total = shapely.distance(rims, one) + shapely.distance(rims, other)
    best = int(np.argmin(total))
    rim = rims[best]
    start, end = nearest_points(one, rim)[0], nearest_points(other, rim)[0]
    length = float(total[best]) + board.thickness
    told = uncertainty or {}
    scale, edge = told.get("scale_uncertainty", 0.003), told.get("edge_uncertainty", EDGE_UNCERTAINTY)
    place = (float(rim.x), float(rim.y))
    return Distance(
        kind="creepage",
        length=length,
        # The laminate's thickness is nominal to a tenth; common practice, no source.
        uncertainty=math.hypot(scale * length, math.sqrt(2.0) * edge, 0.1 * board.thickness / math.sqrt(3.0)),
        path=((float(start.x), float(start.y)), place, place, (float(end.x), float(end.y))),
    )


def _circle(at: Place, diameter: float) -> tuple[Place, ...]:
    around = np.linspace(0.0, 2 * np.pi, 33)[:-1]
    return tuple(
        (float(at[0] + diameter / 2 * np.cos(a)), float(at[1] + diameter / 2 * np.sin(a))) for a in around
    )


def _stepped(ring: Sequence[Place]) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Places along a closed ring, `EDGE_STEP` apart or nearer."""
    corners = np.array(ring, dtype=float)
    found = []
    for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        count = max(1, math.ceil(float(np.hypot(*(b - a))) / EDGE_STEP))
        found.append(a + np.linspace(0.0, 1.0, count, endpoint=False)[:, None] * (b - a))
    return np.concatenate(found)
