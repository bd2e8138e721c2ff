"""Light and several shots: flat field, glare-free composite of shots under moved light, mosaic of close-ups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import Points, apply_homography
from lidoff.errors import ImpossibleValue

__all__ = ["Mosaic", "aligned_to", "flat_field", "glare_free", "mosaic"]

Picture = NDArray[np.uint8]


def flat_field(picture: Picture, *, share: float = 0.12) -> Picture:
    """Picture in even light, for the eye.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        sRGB.
    share : float
        Scale of the light's changes as share of the longer edge.

    Returns
    -------
    ndarray of shape (H, W, 3)
        Divided by a broad average of its lightness; colours keep their proportion.
    """
    import cv2

    sigma = share * max(picture.shape[:2])
    step = max(1, int(sigma / 8))
    grey = picture.mean(axis=2, dtype=np.float32)
    size = (max(grey.shape[1] // step, 4), max(grey.shape[0] // step, 4))
    small = cv2.GaussianBlur(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), (0, 0), sigma / step)
    light = cv2.resize(small, (grey.shape[1], grey.shape[0]), interpolation=cv2.INTER_LINEAR)
    gain = float(np.median(light)) / np.maximum(light, 1.0)
    return np.asarray(np.clip(picture * gain[..., None], 0, 255), np.uint8)


def _matches(moving: Picture, fixed: Picture, longest: int = 1400) -> tuple[Points, Points]:
    """Matching places (x, y) of two pictures, from scale-invariant features and a robust homography.

    References
    ----------
    .. [1] D. Lowe, *Distinctive image features from scale-invariant keypoints*, IJCV 60 (2004).
    """
    import cv2

    found = []
    for picture in (moving, fixed):
        scale = min(1.0, longest / max(picture.shape[:2]))
        size = (round(picture.shape[1] * scale), round(picture.shape[0] * scale))
        grey = cv2.cvtColor(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), cv2.COLOR_RGB2GRAY)
        grey = cv2.createCLAHE(2.0, (8, 8)).apply(grey)
        keys, values = cv2.SIFT.create(nfeatures=4000).detectAndCompute(grey, None)
        places = np.array([key.pt for key in keys], dtype=float).reshape(-1, 2)
        found.append(((places + 0.5) / scale - 0.5, values))
    (a, da), (b, db) = found
    if da is None or db is None or len(da) < 8 or len(db) < 8:
        return np.empty((0, 2)), np.empty((0, 2))
    pairs = [
        m[0]
        for m in cv2.BFMatcher().knnMatch(da, db, k=2)
        if len(m) == 2 and m[0].distance < 0.8 * m[1].distance
    ]
    if len(pairs) < 8:
        return np.empty((0, 2)), np.empty((0, 2))
    source = a[[m.queryIdx for m in pairs]]
    target = b[[m.trainIdx for m in pairs]]
    cv2.setRNGSeed(1)
    _, good = cv2.findHomography(source, target, cv2.USAC_MAGSAC, 2.5, maxIters=5000, confidence=0.999)
    if good is None or int(good.sum()) < 8:
        return np.empty((0, 2)), np.empty((0, 2))
    keep = good.ravel() > 0
    return source[keep], target[keep]


def aligned_to(moving: Picture, fixed: Picture) -> NDArray[np.float64]:
    """Homography that carries one shot onto another of the same side.

    Parameters
    ----------
    moving, fixed : ndarray of shape (H, W, 3)
        The shots.

    Returns
    -------
    ndarray of shape (3, 3)
        From pixels of `moving` to pixels of `fixed`.

    Raises
    ------
    ImpossibleValue
        Too few places match.
    """
    from lidoff.board.frame import fit_homography

    source, target = _matches(moving, fixed)
    if len(source) < 8:
        raise ImpossibleValue(
            f"only {len(source)} places match between the two shots", remedy="mark four common points by hand"
        )
    return fit_homography(source, target)


def glare_free(shots: Sequence[Picture], *, align: bool = True) -> Picture:
    """One picture from several shots under moved light.

    Parameters
    ----------
    shots : sequence of ndarrays of shape (H, W, 3)
        The same side; the first sets the frame.
    align : bool
        Whether the others are carried onto the first; False where the camera stood still.

    Returns
    -------
    ndarray of shape (H, W, 3)
        Each pixel from the shots that have no glare there.

    Raises
    ------
    ImpossibleValue
        Fewer than two shots.

    Notes
    -----
    Glare only adds light, so the weight of a shot falls with how far it lies above the darkest of the evened shots, over a
    neighbourhood that is larger than grain and smaller than glare.
    """
    import cv2

    if len(shots) < 2:
        raise ImpossibleValue(f"{len(shots)} shot", remedy="take two or more with the lamp moved in between")
    first = shots[0]
    rows, columns = first.shape[:2]
    levels: list[NDArray[np.float32]] = [first.astype(np.float32)]
    seen: list[NDArray[np.float32]] = [np.ones((rows, columns), np.float32)]
    for shot in shots[1:]:
        if align:
            matrix = aligned_to(shot, first)
            levels.append(cv2.warpPerspective(shot, matrix, (columns, rows)).astype(np.float32))
            cover = np.ones(shot.shape[:2], np.float32)
            seen.append(cv2.warpPerspective(cover, matrix, (columns, rows)))
        else:
            levels.append(shot.astype(np.float32))
            seen.append(np.ones((rows, columns), np.float32))
    everywhere = np.min(seen, axis=0) > 0.99
    usual = float(np.median(levels[0][everywhere])) if np.any(everywhere) else 1.0
    evened: list[NDArray[np.float32]] = [
        level * (usual / max(float(np.median(level[everywhere])), 1.0)) for level in levels
    ]
    sigma = 0.008 * max(rows, columns)
    smooth = [cv2.GaussianBlur(level.max(axis=2), (0, 0), sigma) for level in evened]
    lowest = np.min(
        [np.where(cover > 0.99, s, np.inf) for s, cover in zip(smooth, seen, strict=True)], axis=0
    )
    weights = []
    for s, cover in zip(smooth, seen, strict=True):
        excess = np.clip(s - lowest, 0, None) / np.maximum(lowest, 8.0)
        weights.append(np.exp(-((excess / 0.06) ** 2)) * (cover > 0.99) + 1e-6)
    total = np.sum(np.stack(weights), axis=0)
    mixed: NDArray[np.float32] = np.zeros(first.shape, np.float32)
    for level, weight in zip(evened, weights, strict=True):
        mixed += level * (weight / total)[..., None]
    return np.asarray(np.clip(np.round(mixed), 0, 255), np.uint8)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mosaic:
    """Close-ups in one frame.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        The whole.
    seen : ndarray of shape (H, W)
        True where a close-up shows it.
    homographies : tuple of ndarrays of shape (3, 3)
        From pixels of each close-up to the mosaic.
    residual : float
        Root mean square distance of matching places after the adjustment [mosaic pixels].
    """

    picture: Picture
    seen: NDArray[np.bool_]
    homographies: tuple[NDArray[np.float64], ...]
    residual: float


def mosaic(shots: Sequence[Picture], overview: Picture, *, scale: float = 2.0) -> Mosaic:
    """Close-ups joined by one global adjustment, held to an overview.

    Parameters
    ----------
    shots : sequence of ndarrays of shape (h, w, 3)
        Close-ups that overlap.
    overview : ndarray of shape (H, W, 3)
        A photo of the whole side, which sets the frame and keeps errors from adding up.
    scale : float
        Pixels of the mosaic per pixel of the overview.

    Returns
    -------
    Mosaic
        All homographies are fitted together, on matches between close-ups and with the overview.

    Raises
    ------
    ImpossibleValue
        A close-up matches nothing.
    """
    import cv2

    enlarge = np.diag([scale, scale, 1.0])
    starts, ties = [], []
    for number, shot in enumerate(shots):
        source, target = _matches(shot, overview)
        if len(source) < 8:
            raise ImpossibleValue(
                f"close-up {number + 1} matches the overview in only {len(source)} places",
                remedy="take it from less near, or mark common points by hand",
            )
        from lidoff.board.frame import fit_homography

        starts.append(fit_homography(source, target * scale))
        step = max(1, len(source) // 150)
        ties.append((number, -1, source[::step], target[::step] * scale))
    for i in range(len(shots)):
        for j in range(i + 1, len(shots)):
            source, target = _matches(shots[i], shots[j])
            if len(source) >= 12:
                step = max(1, len(source) // 150)
                ties.append((i, j, source[::step], target[::step]))
    matrices, residual = _adjusted(starts, ties)
    size = (round(overview.shape[1] * scale), round(overview.shape[0] * scale))
    base = cv2.warpPerspective(overview, enlarge, size, flags=cv2.INTER_CUBIC).astype(np.float32)
    total = np.zeros((size[1], size[0]), np.float32)
    mixed = np.zeros((size[1], size[0], 3), np.float32)
    for shot, matrix in zip(shots, matrices, strict=True):
        # Weights fall to nothing at a close-up's rim, so that no seam shows.
        rim = np.zeros(shot.shape[:2], np.uint8)
        rim[1:-1, 1:-1] = 1
        feather = cv2.distanceTransform(rim, cv2.DIST_L2, 3)
        weight = cv2.warpPerspective(feather, matrix, size)
        moved = cv2.warpPerspective(shot, matrix, size).astype(np.float32)
        here = weight > 0
        if np.any(here):
            gain = float(np.median(base[here])) / max(float(np.median(moved[here])), 1.0)
            mixed += moved * gain * weight[..., None]
            total += weight
    seen = total > 0
    picture = np.where(seen[..., None], mixed / np.maximum(total, 1e-6)[..., None], base)
    return Mosaic(
        picture=np.clip(np.round(picture), 0, 255).astype(np.uint8),
        seen=seen,
        homographies=tuple(matrices),
        residual=residual,
    )


_Tie = tuple[int, int, Points, Points]


def _adjusted(
    starts: Sequence[NDArray[np.float64]], ties: Sequence[_Tie]
) -> tuple[list[NDArray[np.float64]], float]:
    """Least squares over all homographies at once, with a soft loss against wrong matches."""
    from scipy.optimize import least_squares

    units = [np.abs(matrix) + 1e-9 for matrix in starts]

    def unpack(parameters: NDArray[np.float64]) -> list[NDArray[np.float64]]:
        matrices = []
        for number, start in enumerate(starts):
            change = np.append(parameters[8 * number : 8 * number + 8], 0.0).reshape(3, 3)
            matrices.append(start + change * units[number])
        return matrices

    def residuals(parameters: NDArray[np.float64]) -> NDArray[np.float64]:
        matrices = unpack(parameters)
        rows = []
        for i, j, source, target in ties:
            goal = target if j < 0 else apply_homography(matrices[j], target)
            rows.append((apply_homography(matrices[i], source) - goal).ravel())
        return np.concatenate(rows)

    fitted = least_squares(
        residuals, np.zeros(8 * len(starts)), loss="soft_l1", f_scale=1.5, x_scale="jac", max_nfev=60
    )
    left = residuals(fitted.x).reshape(-1, 2)
    return unpack(fitted.x), float(np.sqrt(np.mean(np.sum(left**2, axis=1))))
