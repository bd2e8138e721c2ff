"""Back onto front: round spots of both sides matched in the mirrored frame, refined by robust least squares."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.frame import Points, Registration, apply_homography, fit_homography
from lidoff.board.holes import RoundSpot
from lidoff.board.register import corrected
from lidoff.errors import ImpossibleValue

__all__ = ["UNTOLD", "Alignment", "HolePair", "align_back", "pick_turn", "unaligned"]

LEAST_PAIRS = 3
"""Found pairs below which the outline's registration stays as it is."""

MANUAL_WEIGHT = 400.0
"""Weight of a pair set by hand against a found one: its error counts twenty times, so that hands win."""

UNTOLD = "the holes of both sides do not tell which way up the back lies"

_HOLES_MM = 0.04  # how far holes of both sides are apart, as registered and found [mm]; our choice
_WITHIN_MM = 0.35  # how far apart round marks may be to make a pair [mm]
_PLAIN, _BETTER = (
    3.0,
    1.2,
)  # logarithm of a ratio of twenty to one; by which share more a turn has to be supported


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePair:
    """One hole seen on both sides [mm]; `residual` is the distance that is left after the alignment."""

    front: tuple[float, float]
    back: tuple[float, float]
    residual: float
    manual: bool = False
    diameter: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Alignment:
    """Back carried onto front.

    Parameters
    ----------
    registration : Registration
        Of the back's photo, corrected.
    pairs : tuple of HolePair
        The pairs that hold, best first.
    model : str
        What was fitted: "none", "shift", "similarity", "affine" or "homography".
    median_mm : float
        Median of the residuals [mm]; NaN is never used: zero pairs give infinity.
    correction : ndarray of shape (3, 3)
        From old to new board millimetres of the back.
    """

    registration: Registration
    pairs: tuple[HolePair, ...]
    model: str
    median_mm: float
    correction: NDArray[np.float64]


def align_back(
    front: Sequence[RoundSpot],
    back: Sequence[RoundSpot],
    registration: Registration,
    *,
    manual: Sequence[tuple[tuple[float, float], tuple[float, float]]] = (),
    reach: float = 1.5,
) -> Alignment:
    """Refine the back's registration so that holes of both sides coincide.

    Parameters
    ----------
    front, back : sequence of RoundSpot
        Spots of both sides, in the board frame as registered so far.
    registration : Registration
        Of the back's photo.
    manual : sequence of pairs of places
        Pairs (front, back) set by hand [mm]; they outweigh the found ones.
    reach : float
        How far the first registration may be off [mm].

    Returns
    -------
    Alignment
        With the residual of every pair.

    Notes
    -----
    Nearest neighbours both ways under a shrinking reach, a model no richer than the pairs can carry, and Tukey weights.

    References
    ----------
    .. [1] P. Besl, N. McKay, *A method for registration of 3-D shapes*, IEEE PAMI 14 (1992), in the plane.
    """
    a = np.array([spot.at for spot in front], dtype=float).reshape(-1, 2)
    b = np.array([spot.at for spot in back], dtype=float).reshape(-1, 2)
    size_a = np.array([spot.diameter for spot in front])
    size_b = np.array([spot.diameter for spot in back])
    hand_a = np.array([pair[0] for pair in manual], dtype=float).reshape(-1, 2)
    hand_b = np.array([pair[1] for pair in manual], dtype=float).reshape(-1, 2)
    correction, model = np.eye(3), "none"
    if len(hand_a):
        correction, model = _fit(hand_b, hand_a, np.ones(len(hand_a)))
    elif len(a) and len(b):
        correction = _best_shift(a, b, size_a, size_b, reach)
    final = 0.2
    for limit in np.geomspace(max(reach * 0.4, final), final, 8):
        source, target, weights = _pairs(a, b, size_a, size_b, correction, float(limit))
        source = np.concatenate([source, hand_b])
        target = np.concatenate([target, hand_a])
        weights = np.concatenate([weights, np.full(len(hand_a), MANUAL_WEIGHT)])
        if len(hand_a) == 0 and len(source) < LEAST_PAIRS:
            # Two spots that fall together by chance must not move a frame that the outline has set well.
            correction, model = np.eye(3), "none"
            break
        correction, model = _fit(source, target, weights)
    source, target, _ = _pairs(a, b, size_a, size_b, correction, _WITHIN_MM)
    residual = np.linalg.norm(apply_homography(correction, source) - target, axis=1)
    by_place = {(round(spot.at[0], 9), round(spot.at[1], 9)): spot.diameter for spot in front}
    pairs = [
        HolePair(
            front=(float(t[0]), float(t[1])),
            back=(float(s[0]), float(s[1])),
            residual=float(r),
            diameter=by_place.get((round(float(t[0]), 9), round(float(t[1]), 9)), 0.0),
        )
        for s, t, r in zip(source, target, residual, strict=True)
    ]
    if len(hand_a):
        left = np.linalg.norm(apply_homography(correction, hand_b) - hand_a, axis=1)
        pairs += [
            HolePair(
                front=(float(t[0]), float(t[1])),
                back=(float(s[0]), float(s[1])),
                residual=float(r),
                manual=True,
            )
            for s, t, r in zip(hand_b, hand_a, left, strict=True)
        ]
    median = float(np.median([pair.residual for pair in pairs])) if pairs else math.inf
    return Alignment(
        registration=corrected(registration, correction),
        pairs=tuple(sorted(pairs, key=lambda pair: (pair.residual, pair.front))),
        model=model,
        median_mm=median,
        correction=correction,
    )


