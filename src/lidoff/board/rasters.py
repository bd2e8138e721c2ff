"""A layout's copper, mask openings, print, bodies and holes as coverage pictures in the board frame.

Pixel (row, column) of a raster covers the square from (column, row) / px_per_mm, so that its centre lies half a pixel in.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import BACK
from lidoff.board.layout import Body, Layout, Pad, Place

__all__ = ["Coverage", "SideRasters", "copper_coverage", "copper_truth", "pad_corners", "side_rasters"]

Coverage = NDArray[np.float32]

_FINE = 4  # sub-pixels along each axis
_SHIFT = 4  # fractional bits of the drawing routines
_TOUCHED = (
    0.46  # the drawing routines take in every sub-pixel that a rim touches: shapes are drawn smaller by this
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideRasters:
    """One side of a layout, each picture of shape (H, W) with coverage 0…1.

    `board` is the laminate without holes and cutouts, `opening` where the solder mask is open, `solder` where
    tin stands on a land, `through` the open holes.
    """

    px_per_mm: float
    board: Coverage
    copper: Coverage
    opening: Coverage
    solder: Coverage
    legend: Coverage
    body: Coverage
    body_colour: NDArray[np.float32]
    through: Coverage


def pad_corners(pad: Pad, grow: float = 0.0) -> tuple[Place, ...]:
    """Corners of a land [mm], grown on every side; a round land gives 32 corners."""
    angle = np.radians(pad.turn)
    cos, sin = float(np.cos(angle)), float(np.sin(angle))
    half_x, half_y = pad.size[0] / 2 + grow, pad.size[1] / 2 + grow
    if pad.round:
        short = min(half_x, half_y)
        reach_x, reach_y = half_x - short, half_y - short
        around = np.linspace(0.0, 2 * np.pi, 32, endpoint=False)
        x = short * np.cos(around) + np.where(np.cos(around) >= 0, reach_x, -reach_x)
        y = short * np.sin(around) + np.where(np.sin(around) >= 0, reach_y, -reach_y)
    else:
        x = np.array([-half_x, half_x, half_x, -half_x])
        y = np.array([-half_y, -half_y, half_y, half_y])
    return tuple(
        (float(pad.at[0] + cos * a - sin * b), float(pad.at[1] + sin * a + cos * b))
        for a, b in zip(x, y, strict=True)
    )


class _Canvas:
    """Draws in millimetres on a fine grid and averages down."""

    def __init__(self, layout: Layout, px_per_mm: float) -> None:
        width, height = layout.size
        self.left = min(x for x, _ in layout.outline)
        self.top = min(y for _, y in layout.outline)
        self.shape = (max(round(height * px_per_mm), 1), max(round(width * px_per_mm), 1))
        self.scale = px_per_mm * _FINE

    def blank(self) -> NDArray[np.uint8]:
        return np.zeros((self.shape[0] * _FINE, self.shape[1] * _FINE), np.uint8)

    def _pixels(self, points: tuple[Place, ...]) -> NDArray[np.int32]:
        array = (np.array(points, dtype=float) - (self.left, self.top)) * self.scale - 0.5
        return np.round(array * (1 << _SHIFT)).astype(np.int32)

    def polygon(self, picture: NDArray[np.uint8], points: tuple[Place, ...], value: int = 1) -> None:
        import cv2
        from shapely.geometry import Polygon

        drawn = Polygon(points).buffer(-_TOUCHED / self.scale, join_style="mitre")
        for part in getattr(drawn, "geoms", (drawn,)):
            if not part.is_empty:
                corners = self._pixels(tuple(part.exterior.coords)[:-1])
                cv2.fillPoly(picture, [corners], [value], lineType=cv2.LINE_8, shift=_SHIFT)

    def disc(self, picture: NDArray[np.uint8], at: Place, diameter: float, value: int = 1) -> None:
        import cv2

        centre = self._pixels((at,))[0]
        radius = round(max(diameter / 2 * self.scale - _TOUCHED, 0.0) * (1 << _SHIFT))
        cv2.circle(picture, (int(centre[0]), int(centre[1])), radius, [value], -1, cv2.LINE_8, _SHIFT)

    def line(
        self, picture: NDArray[np.uint8], points: tuple[Place, ...], width: float, value: int = 1
    ) -> None:
        for start, end in itertools.pairwise(points):
            a, b = np.array(start), np.array(end)
            length = float(np.hypot(*(b - a)))
            if length > 0.0:
                normal = np.array([-(b - a)[1], (b - a)[0]]) / length * width / 2
                corners = (a + normal, b + normal, b - normal, a - normal)
                self.polygon(picture, tuple((float(x), float(y)) for x, y in corners), value)
        for point in points:
            self.disc(picture, point, width, value)

    def text(self, picture: NDArray[np.uint8], text: str, at: Place, height: float, mirrored: bool) -> None:
        import cv2

        font, unit = cv2.FONT_HERSHEY_SIMPLEX, 21.0  # the font's capitals stand about 21 units high
        scale = height * self.scale / unit
        thick = max(1, round(0.14 * height * self.scale))
        (width, high), _ = cv2.getTextSize(text, font, scale, thick)
        stamp = np.zeros((high + 2 * thick + 4, width + 2 * thick + 4), np.uint8)
        cv2.putText(stamp, text, (thick + 2, high + thick + 1), font, scale, [1], thick, cv2.LINE_8)
        if mirrored:
            stamp = np.ascontiguousarray(stamp[:, ::-1])
        column = round((at[0] - self.left) * self.scale)
        row = round((at[1] - self.top) * self.scale) - stamp.shape[0]
        r0, c0 = max(row, 0), max(column, 0)
        r1, c1 = min(row + stamp.shape[0], picture.shape[0]), min(column + stamp.shape[1], picture.shape[1])
        if r1 > r0 and c1 > c0:
            part = stamp[r0 - row : r1 - row, c0 - column : c1 - column]
            np.maximum(picture[r0:r1, c0:c1], part, out=picture[r0:r1, c0:c1])

    def averaged(self, picture: NDArray[np.uint8]) -> Coverage:
        blocks = picture.reshape(self.shape[0], _FINE, self.shape[1], _FINE)
        return np.asarray(blocks.mean(axis=(1, 3), dtype=np.float32))


def _drawn_copper(canvas: _Canvas, layout: Layout, side: str) -> NDArray[np.uint8]:
    """Fine picture of all copper of a side, holes taken out."""
    copper = canvas.blank()
    tracks = [track for track in layout.tracks if track.side == side]
    pads = [pad for pad in layout.pads if pad.side == side]
    for pour in (pour for pour in layout.pours if pour.side == side):
        area = canvas.blank()
        canvas.polygon(area, pour.polygon)
        for track in tracks:
            if track.net != pour.net:
                canvas.line(area, track.points, track.width + 2 * pour.gap, 0)
        for pad in pads:
            if pad.net != pour.net:
                canvas.polygon(area, pad_corners(pad, pour.gap), 0)
        for hole in layout.holes:
            if not hole.plated or hole.net != pour.net:
                canvas.disc(area, hole.at, hole.diameter + 2 * pour.gap, 0)
        for cutout in layout.cutouts:
            canvas.line(area, (*cutout, cutout[0]), 2 * pour.gap, 0)
        np.maximum(copper, area, out=copper)
    for track in tracks:
        canvas.line(copper, track.points, track.width)
    for pad in pads:
        canvas.polygon(copper, pad_corners(pad))
    for hole in layout.holes:
        if not hole.filled:
            canvas.disc(copper, hole.at, hole.diameter, 0)
    return copper


def copper_coverage(layout: Layout, side: str, px_per_mm: float) -> Coverage:
    """How far copper covers each pixel of a side, 0…1, at a raster of `px_per_mm`; shape (H, W)."""
    canvas = _Canvas(layout, px_per_mm)
    return canvas.averaged(_drawn_copper(canvas, layout, side))


def copper_truth(layout: Layout, side: str, px_per_mm: float) -> NDArray[np.bool_]:
    """Where copper truly is on a side, at a raster of `px_per_mm`; shape (H, W)."""
    return np.asarray(copper_coverage(layout, side, px_per_mm) >= 0.5)


def side_rasters(layout: Layout, side: str, px_per_mm: float, *, populated: bool = True) -> SideRasters:
    """Everything the camera sees of one side, in the board frame.

    Parameters
    ----------
    layout : Layout
        The board.
    side : str
        "front" or "back".
    px_per_mm : float
        Raster of the pictures.
    populated : bool
        Whether bodies, solder and leads are on it.

    Returns
    -------
    SideRasters
        Coverage pictures of one shape.
    """
    import cv2

    canvas = _Canvas(layout, px_per_mm)
    pads = [pad for pad in layout.pads if pad.side == side]
    board, through = canvas.blank(), canvas.blank()
    canvas.polygon(board, layout.outline)
    for cutout in layout.cutouts:
        canvas.polygon(board, cutout, 0)
    for hole in layout.holes:
        if not (hole.filled or (populated and _has_lead(layout, hole.at))):
            canvas.disc(through, hole.at, hole.diameter)
            canvas.disc(board, hole.at, hole.diameter, 0)
    opening, solder = canvas.blank(), canvas.blank()
    for pad in pads:
        if pad.pin or not pad.round:  # vias without a pin stay under the mask
            canvas.polygon(opening, pad_corners(pad, 0.06))
            if populated:
                canvas.polygon(solder, pad_corners(pad, -0.04))
    for hole in layout.holes:
        if not hole.plated:
            canvas.disc(opening, hole.at, hole.diameter + 0.3)
    legend, body = canvas.blank(), canvas.blank()
    for item in (item for item in layout.legends if item.side == side):
        if item.text:
            canvas.text(legend, item.text, item.at, item.height, side == BACK)
        else:
            canvas.line(legend, item.points, item.width)
    # Board houses keep print off the lands by about 0.15 mm (common practice, no source).
    reach = np.ones((2 * round(0.15 * canvas.scale) + 1,) * 2, np.uint8)
    legend[cv2.dilate(opening, reach) > 0] = 0
    colours = np.zeros((*canvas.shape, 3), np.float32)
    if populated:
        for part in (part for part in layout.bodies if part.side == side):
            shape = Pad(side=side, net="", at=part.at, size=part.size, turn=part.turn, round=part.round)
            canvas.polygon(body, pad_corners(shape))
            single = canvas.blank()
            canvas.polygon(single, pad_corners(shape))
            colours[canvas.averaged(single) > 0] = part.colour
            if part.marking:
                _print_marking(canvas, colours, part, side == BACK)
    return SideRasters(
        px_per_mm=px_per_mm,
        board=canvas.averaged(board),
        copper=canvas.averaged(_drawn_copper(canvas, layout, side)),
        opening=canvas.averaged(opening),
        solder=canvas.averaged(solder),
        legend=canvas.averaged(legend),
        body=canvas.averaged(body),
        body_colour=colours,
        through=canvas.averaged(through),
    )


def _has_lead(layout: Layout, at: Place) -> bool:
    return any(pad.pin and pad.at == at for pad in layout.pads)


def _print_marking(canvas: _Canvas, colours: NDArray[np.float32], part: Body, mirrored: bool) -> None:
    """Print what a body carries, upright and small enough to stay on it."""
    stamp = canvas.blank()
    across = part.size if round(part.turn / 90) % 2 == 0 else part.size[::-1]
    height = min(0.7, 1.1 * across[0] / len(part.marking), 0.7 * across[1])
    left, foot = part.at[0] - 0.42 * height * len(part.marking), part.at[1] + height / 2
    canvas.text(stamp, part.marking, (left, foot), height, mirrored)
    ink = canvas.averaged(stamp)[..., None]
    colours *= 1.0 - ink
    colours += ink * np.float32(0.85)
