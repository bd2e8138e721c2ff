"""Insulation distances between conductors: creepage over the surface, clearance through air, each with its path.

Creepage follows the board's surface on one side, round slots and past the outline's notches. After IEC 60664-1 a groove
narrower than X counts as if it were not there: the path goes straight over it. X is 1 mm at pollution degree 2, and a third of
the clearance where that clearance is below 3 mm.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from lidoff.board.layout import Place
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

__all__ = ["EDGE_UNCERTAINTY", "Distance", "clearance", "counted_grooves", "creepage"]

EDGE_UNCERTAINTY = 0.03
"""Standard uncertainty of an edge of copper where no photo tells it [mm]; our choice."""

GROOVE = {1: 0.25, 2: 1.0, 3: 1.5}
"""Least width X of a groove that a path must follow [mm], by pollution degree; IEC 60664-1, clause on measuring distances."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """One distance.

    Parameters
    ----------
    kind : str
        "creepage" or "clearance".
    length : float
        Shortest length [mm].
    uncertainty : float
        Standard uncertainty from scale and edge blur [mm].
    path : tuple of places
        From one conductor to the other [mm]; two neighbours may bridge a floating conductor at no length.
    grooves_ignored : int
        Slots that were too narrow to count.
    """

    kind: str
    length: float
    uncertainty: float
    path: tuple[Place, ...]
    grooves_ignored: int = 0


def _uncertainty(length: float, scale: float, edge: float) -> float:
    """Scale errs with the length, each of both edges by its blur."""
    return math.hypot(scale * length, math.sqrt(2.0) * edge)


def _narrowest(polygon: BaseGeometry) -> float:
    """Least width of a slot: the shorter edge of the smallest rectangle round it."""
    box = polygon.minimum_rotated_rectangle
    if box.geom_type != "Polygon":
        return 0.0
    corners = list(box.exterior.coords)
    return min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))


def counted_grooves(
    slots: Sequence[Sequence[Place]], *, pollution_degree: int = 2, clearance_mm: float | None = None
) -> tuple[tuple[Place, ...], ...]:
    """Slots wide enough that creepage must go round them.

    Parameters
    ----------
    slots : sequence of polygons
        Milled slots and windows [mm].
    pollution_degree : int
        1, 2 or 3.
    clearance_mm : float, optional
        The clearance asked for [mm]; below 3 mm the least width may be a third of it.

    Returns
    -------
    tuple of polygons
        Those that count.

    Raises
    ------
    ImpossibleValue
        Another pollution degree.
    """
    from shapely.geometry import Polygon

    if pollution_degree not in GROOVE:
        raise ImpossibleValue(f"pollution degree {pollution_degree}", remedy="1, 2 or 3")
    least = GROOVE[pollution_degree]
    if clearance_mm is not None and clearance_mm < 3.0:
        least = min(least, clearance_mm / 3.0)
    return tuple(
        tuple((float(x), float(y)) for x, y in slot)
        for slot in slots
        if _narrowest(Polygon(slot)) >= least - 1e-9
    )


def clearance(
    first: Sequence[BaseGeometry],
    second: Sequence[BaseGeometry],
    *,
    scale_uncertainty: float = 0.003,
    edge_uncertainty: float = EDGE_UNCERTAINTY,
) -> Distance:
    """Shortest way through air between two groups of conductors on one side.

    Parameters
    ----------
    first, second : sequence of shapely geometries
        Copper, leads and solder of either group [mm].
    scale_uncertainty : float
        Relative standard uncertainty of the scale.
    edge_uncertainty : float
        Standard uncertainty of each edge's place [mm].

    Returns
    -------
    Distance
        The straight line; slots do not lengthen it.

    Raises
    ------
    ImpossibleValue
        A group is empty.
    """
    from shapely.ops import nearest_points, unary_union

    one, other = _group(first, "first"), _group(second, "second")
    a, b = nearest_points(unary_union(one), unary_union(other))
    length = float(a.distance(b))
    return Distance(
        kind="clearance",
        length=length,
        uncertainty=_uncertainty(length, scale_uncertainty, edge_uncertainty),
        path=((float(a.x), float(a.y)), (float(b.x), float(b.y))),
    )


def _group(group: Sequence[BaseGeometry], name: str) -> list[BaseGeometry]:
    kept = [item for item in group if not item.is_empty]
    if not kept:
        raise ImpossibleValue(
            f"the {name} group has no conductor", remedy="name a net that has copper on this side"
        )
    return kept


def creepage(
    first: Sequence[BaseGeometry],
    second: Sequence[BaseGeometry],
    *,
    outline: Sequence[Place],
    slots: Sequence[Sequence[Place]] = (),
    floating: Sequence[BaseGeometry] = (),
    pollution_degree: int = 2,
    clearance_mm: float | None = None,
    scale_uncertainty: float = 0.003,
    edge_uncertainty: float = EDGE_UNCERTAINTY,
) -> Distance:
    """Shortest way over the surface of one side between two groups of conductors.

    Parameters
    ----------
    first, second : sequence of shapely geometries
        Conductors of either group [mm].
    outline : sequence of places
        The board's shape.
    slots : sequence of polygons
        Milled slots and windows; narrow ones do not count, see `counted_grooves`.
    floating : sequence of shapely geometries
        Conductors of neither group that the path may cross at no length.
    pollution_degree : int
        1, 2 or 3.
    clearance_mm : float, optional
        The clearance asked for [mm].
    scale_uncertainty, edge_uncertainty : float
        As for `clearance`.

    Returns
    -------
    Distance
        With the path's corners.

    Raises
    ------
    ImpossibleValue
        A group is empty, or no surface joins them.

    Notes
    -----
    Exact for polygons: a shortest path among obstacles bends only at their corners, so Dijkstra over the corners that see
    each other finds it.

    References
    ----------
    .. [1] T. Lozano-Pérez, M. Wesley, *An algorithm for planning collision-free paths among polyhedral obstacles*,
       Communications of the ACM 22 (1979).
    """
    import networkx as nx
    from shapely.geometry import Point, Polygon
    from shapely.ops import nearest_points, unary_union
    from shapely.prepared import prep

    one, other = unary_union(_group(first, "first")), unary_union(_group(second, "second"))
    counted = counted_grooves(slots, pollution_degree=pollution_degree, clearance_mm=clearance_mm)
    surface = Polygon(outline)
    if counted:
        surface = surface.difference(unary_union([Polygon(slot) for slot in counted]))
    # Copper overlaps the edge by its own uncertainty: a hair of slack keeps such conductors on the surface.
    walkable = prep(unary_union([surface.buffer(1e-6), one, other, *floating]))
    corners = _bends(surface)
    nodes: list[object] = [*corners, "first", "second"]
    shapes: dict[object, BaseGeometry] = {corner: Point(corner) for corner in corners}
    shapes["first"], shapes["second"] = one, other
    for number, item in enumerate(floating):
        shapes["floating", number] = item
        nodes.append(("floating", number))
    graph = nx.Graph()
    for index, a in enumerate(nodes):
        for b in nodes[index + 1 :]:
            for start, end in _shortest_views(shapes[a], shapes[b], nearest_points):
                from shapely.geometry import LineString

                line = LineString([start, end])
                if line.length < 1e-12 or walkable.covers(line):
                    if not graph.has_edge(a, b) or graph.edges[a, b]["weight"] > line.length:
                        graph.add_edge(a, b, weight=float(line.length), ends={a: start, b: end})
                    break
    try:
        way = nx.shortest_path(graph, "first", "second", weight="weight")
    except (nx.NetworkXNoPath, nx.NodeNotFound) as error:
        raise ImpossibleValue(
            "no surface of this side joins the two groups",
            remedy="measure over the board's edge on the other side",
        ) from error
    path: list[Place] = []
    for a, b in itertools.pairwise(way):
        ends = graph.edges[a, b]["ends"]
        for node in (a, b):
            place = (float(ends[node][0]), float(ends[node][1]))
            if not path or math.dist(path[-1], place) > 1e-9:
                path.append(place)
    length = float(nx.path_weight(graph, way, "weight"))
    return Distance(
        kind="creepage",
        length=length,
        uncertainty=_uncertainty(length, scale_uncertainty, edge_uncertainty),
        path=tuple(path),
        grooves_ignored=len(slots) - len(counted),
    )


def _bends(surface: BaseGeometry) -> list[Place]:
    """Corners at which a shortest path may bend: those of slots, and the inward ones of the outline."""
    found: list[Place] = []
    for part in getattr(surface, "geoms", (surface,)):
        for ring, is_hole in ((part.exterior, False), *((inner, True) for inner in part.interiors)):
            points = np.asarray(ring.coords, dtype=float)[:-1]
            ahead, behind = np.roll(points, -1, axis=0), np.roll(points, 1, axis=0)
            turn = (points - behind)[:, 0] * (ahead - points)[:, 1] - (points - behind)[:, 1] * (
                ahead - points
            )[:, 0]
            # Inside lies to the left of an anticlockwise shell; a corner juts into the surface where the ring turns right.
            inward = turn < 0 if ring.is_ccw else turn > 0
            if is_hole:
                inward = ~inward & (turn != 0)
            found += [(float(x), float(y)) for x, y in points[inward]]
    return found


def _shortest_views(
    one: BaseGeometry, other: BaseGeometry, nearest_points: object
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Straight lines between two shapes, shortest first, from their nearest points and from their corners."""
    from shapely.geometry import Point

    def parts(shape: BaseGeometry) -> list[BaseGeometry]:
        if shape.geom_type == "Point":
            return [shape]
        pieces = list(getattr(shape, "geoms", (shape,)))
        corners = [Point(x, y) for piece in pieces for x, y in list(piece.exterior.coords)[:-1]]
        return [*pieces, *corners] if len(corners) <= 400 else [*pieces, *corners[:: len(corners) // 400 + 1]]

    one_parts, other_parts = parts(one), parts(other)
    if len(one_parts) * len(other_parts) > 4000:
        # Between two large shapes only whole pieces against corners of the other are tried.
        one_parts = one_parts[: max(1, 4000 // len(other_parts))]
    lines = []
    for a in one_parts:
        for b in other_parts:
            p, q = nearest_points(a, b)  # type: ignore[operator]
            lines.append((p.distance(q), (p.x, p.y), (q.x, q.y)))
    lines.sort(key=lambda item: item[0])
    return [(start, end) for _, start, end in lines[:200]]
