"""Tinted grounds behind groups: shapes that hold a group's parts, keep off strangers, and differ from their neighbours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shapely import STRtree, box, unary_union
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from lidoff.schematic.drawing import Area, Label, Symbol, Wire
from lidoff.schematic.inner_wires import inner_wires
from lidoff.schematic.options import Group

__all__ = ["group_grounds", "own_groups"]

SHADES = 4
"""Tints that grounds take turns in."""
MARGIN = 0.55
"""Ground round what belongs to the group, in grid steps."""
BRIDGED = 2.2
"""Half the widest gap between parts of a group that its ground closes."""
KEPT_OFF = 0.35
"""Distance that a ground keeps from a stranger."""
ROUND = 0.45
"""Radius of corners."""
NEAR = 1.2
"""Grounds nearer to each other than this differ in tint."""


def own_groups(groups: Sequence[Group]) -> tuple[Group, ...]:
    """Groups with each part in the smallest group that names it, the first of equals.

    Parameters
    ----------
    groups : sequence of Group
        Which may share parts.

    Returns
    -------
    tuple of Group
        Without those that smaller ones took all parts of; in the order given.

    Examples
    --------
    >>> big, small = Group(parts=("R1", "R2", "C1"), caption="filter"), Group(parts=("R1", "R2"), caption="divider")
    >>> [group.parts for group in own_groups((big, small))]
    [('C1',), ('R1', 'R2')]
    """
    home: dict[str, int] = {}
    for number, group in sorted(enumerate(groups), key=lambda one: (len(one[1].parts), one[0])):
        for reference in group.parts:
            home.setdefault(reference, number)
    kept = []
    for number, group in enumerate(groups):
        parts = tuple(reference for reference in group.parts if home[reference] == number)
        if parts:
            kept.append(Group(parts=parts, caption=group.caption, tint=group.tint))
    return tuple(kept)


def group_grounds(
    groups: Sequence[Group], symbols: Sequence[Symbol], wires: Sequence[Wire], labels: Sequence[Label]
) -> list[Area]:
    """Ground behind each group that has parts on the sheet and a caption or a tint.

    Parameters
    ----------
    groups : sequence of Group
        A part that several name belongs to the smallest.
    symbols, wires, labels : sequences
        What is on the sheet; text of a part is held with it.

    Returns
    -------
    list of Area
        Largest first.
    """
    shown = [group for group in own_groups(groups) if group.caption or group.tint]
    held = _held(symbols, labels)
    shapes: list[tuple[Group, MultiPolygon]] = []
    for group in shown:
        members = [reference for reference in group.parts if reference in held]
        if members:
            shape = _shape(members, held, inner_wires(set(members), symbols, wires))
            if not shape.is_empty:
                shapes.append((group, shape))
    shades = _shades([shape for _, shape in shapes])
    areas = [
        Area(
            caption=group.caption,
            tint=group.tint,
            box=shape.bounds,
            parts=group.parts,
            rings=tuple(
                tuple((round(x, 2), round(y, 2)) for x, y in ring.coords)
                for polygon in shape.geoms
                for ring in (polygon.exterior, *polygon.interiors)
            ),
            shade=shade,
        )
        for (group, shape), shade in zip(shapes, shades, strict=True)
    ]
    return sorted(areas, key=lambda area: -(area.box[2] - area.box[0]) * (area.box[3] - area.box[1]))


def _held(symbols: Sequence[Symbol], labels: Sequence[Label]) -> dict[str, BaseGeometry]:
    """What of the sheet belongs to each part: its body, its leads and its text."""
    pieces: dict[str, list[BaseGeometry]] = {}
    for symbol in symbols:
        x0, y0, x1, y1 = symbol.body
        own = [box(x0, y0, x1, y1)]
        own += [box(*_ordered(symbol.x + p.x, symbol.y + p.y, x0, y0, x1, y1)) for p in symbol.shape.leads]
        pieces[symbol.reference] = own
    for label in labels:
        owner = label.owner.split(".")[0]
        if label.role in ("reference", "value", "current") and owner in pieces:
            pieces[owner].append(box(*label.box))
    return {reference: unary_union(own) for reference, own in pieces.items()}


def _ordered(x: float, y: float, x0: float, y0: float, x1: float, y1: float) -> tuple[float, ...]:
    """Box from a lead's end to the body beside it, a line's width wide."""
    near_x, near_y = min(max(x, x0), x1), min(max(y, y0), y1)
    return (min(x, near_x) - 0.1, min(y, near_y) - 0.1, max(x, near_x) + 0.1, max(y, near_y) + 0.1)


def _shape(
    members: Sequence[str], held: Mapping[str, BaseGeometry], inner: Sequence[BaseGeometry]
) -> MultiPolygon:
    """Ground of some parts: gaps between them closed, strangers left out, corners rounded."""
    square = {"join_style": "mitre", "quad_segs": 3}
    whole = [held[reference].envelope for reference in members]
    own = unary_union([*whole, *inner]).buffer(MARGIN, **square)
    closed = own.buffer(BRIDGED, **square).buffer(-BRIDGED, **square)
    others = [shape for reference, shape in held.items() if reference not in members]
    tree = STRtree(others)
    strangers = [others[k] for k in tree.query(closed)]
    free = closed.difference(unary_union(strangers).buffer(KEPT_OFF, **square)) if strangers else closed
    free = free.union(unary_union([held[reference] for reference in members]).buffer(0.15, **square))
    opened = free.buffer(-0.2, **square).buffer(0.2, **square)
    smooth = opened.buffer(-ROUND / 2).buffer(ROUND, quad_segs=3).buffer(-ROUND / 2)
    found = smooth.simplify(0.02)
    pieces = [found] if isinstance(found, Polygon) else list(getattr(found, "geoms", ()))
    own_parts = unary_union([held[reference] for reference in members])
    return MultiPolygon([p for p in pieces if isinstance(p, Polygon) and p.intersects(own_parts)])


def _shades(shapes: Sequence[MultiPolygon]) -> list[int]:
    """Number of a tint for each shape, other than its neighbours' as far as the tints go."""
    shades: list[int] = []
    for number, shape in enumerate(shapes):
        taken = [shades[k] for k in range(number) if shapes[k].distance(shape) < NEAR]
        counts = [(taken.count(shade), (shade - number) % SHADES, shade) for shade in range(SHADES)]
        shades.append(min(counts)[2])
    return shades
