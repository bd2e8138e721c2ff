"""Registration of a photo by its outline, by marked points, by a known length or a pin pitch, each with its uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import (
    BACK,
    FRONT,
    SIDES,
    Points,
    Registration,
    fit_homography,
    straightened,
)
from lidoff.board.outline import Outline
from lidoff.errors import ImpossibleValue

__all__ = [
    "Aspect",
    "aspect_of_outline",
    "check_side",
    "outline_polygon",
    "register_by_outline",
    "register_by_points",
    "rescaled_by_length",
    "rescaled_by_pitch",
]


CLICK_SCATTER = 1.5
"""Standard uncertainty of a careful click [photo pixels]; common practice, no source."""

USUAL_LENS = 0.02
"""Standard deviation of a phone lens's coefficient where nothing tells it; common practice, no source."""

_SHARES = np.linspace(0.0, 1.0, 9)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aspect:
    """Proportions of a rectangle as the photo tells them.

    Attributes
    ----------
    ratio : float
        Width over height.
    uncertainty : float
        Relative standard uncertainty of the ratio.
    """

    ratio: float
    uncertainty: float


def aspect_of_outline(outline: Outline) -> Aspect:
    """Width over height of a rectangular board, from its four corners in one photo.

    Parameters
    ----------
    outline : Outline
        Corners and lens; the camera's axis is taken to meet the middle of the photo.

    Returns
    -------
    Aspect
        From the perspective where it shows the focal length, else from a range of usual focal lengths.

    References
    ----------
    .. [1] Z. Zhang, L.-W. He, *Whiteboard scanning and image enhancement*, Digital Signal Processing 17 (2007),
       eqs. (11) to (21).
    """
    rows, columns = outline.photo_shape
    centre = np.array([(columns - 1) / 2.0, (rows - 1) / 2.0])
    straight = straightened(outline.corners, outline.lens, outline.photo_shape) - centre
    top_left, top_right, low_right, low_left = (np.array([x, y, 1.0]) for x, y in straight)
    across = np.cross(top_left, low_right)
    n_width = (
        float(across @ low_left) / float(np.cross(top_right, low_right) @ low_left) * top_right - top_left
    )
    n_height = (
        float(across @ top_right) / float(np.cross(low_left, low_right) @ top_right) * low_left - top_left
    )
    diagonal = math.hypot(rows, columns)
    usual = np.array([0.6, 0.9, 1.4]) * diagonal
    product = n_width[2] * n_height[2] * diagonal**2
    focal_square = (
        -(n_width[0] * n_height[0] + n_width[1] * n_height[1]) / (n_width[2] * n_height[2])
        if abs(product) > 1e-9
        else -1.0
    )
    guesses = usual
    if (0.4 * diagonal) ** 2 < focal_square < (4.0 * diagonal) ** 2 and abs(product) > 0.003 * diagonal**2:
        guesses = np.array([math.sqrt(focal_square)])
    ratios = np.array(
        [
            math.sqrt(
                (n_width[0] ** 2 + n_width[1] ** 2 + (f * n_width[2]) ** 2)
                / (n_height[0] ** 2 + n_height[1] ** 2 + (f * n_height[2]) ** 2)
            )
            for f in guesses
        ]
    )
    middle = float(np.median(ratios))
    spread = float(np.ptp(ratios)) / middle / 2
    return Aspect(ratio=middle, uncertainty=math.hypot(spread, 0.003))


