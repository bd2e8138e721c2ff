"""A real board's photo moved onto its fabrication files by its lands, so that copper can be compared pixel by pixel.

Every land of the files is looked for near the place where the photo should show it, and the camera (plane and lens) is
fitted to the places found. What was found is the lands alone: no track takes part, for tracks are what is compared.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board import Hole, Pad, Registration, rectify, register_by_points

RASTER = 20.0
"""Raster on which lands are looked for [px/mm]."""
REACH_MM = (1.2, 0.3, 0.3)
"""How far from where they should be lands are looked for, first and again [mm]; our choice."""
AROUND_MM = 0.3
"""What is looked at round a land [mm]; our choice."""
LIKE = 0.6
"""Least correlation with a land's shape; our choice."""
TRUSTED_MM = 0.15
"""How far a land may lie from the plane of the others and still count [mm]; our choice."""
LARGEST_MM = 5.0
"""Larger lands reach over too much else [mm]; our choice."""
FEWEST = 12
"""Fewer lands do not tell a plane and a lens; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A registration moved onto lands or holes; distances are medians, before and after."""

    registration: Registration
    pairs: int
    before_mm: float
    residual_mm: float


def onto_lands(
    photo: NDArray[np.uint8],
    registration: Registration,
    *,
    side: str,
    size: tuple[float, float],
    pads: Sequence[Pad],
    holes: Sequence[Hole],
) -> Moved | None:
    """The registration under which lands lie where the fabrication files have them; None where too few are seen."""
    lands = [pad for pad in pads if pad.side == side and max(pad.size) <= LARGEST_MM]
    drawn = np.array([pad.at for pad in lands]).reshape(-1, 2)
    current = registration
    apart: list[float] = []
    for reach in REACH_MM:
        found = _seen(lands, holes, photo, current, side=side, size=size, reach=reach)
        made_out = np.array([at is not None for at in found], bool)
        if made_out.sum() < FEWEST:
            return None
        places, seen = drawn[made_out], np.array([at for at in found if at is not None])
        apart.append(float(np.median(np.linalg.norm(seen - places, axis=1))))
        trusted = _on_one_plane(places, seen)
        if trusted.sum() < FEWEST:
            return None
        places, shown = places[trusted], current.to_photo(seen[trusted])
        current = _camera(places, shown, current)
    left = np.linalg.norm(current.to_board(shown) - places, axis=1)
    return Moved(
        registration=current, pairs=len(places), before_mm=apart[0], residual_mm=float(np.median(left))
    )


def as_seen_on(
    pads: Sequence[Pad],
    holes: Sequence[Hole],
    photo: NDArray[np.uint8],
    registration: Registration,
    *,
    side: str,
    size: tuple[float, float],
) -> list[Pad]:
    """Lands of a side where the photo shows them, for that is where a person clicks; as drawn where too few are made out."""
    drawn = [pad for pad in pads if pad.side == side]
    places = _seen(drawn, holes, photo, registration, side=side, size=size, reach=REACH_MM[-1])
    if sum(at is not None for at in places) < FEWEST:
        return drawn
    return [pad if at is None else replace(pad, at=at) for pad, at in zip(drawn, places, strict=True)]


def _seen(
    lands: Sequence[Pad],
    holes: Sequence[Hole],
    photo: NDArray[np.uint8],
    registration: Registration,
    *,
    side: str,
    size: tuple[float, float],
    reach: float,
) -> list[tuple[float, float] | None]:
    """Where each land is seen, in mm of the board; None where it is not made out."""
    flat = rectify(photo, registration, side=side, size=size, px_per_mm=RASTER)
    return [_seen_at(flat.picture, flat.px_per_mm, pad, holes, reach) for pad in lands]


