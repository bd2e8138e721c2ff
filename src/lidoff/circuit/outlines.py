"""Symbol outlines in grid steps, drawn after the shapes of IEC 60617 (and IEEE 315 where said).

Axes: x to the right, y down. A two-pin symbol stands upright, its first pin on top, so that current falls down the page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

__all__ = ["BOX", "Circle", "Outline", "Polyline", "Stroke"]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Polyline:
    """Straight strokes through points; closed and filled by choice."""

    points: tuple[Point, ...]
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """A circle."""

    centre: Point
    radius: float
    filled: bool = False


Stroke = Polyline | Circle


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
    """

    name: str
    pins: Mapping[str, Point] = field(default_factory=dict)
    strokes: tuple[Stroke, ...] = ()
    extent: tuple[float, float, float, float] = (-1.0, -2.0, 1.0, 2.0)


BOX = Outline(name="box")