def register_by_outline(
    outline: Outline,
    *,
    side: str,
    width: float | None = None,
    height: float | None = None,
    quarter_turns: int = 0,
) -> Registration:
    """Registration of a rectangular board from its found outline and one or two known edge lengths.

    Parameters
    ----------
    outline : Outline
        As found, or with corners set by hand.
    side : str
        "front" or "back"; the back is mirrored.
    width, height : float, optional
        Edge lengths of the board [mm], along x and y of the board frame; at least one.
    quarter_turns : int
        How often the photo is turned clockwise by 90° against the board frame.

    Returns
    -------
    Registration
        With the uncertainty that edges and lengths leave.

    Raises
    ------
    ImpossibleValue
        No length, or one that is zero or below.
    """
    check_side(side)
    turned = quarter_turns % 2 == 1
    given = [value for value in (width, height) if value is not None]
    if not given or min(given) <= 0.0:
        raise ImpossibleValue(
            f"board size {width} × {height} mm", remedy="give one known edge length in mm, above zero"
        )
    aspect = aspect_of_outline(outline)
    ratio = 1.0 / aspect.ratio if turned else aspect.ratio
    scale_uncertainty = 0.0
    if width is None or height is None:
        scale_uncertainty = aspect.uncertainty / 2
    wide = width if width is not None else float(height or 0.0) * ratio
    high = height if height is not None else float(width or 0.0) / ratio
    corners = np.array([[0.0, 0.0], [wide, 0.0], [wide, high], [0.0, high]])
    if side == BACK:
        corners = corners[[1, 0, 3, 2]]
    corners = np.roll(corners, quarter_turns, axis=0)
    straight = straightened(outline.corners, outline.lens, outline.photo_shape)
    registration = Registration(
        homography=fit_homography(corners, straight), lens=outline.lens, photo_shape=outline.photo_shape
    )
    pixels = registration.pixels_per_mm((wide / 2, high / 2))
    # A side wall seen beside the edge, or a rounded edge, shifts a whole edge: half a pixel is the least one may claim.
    edge = max(outline.edge_scatter, 0.5) / pixels
    return replace_uncertainty(
        registration,
        math.hypot(edge, scale_uncertainty * math.hypot(wide, high) / 2),
        math.hypot(scale_uncertainty, edge / max(wide, high)),
    )


def replace_uncertainty(registration: Registration, place_mm: float, scale: float) -> Registration:
    """The same registration with other uncertainties (place in [mm], scale relative)."""
    return Registration(
        homography=registration.homography,
        lens=registration.lens,
        photo_shape=registration.photo_shape,
        uncertainty_mm=place_mm,
        scale_uncertainty=scale,
    )


def register_by_points(
    photo_px: Points,
    board_mm: Points,
    *,
    photo_shape: tuple[int, int],
    lens: float | None = None,
) -> Registration:
    """Registration from four or more marked points with known places.

    Parameters
    ----------
    photo_px : ndarray of shape (N, 2)
        Where the points are on the photo, x and y [pixels].
    board_mm : ndarray of shape (N, 2)
        Where they are on the board [mm, board frame]; mirrored marks make a back.
    photo_shape : tuple of int
        Rows and columns of the photo.
    lens : float, optional
        Coefficient of the division model, from an outline of the same photo; None where it is not known.

    Returns
    -------
    Registration
        Least squares; the uncertainty comes from what the points disagree, or from a careful click's scatter, and from what a
        usual lens would bend where it is not known.

    Raises
    ------
    ImpossibleValue
        Fewer than four points, unequal counts, or all on one line.
    """
    photo_px = np.asarray(photo_px, dtype=float).reshape(-1, 2)
    board_mm = np.asarray(board_mm, dtype=float).reshape(-1, 2)
    if len(photo_px) != len(board_mm):
        raise ImpossibleValue(
            f"{len(photo_px)} places on the photo and {len(board_mm)} on the board",
            remedy="give one place on the board for each on the photo",
        )
    registration = _through_points(photo_px, board_mm, photo_shape, lens or 0.0)
    middle = board_mm.mean(axis=0)
    pixels = registration.pixels_per_mm((float(middle[0]), float(middle[1])))
    scatter = CLICK_SCATTER
    if len(photo_px) > 4:
        residual = registration.to_photo(board_mm) - photo_px
        freedom = 2 * len(photo_px) - 8
        scatter = max(math.sqrt(float(np.sum(residual**2)) / freedom), 0.3)
    place = scatter / pixels
    if lens is None:
        bent_alike = _through_points(photo_px, board_mm, photo_shape, USUAL_LENS)
        low, high = board_mm.min(axis=0), board_mm.max(axis=0)
        places = low + (high - low) * np.stack(np.meshgrid(_SHARES, _SHARES), axis=-1).reshape(-1, 2)
        off = registration.to_board(bent_alike.to_photo(places)) - places
        place = math.hypot(place, math.sqrt(float(np.mean(np.sum(off**2, axis=1)))))
    span = float(np.max(np.linalg.norm(board_mm - middle, axis=1))) * 2
    return replace_uncertainty(registration, place, place * math.sqrt(2.0) / span)


def _through_points(
    photo_px: Points, board_mm: Points, photo_shape: tuple[int, int], lens: float
) -> Registration:
    straight = straightened(photo_px, lens, photo_shape)
    return Registration(homography=fit_homography(board_mm, straight), lens=lens, photo_shape=photo_shape)


