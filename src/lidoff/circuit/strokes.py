"""What symbol outlines are made of: strokes in grid steps, x to the right, y down."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

__all__ = [
    "Circle", "Letters", "Outline", "Point", "Polyline", "Stroke", "arc", "arrow", "line", "shape", "upturned", "with_pins",
]  # fmt: skip

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """Straight strokes through points; closed and filled by choice.

    Attributes
    ----------
    points : tuple of (float, float)
        In grid steps.
    closed, filled : bool
        Whether it ends where it begins, and is filled with ink.
    """

    points: tuple[Point, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle.

    Attributes
    ----------
    centre : (float, float)
        In grid steps.
    radius : float
        In grid steps.
    filled : bool
        Whether it is filled with ink.
    """

    centre: Point
    radius: float
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Letters:
    """A few letters that belong to the shape; they stay upright however the symbol is turned."""

    text: str
    centre: Point
    size: float = 1.2


Stroke = Polyline | Circle | Letters


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """Shape of a symbol.

    Attributes
    ----------
    name : str
        For style sheets and tests.
    pins : mapping of str to (float, float)
        Where each pin ends; empty for a box, whose pins are placed by their roles.
    strokes : tuple of Stroke
        The drawn shape.
    extent : (left, top, right, bottom)
        What it covers, labels apart.
    reversible : bool
        Whether the two pins may change places without changing the meaning.
    moved : mapping of str to tuple of Stroke
        Strokes in place of its own, by the pin that its moving contact touches instead, empty for none.
    """

    name: str
    pins: Mapping[str, Point] = field(default_factory=dict)
    strokes: tuple[Stroke, ...] = ()
    extent: tuple[float, float, float, float] = (-1.0, -2.0, 1.0, 2.0)
    reversible: bool = False
    moved: Mapping[str, tuple[Stroke, ...]] = field(default_factory=dict)


def with_pins(outline: Outline, *names: str) -> Outline:
    """Return the outline with its pins renamed, in the order in which it lists them.

    Parameters
    ----------
    outline : Outline
        Whose pins have names of their own.
    *names : str
        As many as it has pins.

    Returns
    -------
    Outline
        The same shape.

    Raises
    ------
    ValueError
        The number of names is not that of the pins.
    """
    return replace(outline, pins=dict(zip(names, outline.pins.values(), strict=True)))


def line(*points: Point) -> Polyline:
    """Open strokes through points."""
    return Polyline(points=points)


def shape(*points: Point, filled: bool = False) -> Polyline:
    """A closed shape."""
    return Polyline(points=points, closed=True, filled=filled)


def arc(centre: Point, radius: float, start: float, end: float, steps: int = 12) -> tuple[Point, ...]:
    """Points of an arc; angles in degrees, clockwise from the right as y runs down."""
    angles = [math.radians(start + (end - start) * step / steps) for step in range(steps + 1)]
    return tuple(
        (round(centre[0] + radius * math.cos(a), 3), round(centre[1] + radius * math.sin(a), 3))
        for a in angles
    )


def arrow(tail: Point, tip: Point, size: float = 0.5) -> tuple[Polyline, ...]:
    """A shaft and a filled head."""
    along = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    wings = [
        (
            round(tip[0] - size * math.cos(along + turn), 3),
            round(tip[1] - size * math.sin(along + turn), 3),
        )
        for turn in (0.42, -0.42)
    ]
    return (line(tail, tip), shape(tip, *wings, filled=True))


def upturned(outline: Outline) -> Outline:
    """Return the two-pin symbol upside down: cathode on top."""

    def turned(stroke: Stroke) -> Stroke:
        if isinstance(stroke, Polyline):
            return replace(stroke, points=tuple((-x, -y) for x, y in stroke.points))
        return replace(stroke, centre=(-stroke.centre[0], -stroke.centre[1]))

    left, top, right, bottom = outline.extent
    return replace(
        outline,
        pins={name: (-x, -y) for name, (x, y) in reversed(list(outline.pins.items()))},
        strokes=tuple(turned(stroke) for stroke in outline.strokes),
        extent=(-right, -bottom, -left, -top),
    )