def unaligned(registration: Registration) -> Alignment:
    """Alignment without a pair: the registration stays as it is."""
    return Alignment(
        registration=registration, pairs=(), model="none", median_mm=math.inf, correction=np.eye(3)
    )


def pick_turn(alignments: Sequence[Alignment]) -> int:
    """Which of several tried turns of the back is right, by how well the holes of both sides coincide.

    Parameters
    ----------
    alignments : sequence of Alignment
        One for each turn tried, in order.

    Returns
    -------
    int
        Index of the best.

    Raises
    ------
    ImpossibleValue
        Two turns fit about equally well, or none fits: only a hand can tell.

    Notes
    -----
    The ratio of likelihoods for the residuals of a turn's pairs, half of them holes drilled once and half round marks that meet
    by chance, to all of them meeting by chance: those lie anywhere within reach alike, so that many loose pairs tell less than
    few close ones.
    """
    told = [_support(alignment) for alignment in alignments]
    order = np.argsort(told)[::-1]
    best = told[order[0]]
    if best < _PLAIN:
        raise ImpossibleValue(
            UNTOLD,
            remedy="mark one hole on both sides by hand",
        )
    if len(told) > 1 and best < _BETTER * told[order[1]] + _PLAIN:
        listed = ", ".join(str(sum(pair.residual < 0.1 for pair in one.pairs)) for one in alignments)
        raise ImpossibleValue(
            f"the back fits in more than one turn (holes that coincide: {listed})",
            remedy="mark one hole on both sides by hand",
        )
    return int(order[0])


def _support(alignment: Alignment) -> float:
    """Logarithm of how much likelier a turn's pairs are with holes among them than by chance alone."""
    off = np.array([pair.residual for pair in alignment.pairs])
    hole = np.exp(-((off / _HOLES_MM) ** 2) / 2.0) * (_WITHIN_MM / _HOLES_MM) ** 2 / 2.0
    return float(np.sum(np.log((1.0 + hole) / 2.0)))


def _similar(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.bool_]:
    return np.asarray(np.abs(np.log(one / other)) < 0.45)


def _best_shift(
    a: Points, b: Points, size_a: NDArray[np.float64], size_b: NDArray[np.float64], reach: float
) -> NDArray[np.float64]:
    """Shift that brings the most spots of like size together: the fullest cell of a histogram of differences."""
    from scipy.spatial import cKDTree

    near = cKDTree(b).query_ball_tree(cKDTree(a), reach)
    shifts = [
        a[i] - b[j]
        for j, group in enumerate(near)
        for i in group
        if _similar(size_a[i : i + 1], size_b[j : j + 1])[0]
    ]
    if not shifts:
        return np.eye(3)
    array = np.array(shifts)
    counts = cKDTree(array).query_ball_point(array, 0.3, return_length=True)
    best = array[int(np.argmax(counts))]
    together = array[np.linalg.norm(array - best, axis=1) < 0.3]
    matrix = np.eye(3)
    matrix[:2, 2] = together.mean(axis=0)
    return matrix


def _pairs(
    a: Points,
    b: Points,
    size_a: NDArray[np.float64],
    size_b: NDArray[np.float64],
    correction: NDArray[np.float64],
    limit: float,
) -> tuple[Points, Points, NDArray[np.float64]]:
    """Mutual nearest spots within a limit, with Tukey weights."""
    from scipy.spatial import cKDTree

    nothing = np.empty((0, 2)), np.empty((0, 2)), np.empty(0)
    if len(a) == 0 or len(b) == 0:
        return nothing
    moved = apply_homography(correction, b)
    found_a, found_b = cKDTree(a).query(moved), cKDTree(moved).query(a)
    distance, to_a, to_b = np.asarray(found_a[0]), np.asarray(found_a[1]), np.asarray(found_b[1])
    index = np.arange(len(b))
    good = (to_b[to_a] == index) & (distance < limit) & _similar(size_a[to_a], size_b)
    weights = (1 - (distance[good] / limit) ** 2) ** 2
    return b[good], a[to_a[good]], weights


def _fit(source: Points, target: Points, weights: NDArray[np.float64]) -> tuple[NDArray[np.float64], str]:
    """Richest model that the pairs carry; the weights are those of least squares."""
    count = len(source)
    spread = float(np.linalg.norm(np.ptp(source, axis=0)))
    thin = min(np.ptp(source, axis=0)) < 0.15 * spread if count > 1 else True
    if count >= 14 and not thin:
        return fit_homography(source, target, weights), "homography"
    matrix = np.eye(3)
    if count >= 8 and not thin:
        design = np.concatenate([source, np.ones((count, 1))], axis=1)
        root = np.sqrt(weights)[:, None]
        solution, *_ = np.linalg.lstsq(design * root, target * root, rcond=None)
        matrix[:2] = solution.T
        return matrix, "affine"
    centre_s = np.average(source, axis=0, weights=weights)
    centre_t = np.average(target, axis=0, weights=weights)
    if count >= (2 if weights.max() > 2.0 else 5):
        s, t = source - centre_s, target - centre_t
        power = float(np.sum(weights * np.sum(s**2, axis=1)))
        if power > 1.0:
            real = float(np.sum(weights * np.sum(s * t, axis=1))) / power
            imaginary = float(np.sum(weights * (s[:, 0] * t[:, 1] - s[:, 1] * t[:, 0]))) / power
            matrix[:2, :2] = [[real, -imaginary], [imaginary, real]]
            matrix[:2, 2] = centre_t - matrix[:2, :2] @ centre_s
            return matrix, "similarity"
    matrix[:2, 2] = centre_t - centre_s
    return matrix, "shift"