def _seen_at(
    picture: NDArray[np.uint8], scale: float, pad: Pad, holes: Sequence[Hole], reach: float
) -> tuple[float, float] | None:
    """Where a land's shape fits the picture best, in mm of the board."""
    import cv2

    half = np.array(pad.size) / 2 + AROUND_MM
    middle = np.array(pad.at) * scale - 0.5
    inner, outer = np.ceil(half * scale).astype(int), np.ceil((half + reach) * scale).astype(int)
    corner = np.round(middle).astype(int) - outer
    last = corner + 2 * outer + 1
    if np.any(corner < 0) or last[0] > picture.shape[1] or last[1] > picture.shape[0]:
        return None
    window = picture[corner[1] : last[1], corner[0] : last[0]]
    lab = cv2.cvtColor(window.astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB)
    unlike = np.linalg.norm(lab - np.median(lab.reshape(-1, 3), axis=0), axis=2).astype(np.float32)
    y, x = np.mgrid[-inner[1] : inner[1] + 1, -inner[0] : inner[0] + 1] / scale
    w, h = np.array(pad.size) / 2
    land = np.hypot(x / w, y / h) <= 1.0 if pad.round else (np.abs(x) <= w) & (np.abs(y) <= h)
    counted = np.ones(land.shape, bool)
    for hole in holes:
        if np.hypot(hole.at[0] - pad.at[0], hole.at[1] - pad.at[1]) < 0.1:
            counted = np.hypot(x, y) > hole.diameter / 2
    fit = cv2.matchTemplate(
        unlike, land.astype(np.float32), cv2.TM_CCOEFF_NORMED, mask=counted.astype(np.float32)
    )
    fit = np.nan_to_num(fit, nan=-1.0, posinf=-1.0, neginf=-1.0)
    row, column = np.unravel_index(int(np.argmax(fit)), fit.shape)
    if fit[row, column] < LIKE or not (0 < row < fit.shape[0] - 1 and 0 < column < fit.shape[1] - 1):
        return None
    fine = [_peak(fit[row, column - 1 : column + 2]), _peak(fit[row - 1 : row + 2, column])]
    x_px, y_px = corner + inner + np.array([column + fine[0], row + fine[1]])
    off = np.round(middle) - middle  # the shape was drawn round a whole pixel
    return float((x_px + 0.5 - off[0]) / scale), float((y_px + 0.5 - off[1]) / scale)


def _peak(three: NDArray[np.float32]) -> float:
    """Where a parabola through three values has its top."""
    bend = float(three[0] - 2 * three[1] + three[2])
    return 0.0 if bend >= 0 else float(np.clip(0.5 * (three[0] - three[2]) / bend, -0.5, 0.5))


def _on_one_plane(places: NDArray[np.float64], seen: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Pairs that one plane holds."""
    import cv2

    cv2.setRNGSeed(1)
    _, kept = cv2.findHomography(places, seen, cv2.RANSAC, TRUSTED_MM, maxIters=5000)
    return np.asarray(kept.ravel() > 0 if kept is not None else np.zeros(len(places), bool))


def _camera(places: NDArray[np.float64], photo_px: NDArray[np.float64], start: Registration) -> Registration:
    """Plane and lens fitted to places on the board and in the photo by robust least squares."""
    from scipy.optimize import least_squares

    shape = start.photo_shape
    plane = register_by_points(photo_px, places, photo_shape=shape, lens=start.lens)
    per_mm = plane.pixels_per_mm((float(places[:, 0].mean()), float(places[:, 1].mean())))

    def camera(values: NDArray[np.float64]) -> Registration:
        matrix = np.append(values[:8], 1.0).reshape(3, 3)
        return Registration(homography=matrix, lens=float(values[8]), photo_shape=shape)

    def off(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.asarray(((camera(values).to_photo(places) - photo_px) / per_mm).ravel())

    begin = np.append(plane.homography.ravel()[:8], start.lens)
    fitted = least_squares(off, begin, loss="soft_l1", f_scale=0.03, x_scale="jac")
    return camera(fitted.x)