def rescaled_by_length(
    registration: Registration,
    first_px: Points,
    second_px: Points,
    length: float,
    *,
    uncertainty: float = 0.0,
) -> Registration:
    """Scale a registration so that two clicked places lie a known length apart, as on a ruler.

    Parameters
    ----------
    registration : Registration
        To be scaled.
    first_px, second_px : array-like of two floats
        The places on the photo [pixels].
    length : float
        Their distance [mm].
    uncertainty : float
        Standard uncertainty of that length [mm].

    Returns
    -------
    Registration
        Scaled, with the uncertainty of the clicks and of the length.

    Raises
    ------
    ImpossibleValue
        The length is zero or below, or both places are one.
    """
    places = registration.to_board(np.array([first_px, second_px], dtype=float))
    seen = float(np.linalg.norm(places[1] - places[0]))
    if length <= 0.0 or seen < 1e-6:
        raise ImpossibleValue(
            f"a known length of {length} mm over {seen:.3f} mm", remedy="mark two places apart"
        )
    middle = places.mean(axis=0)
    click = CLICK_SCATTER / registration.pixels_per_mm((float(middle[0]), float(middle[1]))) * math.sqrt(2.0)
    relative = math.hypot(click / seen, uncertainty / length)
    return _scaled(registration, length / seen, relative)


def rescaled_by_pitch(registration: Registration, pins_px: Points, pitch: float) -> Registration:
    """Scale a registration by a row of pins of known pitch.

    Parameters
    ----------
    registration : Registration
        To be scaled.
    pins_px : ndarray of shape (N, 2)
        Consecutive pins of one straight row on the photo [pixels], two or more.
    pitch : float
        Distance of neighbours [mm].

    Returns
    -------
    Registration
        Scaled; the uncertainty follows from the fit of the row.

    Raises
    ------
    ImpossibleValue
        Fewer than two pins, or a pitch of zero or below.
    """
    pins = registration.to_board(np.asarray(pins_px, dtype=float))
    if len(pins) < 2 or pitch <= 0.0:
        raise ImpossibleValue(
            f"{len(pins)} pins of pitch {pitch} mm", remedy="mark two or more pins in a row"
        )
    index = np.arange(len(pins), dtype=float)
    index -= index.mean()
    step = (index @ (pins - pins.mean(axis=0))) / float(index @ index)
    seen = float(np.linalg.norm(step))
    middle = pins.mean(axis=0)
    click = CLICK_SCATTER / registration.pixels_per_mm((float(middle[0]), float(middle[1])))
    rest = pins - pins.mean(axis=0) - index[:, None] * step
    scatter = max(click, math.sqrt(float(np.sum(rest**2)) / max(2 * len(pins) - 4, 1)))
    relative = scatter / math.sqrt(float(index @ index)) / seen
    return _scaled(registration, pitch / seen, relative)


def _scaled(registration: Registration, factor: float, relative: float) -> Registration:
    shrink = np.diag([1.0 / factor, 1.0 / factor, 1.0])
    return Registration(
        homography=registration.homography @ shrink,
        lens=registration.lens,
        photo_shape=registration.photo_shape,
        uncertainty_mm=registration.uncertainty_mm * factor,
        scale_uncertainty=relative,
    )


def outline_polygon(outline: Outline, registration: Registration, *, tolerance: float = 0.4) -> Points:
    """Board's shape in the board frame, for boards that are no rectangle.

    Parameters
    ----------
    outline : Outline
        With its contour.
    registration : Registration
        Of the same photo.
    tolerance : float
        Largest deviation of the simplified polygon [mm].

    Returns
    -------
    ndarray of shape (N, 2)
        Corners [mm]; the four main corners where the contour fills them to 1.5 per cent.
    """
    if abs(outline.filled - 1.0) < 0.015:
        return registration.to_board(outline.corners)
    from shapely.geometry import Polygon

    contour = registration.to_board(outline.polygon)
    simple = Polygon(contour).buffer(0).simplify(tolerance)
    if simple.geom_type != "Polygon":
        simple = max(simple.geoms, key=lambda part: part.area)
    return np.asarray(simple.exterior.coords[:-1], dtype=float)


def corrected(registration: Registration, correction: NDArray[np.float64]) -> Registration:
    """Registration after the board frame was moved by a homography of old into new millimetres."""
    return Registration(
        homography=registration.homography @ np.linalg.inv(correction),
        lens=registration.lens,
        photo_shape=registration.photo_shape,
        uncertainty_mm=registration.uncertainty_mm,
        scale_uncertainty=registration.scale_uncertainty,
    )


def check_side(side: str) -> None:
    """Refuse a side that is none."""
    if side not in SIDES:
        raise ImpossibleValue(f"side {side!r}", remedy=f"one of {FRONT}, {BACK}")
