"""Invented photos of an invented board, with the truth beside them.

The texture of each side is painted in the board frame and seen through a pinhole camera with a polynomial lens (a model
other than the one the reading side fits), under uneven light with glare, on a table, with shot and read-out noise. Bodies are
flat: the sideways shift of tall parts is not rendered.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import BACK, FRONT, SIDES, Points
from lidoff.board.layout import Layout, check_layout
from lidoff.board.rasters import SideRasters, copper_truth, side_rasters
from lidoff.errors import UnknownName

__all__ = ["FINISHES", "BoardPhotos", "Camera", "Truth", "View", "photo_of_side", "render_photos"]

_FINE = 20.0  # about how finely coarser photos are drawn before their pixels take it in [pixels per mm]

Picture = NDArray[np.uint8]
Colour = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finish:
    """Colours of a board in sRGB 0…1: over copper, over laminate, of bare laminate and bare copper."""

    over_copper: Colour
    over_laminate: Colour
    laminate: Colour
    bare: Colour
    masked: bool = True
    legend: Colour = (0.93, 0.93, 0.90)
    edge: float = 0.10


FINISHES: Mapping[str, Finish] = {
    "green": Finish(
        over_copper=(0.13, 0.42, 0.22),
        over_laminate=(0.06, 0.27, 0.15),
        laminate=(0.40, 0.42, 0.24),
        bare=(0.76, 0.76, 0.74),
    ),
    "blue": Finish(
        over_copper=(0.12, 0.28, 0.60),
        over_laminate=(0.05, 0.16, 0.40),
        laminate=(0.40, 0.42, 0.28),
        bare=(0.80, 0.80, 0.79),
    ),
    "black": Finish(
        over_copper=(0.125, 0.125, 0.135),
        over_laminate=(0.075, 0.075, 0.085),
        laminate=(0.35, 0.34, 0.26),
        bare=(0.83, 0.72, 0.42),
        edge=0.20,
    ),
    "white": Finish(
        over_copper=(0.80, 0.79, 0.76),
        over_laminate=(0.90, 0.90, 0.89),
        laminate=(0.75, 0.73, 0.60),
        bare=(0.66, 0.66, 0.66),
        legend=(0.10, 0.10, 0.10),
    ),
    "bare": Finish(
        over_copper=(0.78, 0.48, 0.32),
        over_laminate=(0.55, 0.40, 0.22),
        laminate=(0.55, 0.40, 0.22),
        bare=(0.78, 0.48, 0.32),
        masked=False,
        legend=(0.92, 0.90, 0.82),
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """How the photos are taken.

    Parameters
    ----------
    finish : str
        One of `FINISHES`.
    px_per_mm : float
        Pixels per millimetre of board at its middle.
    tilt : float
        Angle between the camera's axis and the board's normal [degrees].
    turn : float
        Turn of the board in the photo [degrees].
    lens : float
        Share by which the lens bends the corner of the photo inwards (barrel above zero).
    light : float
        Fall of the light over the photo, 0 (even) to 0.8.
    glare : float
        Strength of one glare patch, 0 to 1.
    glare_at : tuple of float
        Where the glare lies, as shares of the board's width and height.
    noise : float
        Read-out noise as share of full scale.
    blur : float
        Standard deviation of the lens blur [photo pixels].
    populated : bool
        Whether parts and solder are on the board.
    margin : float
        Table round the board as share of its size.
    table : str
        "wood", "paper" or "cloth".
    """

    finish: str = "green"
    px_per_mm: float = 20.0
    tilt: float = 0.0
    turn: float = 0.0
    lens: float = 0.0
    light: float = 0.0
    glare: float = 0.0
    glare_at: tuple[float, float] = (0.6, 0.4)
    noise: float = 0.005
    blur: float = 0.7
    populated: bool = False
    margin: float = 0.18
    table: str = "wood"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Camera:
    """The camera of one photo: board millimetres → pixels.

    Attributes
    ----------
    homography : ndarray of shape (3, 3)
        From board [mm] to pixels without the lens.
    lens : float
        Share by which the lens bends the corner of the photo inwards.
    photo_shape : tuple of int
        Height and width of the photo [pixels].
    """

    homography: NDArray[np.float64]
    lens: float
    photo_shape: tuple[int, int]

    def straight(self, photo_px: Points) -> Points:
        """Pixels without the lens, by the polynomial r·(1 + a·r² + 0.3·a·r⁴), radii in half diagonals."""
        centre, radius = self._frame()
        offset = (photo_px - centre) / radius
        square = np.sum(offset**2, axis=1, keepdims=True)
        return np.asarray(centre + radius * offset * (1 + self.lens * square * (1 + 0.3 * square)))

    def to_photo(self, board_mm: Points) -> Points:
        """Pixels of places on the board; the polynomial is turned round by fixed-point steps."""
        points = np.asarray(board_mm, dtype=float).reshape(-1, 2)
        homogeneous = points @ self.homography[:, :2].T + self.homography[:, 2]
        straight = homogeneous[:, :2] / homogeneous[:, 2:3]
        centre, radius = self._frame()
        offset = (straight - centre) / radius
        bent = offset.copy()
        for _ in range(40):
            square = np.sum(bent**2, axis=1, keepdims=True)
            bent = offset / (1 + self.lens * square * (1 + 0.3 * square))
        return np.asarray(centre + radius * bent)

    def _frame(self) -> tuple[NDArray[np.float64], float]:
        rows, columns = self.photo_shape
        return np.array([(columns - 1) / 2.0, (rows - 1) / 2.0]), math.hypot(rows, columns) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Truth:
    """What is true of a rendered board: cameras by side, and the layout for copper, pins and nets."""

    layout: Layout
    cameras: Mapping[str, Camera]
    pins: Mapping[str, str] = field(default_factory=dict)

    def copper(self, side: str, px_per_mm: float) -> NDArray[np.bool_]:
        """True copper of a side at a raster."""
        return copper_truth(self.layout, side, px_per_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoardPhotos:
    """Photos of both sides, uint8 arrays of shape (H, W, 3) in sRGB, and their truth."""

    front: Picture
    back: Picture
    truth: Truth


def render_photos(layout: Layout, view: View, rng: np.random.Generator) -> BoardPhotos:
    """Photograph both sides of an invented board.

    Parameters
    ----------
    layout : Layout
        The board.
    view : View
        Finish, camera, light.
    rng : Generator
        Source of grain, dust and noise; equal generators give equal photos.

    Returns
    -------
    BoardPhotos
        Two photos and what is true of them.

    Raises
    ------
    UnknownName
        The finish is not known.
    ImpossibleValue
        The layout cannot be made.
    """
    check_layout(layout)
    photos, cameras = {}, {}
    for side in SIDES:
        photos[side], cameras[side] = photo_of_side(layout, side, view, rng)
    pins = {pad.pin: pad.net for pad in layout.pads if pad.pin}
    return BoardPhotos(
        front=photos[FRONT], back=photos[BACK], truth=Truth(layout=layout, cameras=cameras, pins=pins)
    )


def photo_of_side(layout: Layout, side: str, view: View, rng: np.random.Generator) -> tuple[Picture, Camera]:
    """One photo of one side and its camera; see `render_photos`."""
    import cv2

    if view.finish not in FINISHES:
        raise UnknownName(f"finish {view.finish!r} is not known", name=view.finish, known=FINISHES)
    camera = _camera(layout, side, view)
    # A sensor's pixel takes in the light of all its area: samples as far apart as that would move thin tracks, as they lie.
    finer = max(1, round(_FINE / view.px_per_mm))
    texture_scale = view.px_per_mm * finer * 1.25
    raster = side_rasters(layout, side, texture_scale, populated=view.populated)
    texture, height = _paint(raster, FINISHES[view.finish], rng)
    rows, columns = camera.photo_shape
    x, y = np.meshgrid(*((np.arange(count * finer) + 0.5) / finer - 0.5 for count in (columns, rows)))
    straight = camera.straight(np.stack([x.ravel(), y.ravel()], axis=1))
    inverse = np.linalg.inv(camera.homography)
    homogeneous = straight @ inverse[:, :2].T + inverse[:, 2]
    board = homogeneous[:, :2] / homogeneous[:, 2:3]
    left, top = min(p[0] for p in layout.outline), min(p[1] for p in layout.outline)
    map_x, map_y = (
        ((board[:, axis] - begin) * texture_scale - 0.5).reshape(x.shape).astype(np.float32)
        for axis, begin in ((0, left), (1, top))
    )

    def seen(picture: NDArray[np.float32]) -> NDArray[np.float32]:
        return np.asarray(
            cv2.remap(picture, map_x, map_y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT), np.float32
        )

    inside = seen(raster.board)
    ground = _table(view.table, (rows, columns), view.px_per_mm, rng).repeat(finer, 0).repeat(finer, 1)
    ground *= (1.0 - 0.45 * cv2.GaussianBlur(inside, (0, 0), view.px_per_mm * finer * 0.6))[
        ..., None
    ]  # contact shadow
    photo = ground * (1.0 - inside[..., None]) + seen(texture) * inside[..., None]
    light = _light(layout, view, map_x / texture_scale, map_y / texture_scale, seen(height), rng)
    photo = (
        photo * light[..., None]
        + _glare(layout, view, map_x / texture_scale, map_y / texture_scale)[..., None]
    )
    if finer > 1:
        photo = cv2.resize(photo, (columns, rows), interpolation=cv2.INTER_AREA)
    if view.blur > 0:
        photo = cv2.GaussianBlur(photo, (0, 0), view.blur)
    shot = np.sqrt(np.clip(photo, 0, 1)) * view.noise
    photo = photo + rng.normal(size=photo.shape).astype(np.float32) * np.hypot(shot, view.noise * 0.5)
    return np.clip(np.round(photo * 255.0), 0, 255).astype(np.uint8), camera


def _camera(layout: Layout, side: str, view: View) -> Camera:
    width, height = layout.size
    left, top = min(x for x, _ in layout.outline), min(y for _, y in layout.outline)
    mirror = -1.0 if side == BACK else 1.0
    turn = math.radians(view.turn if side == FRONT else -0.7 * view.turn)
    tilt = math.radians(view.tilt)
    diagonal = math.hypot(width, height)
    distance = 1.3 * diagonal  # a phone held so that the board fills most of the picture
    focal = view.px_per_mm * distance
    cos, sin = math.cos(turn), math.sin(turn)
    # Centre the board, mirror the back, turn it in the plane, then tip it about the horizontal axis.
    centred = np.array([[mirror, 0, -mirror * (left + width / 2)], [0, 1, -(top + height / 2)], [0, 0, 1.0]])
    turned = np.array([[cos, -sin, 0], [sin, cos, 0], [0, 0, 1.0]])
    tipped = np.array([[1, 0, 0], [0, math.cos(tilt), 0], [0, math.sin(tilt), distance]])
    matrix = np.diag([focal, focal, 1.0]) @ tipped @ turned @ centred
    corners = np.array(layout.outline)
    homogeneous = corners @ matrix[:, :2].T + matrix[:, 2]
    seen = homogeneous[:, :2] / homogeneous[:, 2:3]
    margin = view.margin * view.px_per_mm * math.sqrt(width * height)
    # The camera's axis meets the middle of the photo, as in a photo that nobody has cropped.
    high = np.abs(seen).max(axis=0) + margin
    low = -high
    shape = (math.ceil(high[1] - low[1]), math.ceil(high[0] - low[0]))
    shift = np.array([[1, 0, -low[0]], [0, 1, -low[1]], [0, 0, 1.0]])
    matrix = shift @ matrix
    return Camera(homography=matrix / matrix[2, 2], lens=view.lens, photo_shape=shape)


def _paint(
    raster: SideRasters, finish: Finish, rng: np.random.Generator
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Colour texture of a side and its relief, both in the board frame."""
    import cv2

    scale = raster.px_per_mm
    shape = raster.copper.shape

    def grain(size_mm: float) -> NDArray[np.float32]:
        picture = cv2.GaussianBlur(
            rng.normal(size=shape).astype(np.float32), (0, 0), max(size_mm * scale, 0.5)
        )
        return np.asarray(picture / max(float(picture.std()), 1e-6), np.float32)

    def mix(under: NDArray[np.float32], colour: Colour, share: NDArray[np.float32]) -> NDArray[np.float32]:
        return under + (np.asarray(colour, np.float32) - under) * share[..., None]

    # Mask flows over the copper's edge, so that what is seen through it is a little softer than the copper.
    copper = (
        cv2.GaussianBlur(raster.copper, (0, 0), max(0.03 * scale, 0.3)) if finish.masked else raster.copper
    )
    texture = np.zeros((*shape, 3), np.float32) + np.asarray(finish.over_laminate, np.float32)
    weave = 0.5 * (
        np.sin(np.arange(shape[0]) / scale * 2 * np.pi / 0.5)[:, None]
        + np.sin(np.arange(shape[1]) / scale * 2 * np.pi / 0.5)[None]
    )
    texture *= (1 + 0.05 * weave + 0.02 * grain(1.5))[..., None].astype(np.float32)
    texture = mix(texture, finish.over_copper, copper)
    open_laminate = np.clip(raster.opening - raster.copper, 0, 1)
    texture = mix(texture, finish.laminate, open_laminate)
    lands = raster.opening * raster.copper
    bare = np.asarray(finish.bare, np.float32) * (1 + 0.04 * grain(0.3) + 0.05 * grain(1.0))[..., None]
    texture += (bare - texture) * (lands if finish.masked else raster.copper)[..., None]
    dome = cv2.GaussianBlur(raster.solder, (0, 0), max(0.18 * scale, 0.5))
    shine = np.clip(0.45 + 0.55 * dome + 0.12 * grain(0.15), 0, 1.1)
    texture += (np.asarray((0.80, 0.81, 0.82), np.float32) * shine[..., None] - texture) * raster.solder[
        ..., None
    ]
    texture = mix(texture, finish.legend, raster.legend * 0.95)
    texture = (
        texture + (raster.body_colour * (1 + 0.03 * grain(0.2))[..., None] - texture) * raster.body[..., None]
    )
    texture *= (1 + 0.015 * grain(0.05))[..., None]
    relief = cv2.GaussianBlur(copper, (0, 0), max(0.05 * scale, 0.4))
    slope = cv2.Sobel(relief, cv2.CV_32F, 1, 0) + cv2.Sobel(relief, cv2.CV_32F, 0, 1)
    covered = (1 - raster.opening) * (1 - raster.body) * (1 - raster.legend)
    texture *= (1 - finish.edge * np.clip(slope, -1, 1) * covered)[..., None]
    return np.clip(texture, 0, 1.2).astype(np.float32), np.asarray(relief, np.float32)


