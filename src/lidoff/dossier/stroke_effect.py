"""What a stroke does to the copper that was traced already: where it lies, it is obeyed at once.

What the classifier learns from a stroke elsewhere comes with the next tracing, which obeys the stroke in the same way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shapely.geometry import Point, Polygon
    from shapely.geometry.base import BaseGeometry

    from lidoff.board import Island, Stroke, TracedSide

__all__ = ["obeyed"]

LEAST = 0.01
"""Area below which a piece that a cut leaves is none [mm²]."""
TOUCH = 0.75
"""How near two shapes of one piece lie where they touch, in pixels of the raster they were traced on."""


def obeyed(side: TracedSide, stroke: Stroke) -> TracedSide:
    """Side after a stroke, its copper cut or joined where the stroke lies.

    Parameters
    ----------
    side : TracedSide
        Before; the stroke is among its strokes already, or not: that is left as it is.
    stroke : Stroke
        What was drawn.

    Returns
    -------
    TracedSide
        The same where nothing was traced yet, or where the stroke says nothing of copper.
    """
    from shapely.geometry import LineString, Point

    from lidoff.board import BARE, BODY, BRIDGE, COVERED, LEGEND

    if not side.copper or stroke.says in (LEGEND, BODY):
        return side
    points = stroke.points
    line = LineString(points) if len(points) > 1 else Point(points[0])
    area = line.buffer(max(stroke.width / 2, 0.5 / side.px_per_mm))
    return _joined(side, area) if stroke.says in (BRIDGE, COVERED, BARE) else _cut(side, area)


def _joined(side: TracedSide, area: BaseGeometry) -> TracedSide:
    """Copper added: a piece of its own, joined to all that it touches."""
    from shapely.ops import unary_union

    from lidoff.board import Join

    touched = [(island, island.polygon().buffer(0)) for island in side.copper]
    touched = [(island, shape) for island, shape in touched if shape.intersects(area)]
    number = max(island.number for island in side.copper) + 1
    added = _shapes(area.difference(unary_union([shape for _, shape in touched])))
    numbers = list(dict.fromkeys(island.number for island, _ in touched))
    joined = numbers if not added else [number, *numbers]
    places = {island.number: shape.intersection(area).representative_point() for island, shape in touched}
    joins = [
        Join(
            side=side.side,
            first=min(joined[0], other),
            second=max(joined[0], other),
            probability=1.0,
            at=_place(places[other]),
            stated=True,
        )
        for other in joined[1:]
    ]
    stated = {(join.first, join.second) for join in joins}
    return replace(
        side,
        copper=(*side.copper, *(_island(side.side, number, shape) for shape in added)),
        joins=(*(join for join in side.joins if (join.first, join.second) not in stated), *joins),
    )


def _cut(side: TracedSide, area: BaseGeometry) -> TracedSide:
    """Copper taken away: pieces fall apart where nothing else holds them together."""
    from shapely.geometry import Point

    near = TOUCH / side.px_per_mm
    pieces: dict[int, list[Island]] = {}
    for island in side.copper:
        pieces.setdefault(island.number, []).append(island)
    following = max(pieces) + 1
    copper: list[Island] = []
    parts: dict[int, list[tuple[int, list[Polygon]]]] = {}  # old number → new numbers with their shapes
    for number, islands in pieces.items():
        shapes = [island.polygon().buffer(0) for island in islands]
        if not any(shape.intersects(area) for shape in shapes):
            copper.extend(islands)
            continue
        groups = _together([rest for shape in shapes for rest in _shapes(shape.difference(area))], area, near)
        parts[number] = []
        for group in groups:
            own = number if not parts[number] else following
            following += own == following
            parts[number].append((own, group))
            copper.extend(_island(side.side, own, shape) for shape in group)
    joins = []
    for join in side.joins:
        ends = []
        at = Point(join.at)
        for number in (join.first, join.second):
            groups_of = parts.get(number)
            if groups_of is None:
                ends.append(number)
            elif groups_of:
                ends.append(min(groups_of, key=lambda one: min(shape.distance(at) for shape in one[1]))[0])
        if len(ends) < 2 or ends[0] == ends[1]:
            continue
        if area.distance(at) < near:
            join = replace(join, probability=0.0, stated=True)
        joins.append(replace(join, first=min(ends), second=max(ends)))
    return replace(side, copper=tuple(copper), joins=tuple(joins))


def _together(shapes: Sequence[Polygon], cut: BaseGeometry, near: float) -> list[list[Polygon]]:
    """Shapes in groups that touch each other outside the cut, the largest first."""
    import networkx as nx

    graph: nx.Graph = nx.Graph()
    graph.add_nodes_from(range(len(shapes)))
    for first in range(len(shapes)):
        for second in range(first):
            if shapes[first].distance(shapes[second]) > near:
                continue
            contact = shapes[first].buffer(near).intersection(shapes[second].buffer(near))
            if not contact.difference(cut.buffer(near)).is_empty:
                graph.add_edge(first, second)
    groups = [[shapes[index] for index in sorted(group)] for group in nx.connected_components(graph)]
    return sorted(groups, key=lambda group: -sum(shape.area for shape in group))


def _shapes(geometry: BaseGeometry) -> list[Polygon]:
    """Polygons of a geometry that are large enough to be copper."""
    found = getattr(geometry, "geoms", [geometry])
    return [one for one in found if one.geom_type == "Polygon" and one.area >= LEAST]


def _island(side: str, number: int, shape: Polygon) -> Island:
    from lidoff.board import Island

    def ring(coordinates: Sequence[tuple[float, ...]]) -> tuple[tuple[float, float], ...]:
        return tuple((float(x), float(y)) for x, y, *_ in list(coordinates)[:-1])

    return Island(
        side=side,
        number=number,
        shell=ring(list(shape.exterior.coords)),
        openings=tuple(ring(list(opening.coords)) for opening in shape.interiors),
        area=float(shape.area),
    )


def _place(point: Point) -> tuple[float, float]:
    return (float(point.x), float(point.y))
