"""Invented boards: packages set out in a grid and routed, from a list of parts or from a seed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.board.layout import Body, Hole, Layout, Legend, Place, Pour, rectangle
from lidoff.board.package import LandPattern, PlacedPart, lands_of, package
from lidoff.board.router import Routed, TrackRules, route
from lidoff.errors import ImpossibleValue

__all__ = ["PartToPlace", "layout_from_parts", "random_layout"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartToPlace:
    """One part of an invented board.

    Parameters
    ----------
    reference : str
        Reference designator.
    package : str
        Name of the land pattern.
    nets : mapping of str to str
        Net of each pin of the package; a pin that is left out stays unconnected.
    side : str
        Side it stands on.
    at : place, optional
        Centre [mm]; None lets the grid decide.
    turn : float
        Degrees clockwise as seen from the front.
    marking : str
        What is printed on the body.
    """

    reference: str
    package: str
    nets: Mapping[str, str]
    side: str = FRONT
    at: Place | None = None
    turn: float = 0.0
    marking: str = ""


def layout_from_parts(
    parts: Sequence[PartToPlace],
    *,
    size: tuple[float, float] | None = None,
    rules: TrackRules | None = None,
    pour: tuple[str, str] | None = None,
    outline: tuple[Place, ...] = (),
    cutouts: tuple[tuple[Place, ...], ...] = (),
    mounting_holes: tuple[Place, ...] = (),
    title: str = "",
) -> Routed:
    """Set out parts, route their nets and print their references.

    Parameters
    ----------
    parts : sequence of PartToPlace
        What the board carries; parts without a place are set out in rows.
    size : tuple of float, optional
        Width and height [mm]; None takes what the rows need.
    rules : TrackRules, optional
        Width, gap, grid and the sides with copper.
    pour : tuple of str, optional
        Side and net of a copper pour over the whole board.
    outline, cutouts : tuple, optional
        The board's own shape, where it is no plain rectangle.
    mounting_holes : tuple of places
        Unplated holes of 3.2 mm.
    title : str
        Printed along the lower edge of the front.

    Returns
    -------
    Routed
        The layout and the nets that found no way.

    Raises
    ------
    UnknownName
        A package is not known.
    ImpossibleValue
        A part names a pin that its package has not.
    """
    rules = rules or TrackRules()
    _check_pins(parts)
    placed, needed = _set_out(parts, size)
    board = outline or rectangle(*(size or needed))
    holes = [Hole(at=at, diameter=3.2, plated=False) for at in mounting_holes]
    legends: list[Legend] = []
    bodies: list[Body] = []
    for part, where in zip(parts, placed, strict=True):
        pattern = package(part.package)
        holes += _lead_holes(pattern, where, part.nets)
        legends += _outline_print(pattern, where)
        bodies.append(
            Body(
                side=where.side,
                reference=part.reference,
                package=part.package,
                at=where.at,
                size=pattern.body,
                turn=where.turn,
                round=pattern.body_round,
                colour=pattern.colour,
                marking=part.marking,
            )
        )
    if title:
        low, left = max(y for _, y in board), min(x for x, _ in board)
        legends.append(Legend(side=FRONT, text=title, at=(left + 2.0, low - 1.0), height=1.1))
    layout = Layout(
        outline=board,
        cutouts=cutouts,
        pads=tuple(pad for where in placed for pad in where.pads),
        holes=tuple(holes),
        legends=tuple(legends),
        bodies=tuple(bodies),
    )
    if pour is None:
        return route(layout, rules)
    # A pour joins what it reaches only where nothing cuts it, so that its net is routed as well.
    routed = route(layout, rules)
    shrunk = _shrunk(board, 0.6)
    return replace(
        routed,
        layout=replace(
            routed.layout, pours=(Pour(side=pour[0], net=pour[1], polygon=shrunk, gap=rules.gap),)
        ),
    )


def _check_pins(parts: Sequence[PartToPlace]) -> None:
    faults = []
    for part in parts:
        known = package(part.package).pins
        faults += [
            ImpossibleValue(
                f"{part.reference}: package {part.package} has no pin {pin!r}",
                remedy=f"known: {', '.join(known)}",
            )
            for pin in part.nets
            if pin not in known
        ]
    if faults:
        raise ImpossibleValue("parts do not fit their packages", faults=faults)


def _extent(pattern: LandPattern, turn: float) -> tuple[float, float]:
    xs = [abs(land.at[0]) + land.size[0] / 2 for land in pattern.lands] + [pattern.body[0] / 2]
    ys = [abs(land.at[1]) + land.size[1] / 2 for land in pattern.lands] + [pattern.body[1] / 2]
    width, height = 2 * max(xs), 2 * max(ys)
    return (height, width) if round(turn / 90) % 2 else (width, height)


def _set_out(
    parts: Sequence[PartToPlace], size: tuple[float, float] | None
) -> tuple[list[PlacedPart], tuple[float, float]]:
    """Parts in rows, row breaks so that the board becomes about 4 by 3, unless a width is given."""
    room = 2.4
    extents = [_extent(package(part.package), part.turn) for part in parts]
    free = [index for index, part in enumerate(parts) if part.at is None]
    area = sum((extents[i][0] + room) * (extents[i][1] + room) for i in free)
    width = (
        size[0] if size else max(math.sqrt(area * 4 / 3), max((extents[i][0] for i in free), default=0.0) + 5)
    )
    rows: list[list[int]] = [[]]
    used = 0.0
    for index in free:
        if rows[-1] and used + extents[index][0] + room > width - 3.0:
            rows.append([])
            used = 0.0
        rows[-1].append(index)
        used += extents[index][0] + room
    heights = [max((extents[i][1] for i in row), default=0.0) + room for row in rows]
    height = size[1] if size else sum(heights) + 4.0
    slack = max(height - 3.0 - sum(heights), 0.0) / (len(rows) + 1)
    places: dict[int, Place] = {}
    top = 1.5 + slack
    for row, row_height in zip(rows, heights, strict=True):
        total = sum(extents[i][0] for i in row)
        space = (width - 3.0 - total) / (len(row) + 1)
        x = 1.5 + space
        for index in row:
            places[index] = (
                round((x + extents[index][0] / 2) * 4) / 4,
                round((top + row_height / 2) * 4) / 4,
            )
            x += extents[index][0] + space
        top += row_height + slack
    placed = [
        lands_of(
            package(part.package),
            reference=part.reference,
            side=part.side,
            at=part.at or places[index],
            turn=part.turn,
            nets=part.nets,
        )
        for index, part in enumerate(parts)
    ]
    return placed, (width, height)


def _lead_holes(pattern: LandPattern, where: PlacedPart, nets: Mapping[str, str]) -> list[Hole]:
    holes = []
    sizes = [land.hole for land in pattern.lands if land.hole > 0.0]
    through = [pad for pad in where.pads if pad.side == FRONT] if sizes else []
    for pad, diameter in zip(through, sizes, strict=True):
        holes.append(
            Hole(at=pad.at, diameter=diameter, plated=True, net=nets.get(pad.pin.rpartition(".")[2], ""))
        )
    return holes


def _outline_print(pattern: LandPattern, where: PlacedPart) -> list[Legend]:
    width, height = _extent(pattern, where.turn)
    x, y = where.at
    text = Legend(
        side=where.side,
        text=where.reference,
        at=(x - 0.45 * len(where.reference), y - height / 2 - 0.35),
        height=0.9,
    )
    half_x, half_y = width / 2 + 0.35, height / 2 + 0.2
    corners = [
        (x - half_x, y - half_y),
        (x + half_x, y - half_y),
        (x + half_x, y + half_y),
        (x - half_x, y + half_y),
    ]
    # Two printed lines beside the part, as boards have them, and none over its lands.
    lines = [
        Legend(side=where.side, points=(corners[0], corners[3]), width=0.15),
        Legend(side=where.side, points=(corners[1], corners[2]), width=0.15),
    ]
    return [text, *lines]


def _shrunk(polygon: tuple[Place, ...], by: float) -> tuple[Place, ...]:
    from shapely.geometry import Polygon

    inner = Polygon(polygon).buffer(-by, join_style="mitre")
    return tuple((float(x), float(y)) for x, y in list(inner.exterior.coords)[:-1])


def random_layout(
    rng: np.random.Generator,
    *,
    parts: int = 8,
    rules: TrackRules | None = None,
    through_hole: bool = True,
    pour: bool = True,
    size: tuple[float, float] | None = None,
) -> Routed:
    """A board of random parts and random nets.

    Parameters
    ----------
    rng : Generator
        Source of chance; equal generators give equal boards.
    parts : int
        How many parts.
    rules : TrackRules, optional
        Width, gap, grid and sides.
    through_hole : bool
        Whether leaded packages are among them.
    pour : bool
        Whether the back (or the only side with copper) gets a pour of the net "gnd".
    size : tuple of float, optional
        Width and height [mm].

    Returns
    -------
    Routed
        The layout and the nets that found no way.
    """
    rules = rules or TrackRules()
    surface = ["0603", "0805", "1206", "SOT-23", "SOIC-8", "SOD-123", "MiniMELF"]
    leaded = ["AXIAL-SMALL", "RADIAL-5", "TO-92-SPREAD", "DIP-8", "LED-5", "HEADER-3"]
    names = [
        str(rng.choice(leaded if through_hole and rng.random() < 0.4 else surface)) for _ in range(parts - 1)
    ] + ["HEADER-4"]
    side = FRONT if FRONT in rules.sides else BACK
    pins = [(index, pin) for index, name in enumerate(names) for pin in package(name).pins]
    shuffled = [pins[i] for i in rng.permutation(len(pins))]
    nets: dict[tuple[int, str], str] = {}
    start, number = 0, 1
    while start < len(shuffled):
        count = int(rng.integers(2, 5))
        name = "gnd" if number == 1 else f"n{number}"
        for pin in shuffled[start : start + (count + 2 if number == 1 else count)]:
            nets[pin] = name
        start += count + 2 if number == 1 else count
        number += 1
    listed = [
        PartToPlace(
            reference=f"P{index + 1}",
            package=name,
            nets={pin: nets[index, pin] for pin in package(name).pins},
            side=side,
        )
        for index, name in enumerate(names)
    ]
    pour_side = BACK if BACK in rules.sides else SIDES[0]
    return layout_from_parts(
        listed, rules=rules, size=size, pour=(pour_side, "gnd") if pour else None, title="INVENTED BOARD"
    )