def _light(
    layout: Layout,
    view: View,
    x: NDArray[np.float32],
    y: NDArray[np.float32],
    relief: NDArray[np.float32],
    rng: np.random.Generator,
) -> NDArray[np.float32]:
    width, height = layout.size
    angle = rng.uniform(0, 2 * np.pi)
    u, v = x / width - 0.5, y / height - 0.5
    along = math.cos(angle) * u + math.sin(angle) * v
    del relief
    return np.clip(1.0 - view.light * (0.9 * along + 0.5 * (u**2 + v**2)), 0.15, 1.6).astype(np.float32)


def _glare(layout: Layout, view: View, x: NDArray[np.float32], y: NDArray[np.float32]) -> NDArray[np.float32]:
    width, height = layout.size
    u = (x - view.glare_at[0] * width) / (0.16 * width)
    v = (y - view.glare_at[1] * height) / (0.10 * height)
    return (0.9 * view.glare * np.exp(-((u**2 + v**2) ** 1.5))).astype(np.float32)


def _table(
    name: str, shape: tuple[int, int], px_per_mm: float, rng: np.random.Generator
) -> NDArray[np.float32]:
    import cv2

    colours = {"wood": (0.62, 0.50, 0.38), "paper": (0.86, 0.85, 0.83), "cloth": (0.72, 0.70, 0.66)}
    if name not in colours:
        raise UnknownName(f"table {name!r} is not known", name=name, known=colours)
    across, along = (0.4, 6.0) if name == "wood" else (0.3, 0.3)
    grain = cv2.GaussianBlur(
        rng.normal(size=shape).astype(np.float32), (0, 0), along * px_per_mm, sigmaY=across * px_per_mm
    )
    grain /= max(float(grain.std()), 1e-6)
    strength = 0.06 if name == "wood" else 0.02
    return np.asarray(np.asarray(colours[name], np.float32) * (1 + strength * grain)[..., None], np.float32)
