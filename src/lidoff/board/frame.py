"""The board frame and how a photo shows it.

One frame serves both sides: millimetres, x to the right and y down as seen from the **front**, origin at the outline's
upper left corner. The back is described in the same frame, as though one looked through the board, so that a hole has
one place. A `Registration` leads from that frame to the pixels of one photo and back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue

__all__ = [
    "BACK",
    "FRONT",
    "SIDES",
    "Points",
    "Registration",
    "apply_homography",
    "bent",
    "fit_homography",
    "straightened",
]

Points = NDArray[np.float64]

FRONT = "front"
BACK = "back"
SIDES = (FRONT, BACK)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Registration:
    """How one photo shows the board frame.

    Parameters
    ----------
    homography : ndarray of shape (3, 3)
        From board millimetres to straightened pixels (the photo without lens distortion).
    lens : float
        Coefficient of the division model, for radii in units of half the photo's diagonal; above zero for a barrel.
    photo_shape : tuple of int
        Rows and columns of the upright photo.
    uncertainty_mm : float
        Standard uncertainty of a place on the board [mm].
    scale_uncertainty : float
        Relative standard uncertainty of every length.
    """

    homography: NDArray[np.float64]
    lens: float = 0.0
    photo_shape: tuple[int, int]
    uncertainty_mm: float = 0.0
    scale_uncertainty: float = 0.0
    inverse: NDArray[np.float64] = field(init=False)

    def __post_init__(self) -> None:
        """Keep the arrays from changing, and the way back beside the way there."""
        matrix = np.asarray(self.homography, dtype=float)
        if abs(np.linalg.det(matrix)) < 1e-15:
            raise ImpossibleValue(
                "the marked points lie on one line", remedy="mark four corners that span the board"
            )
        matrix = matrix / matrix[2, 2]
        back = np.linalg.inv(matrix)
        matrix.setflags(write=False)
        back.setflags(write=False)
        object.__setattr__(self, "homography", matrix)
        object.__setattr__(self, "inverse", back)

    def to_photo(self, board_mm: Points) -> Points:
        """Pixels (x, y) of places on the board; arrays of shape (N, 2)."""
        return bent(apply_homography(self.homography, board_mm), self.lens, self.photo_shape)

    def to_board(self, photo_px: Points) -> Points:
        """Places on the board [mm] of pixels (x, y); arrays of shape (N, 2)."""
        return apply_homography(self.inverse, straightened(photo_px, self.lens, self.photo_shape))

    def pixels_per_mm(self, at_mm: tuple[float, float]) -> float:
        """Pixels of the photo per millimetre of board at a place (geometric mean of both directions)."""
        step = 0.05
        x, y = at_mm
        points = self.to_photo(np.array([[x, y], [x + step, y], [x, y + step]]))
        a, b = points[1] - points[0], points[2] - points[0]
        return math.sqrt(abs(float(a[0] * b[1] - a[1] * b[0]))) / step


def apply_homography(matrix: NDArray[np.float64], points: Points) -> Points:
    """Points of shape (N, 2) after a homography of shape (3, 3)."""
    points = np.asarray(points, dtype=float).reshape(-1, 2)
    homogeneous = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:3])


def _lens_frame(shape: tuple[int, int]) -> tuple[NDArray[np.float64], float]:
    centre = np.array([(shape[1] - 1) / 2.0, (shape[0] - 1) / 2.0])
    return centre, math.hypot(shape[0], shape[1]) / 2.0


def straightened(points: Points, lens: float, shape: tuple[int, int]) -> Points:
    """Pixels as a lens without distortion would have shown them.

    Parameters
    ----------
    points : ndarray of shape (N, 2)
        Pixels (x, y) of the photo.
    lens : float
        Coefficient of the division model; radii are in half diagonals.
    shape : tuple of int
        Rows and columns of the photo.

    Returns
    -------
    ndarray of shape (N, 2)
        Straightened pixels.

    References
    ----------
    .. [1] A. Fitzgibbon, *Simultaneous linear estimation of multiple view geometry and lens distortion*, CVPR 2001,
       the one-parameter division model.
    """
    points = np.asarray(points, dtype=float).reshape(-1, 2)
    if lens == 0.0:
        return points
    centre, radius = _lens_frame(shape)
    offset = (points - centre) / radius
    square = np.sum(offset**2, axis=1, keepdims=True)
    return np.asarray(centre + radius * offset / (1.0 + lens * square))


def bent(points: Points, lens: float, shape: tuple[int, int]) -> Points:
    """Inverse of `straightened`: where the lens put straightened pixels; arrays of shape (N, 2)."""
    points = np.asarray(points, dtype=float).reshape(-1, 2)
    if lens == 0.0:
        return points
    centre, radius = _lens_frame(shape)
    offset = (points - centre) / radius
    square = np.sum(offset**2, axis=1, keepdims=True)
    # The closed inverse: r_d = (1 − √(1 − 4·λ·r_u²)) / (2·λ·r_u), written so that it is exact at r_u = 0.
    root = np.sqrt(np.maximum(1.0 - 4.0 * lens * square, 0.0))
    return np.asarray(centre + radius * offset * 2.0 / (1.0 + root))


def fit_homography(
    source: Points, target: Points, weights: NDArray[np.float64] | None = None
) -> NDArray[np.float64]:
    """Homography that carries `source` onto `target` by least squares.

    Parameters
    ----------
    source, target : ndarray of shape (N, 2)
        Matching places, four or more, not all on one line.
    weights : ndarray of shape (N,), optional
        Weight of each pair; equal where None.

    Returns
    -------
    ndarray of shape (3, 3)
        Scaled so that its last element is one.

    Raises
    ------
    ImpossibleValue
        Fewer than four pairs.

    References
    ----------
    .. [1] R. Hartley, A. Zisserman, *Multiple View Geometry in Computer Vision*, 2nd ed., 2004, algorithm 4.2
       (normalised direct linear transformation).
    """
    source = np.asarray(source, dtype=float).reshape(-1, 2)
    target = np.asarray(target, dtype=float).reshape(-1, 2)
    if len(source) < 4:
        raise ImpossibleValue(
            f"{len(source)} marked points are too few",
            remedy="mark four or more points spread over the board",
        )
    to_unit_source, to_unit_target = _normaliser(source), _normaliser(target)
    a = apply_homography(to_unit_source, source)
    b = apply_homography(to_unit_target, target)
    zeros, ones = np.zeros(len(a)), np.ones(len(a))
    x, y, u, v = a[:, 0], a[:, 1], b[:, 0], b[:, 1]
    rows_x = np.stack([x, y, ones, zeros, zeros, zeros, -u * x, -u * y, -u], axis=1)
    rows_y = np.stack([zeros, zeros, zeros, x, y, ones, -v * x, -v * y, -v], axis=1)
    if weights is not None:
        scale = np.sqrt(np.asarray(weights, dtype=float))[:, None]
        rows_x, rows_y = rows_x * scale, rows_y * scale
    _, _, right = np.linalg.svd(np.concatenate([rows_x, rows_y]))
    unit = right[-1].reshape(3, 3)
    matrix = np.linalg.inv(to_unit_target) @ unit @ to_unit_source
    return np.asarray(matrix / matrix[2, 2])


def _normaliser(points: Points) -> NDArray[np.float64]:
    centre = points.mean(axis=0)
    spread = float(np.mean(np.linalg.norm(points - centre, axis=1))) or 1.0
    scale = math.sqrt(2.0) / spread
    return np.array([[scale, 0.0, -scale * centre[0]], [0.0, scale, -scale * centre[1]], [0.0, 0.0, 1.0]])
