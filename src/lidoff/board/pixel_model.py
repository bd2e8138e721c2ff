"""The pixel classifier: randomised trees over features, taught by seeds and strokes, applied in tiles.

It learns from seeds (pixels that the first guess is sure of) and from strokes, which count for more and throw out seeds
that contradict them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import (
    CLASSES,
    COPPER,
    LAMINATE,
    Stroke,
    painted,
)
from lidoff.board.features import COLOUR_FEATURES, FEATURE_REACH_MM, even_light, pixel_features
from lidoff.board.guess import FirstGuess

__all__ = ["TREES", "VIEW_TREES", "PixelModel", "classify", "learn"]

TREES, VIEW_TREES = 32, 16
"""Trees of a side's classifier, and of the one that answers a stroke at once."""


_SEEDS_PER_CLASS = 2500


_STROKE_SAMPLES = 3000


_TILE_MM = 40.0


_LIKE = 2.5
"""Distance from a stroke's mean colour, in its own spreads, within which a pixel looks like it; our choice."""


_LIKELIER = 0.5
"""Least probability of its own class, by the strokes alone, with which a seed stays: where the first guess took half of an area
for the wrong class, those seeds would bring the mistake back."""


_COPPER = frozenset(map(CLASSES.index, COPPER))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PixelModel:
    """A learnt classifier.

    Attributes
    ----------
    trees : object
        scikit-learn's own; it stays in this process.
    known : tuple of int
        Classes it knows, by number.
    seeds : int
        Pixels of the first guess that it learnt from.
    dropped : int
        Pixels of the first guess that strokes contradicted.
    """

    trees: object
    known: tuple[int, ...]
    seeds: int
    dropped: int


def learn(
    picture: NDArray[np.uint8],
    px_per_mm: float,
    guess: FirstGuess,
    strokes: Sequence[Stroke] = (),
    *,
    rng: np.random.Generator,
    features: NDArray[np.float32] | None = None,
    trees: int = TREES,
    seeds_per_class: int = _SEEDS_PER_CLASS,
) -> PixelModel:
    """Train the classifier from seeds and strokes.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        Flat picture.
    px_per_mm : float
        Raster.
    guess : FirstGuess
        Seeds and light.
    strokes : sequence of Stroke
        What the analyst painted; cut and bridge are left out.
    rng : Generator
        Chooses the samples.
    features : ndarray of shape (H, W, F), optional
        Features of the whole picture, where at hand; None computes them in tiles.
    trees : int
        How many; `VIEW_TREES` answer a stroke in half the time and differ in a few pixels of a thousand.
    seeds_per_class : int
        Most pixels of the first guess that are learnt from.

    Returns
    -------
    PixelModel
        Learnt from at most a few thousand pixels of each class.

    References
    ----------
    .. [1] P. Geurts, D. Ernst, L. Wehenkel, *Extremely randomized trees*, Machine Learning 63 (2006).
    """
    seed_index, seed_label = _drawn(guess.labels, seeds_per_class, rng)
    taught: NDArray[np.int8] = np.full(guess.labels.shape, -1, np.int8)
    shape = (picture.shape[0], picture.shape[1])
    drawn_by = np.zeros(shape, np.int32)
    for number, stroke in enumerate(strokes):
        if stroke.says in CLASSES:
            here = painted(stroke, shape, px_per_mm)
            taught[here], drawn_by[here] = CLASSES.index(stroke.says), number
    stroke_index, stroke_label = _drawn(taught, _STROKE_SAMPLES, rng)
    seed_keep = taught.ravel()[seed_index] < 0
    seed_index, seed_label = seed_index[seed_keep], seed_label[seed_keep]
    every = np.concatenate([seed_index, stroke_index])
    if features is not None:
        rows = features.reshape(-1, features.shape[-1])[every]
    else:
        rows = _features_at(picture, px_per_mm, guess.light, every)
    seed_rows, stroke_rows = rows[: len(seed_index)], rows[len(seed_index) :]
    dropped = 0
    if len(seed_label) and len(set(stroke_label.tolist())) >= 2:
        keep = _agreeing(seed_rows, seed_label, stroke_rows, stroke_label, trees)
        if _COPPER & set(stroke_label.tolist()) and CLASSES.index(LAMINATE) in stroke_label:
            own = drawn_by.ravel()[stroke_index]
            shown = [(stroke_rows[own == one], int(stroke_label[own == one][0])) for one in np.unique(own)]
            keep &= ~_coloured_otherwise(seed_rows, seed_label, shown)
        dropped = int((~keep).sum())
        seed_rows, seed_label = seed_rows[keep], seed_label[keep]
    inputs = np.concatenate([seed_rows, stroke_rows])
    labels = np.concatenate([seed_label, stroke_label])
    weights = np.ones(len(labels))
    if len(stroke_label):
        # Few painted pixels must weigh against many seeds: together half as much, but no single one without bounds.
        weights[len(seed_label) :] = float(np.clip(0.5 * len(seed_label) / len(stroke_label), 1.0, 20.0))
    known = tuple(int(value) for value in np.unique(labels))
    return PixelModel(
        trees=_fitted(inputs, labels, weights, trees), known=known, seeds=len(seed_label), dropped=dropped
    )


def _fitted(
    inputs: NDArray[np.float32], labels: NDArray[np.int8], weights: NDArray[np.float64], count: int
) -> object:
    """Extremely randomised trees: as good here as boosted ones and several times faster to apply to millions of pixels."""
    from sklearn.ensemble import ExtraTreesClassifier

    trees = ExtraTreesClassifier(
        n_estimators=count, max_leaf_nodes=256, min_samples_leaf=3, max_features=10, random_state=0, n_jobs=2
    )
    trees.fit(inputs, labels, sample_weight=weights)
    return trees


def _agreeing(
    seeds: NDArray[np.float32],
    seed_label: NDArray[np.int8],
    strokes: NDArray[np.float32],
    stroke_label: NDArray[np.int8],
    count: int,
) -> NDArray[np.bool_]:
    """Seeds that a classifier of the strokes alone does not contradict; classes nobody painted are kept."""
    trees = _fitted(strokes, stroke_label, np.ones(len(stroke_label)), count)
    probability = trees.predict_proba(seeds)  # type: ignore[attr-defined]
    painted_classes = np.unique(stroke_label)
    keep = np.ones(len(seed_label), bool)
    for column, value in enumerate(painted_classes):
        own = seed_label == value
        keep[own] = probability[own, column] > _LIKELIER
    # A seed of an unpainted class may still be what a stroke calls otherwise: only near certainty throws it out.
    unpainted = ~np.isin(seed_label, painted_classes)
    keep[unpainted] = probability[unpainted].max(axis=1) < 0.995
    return keep


def _coloured_otherwise(
    seeds: NDArray[np.float32], seed_label: NDArray[np.int8], shown: Sequence[tuple[NDArray[np.float32], int]]
) -> NDArray[np.bool_]:
    """Seeds whose colour lies within that of a stroke which says otherwise, and nearer to it than to any that says the same.

    Where the first guess took a whole area for something that it is not, trees that know only strokes are not sure enough of
    it. But a stroke shows the colours that its class has, and how much they vary.
    """
    same, other = (np.full(len(seeds), np.inf) for _ in range(2))
    colours = seeds[:, COLOUR_FEATURES].astype(float)
    for rows, label in shown:
        own = rows[:, COLOUR_FEATURES].astype(float)
        if len(own) < 2:
            continue
        spread = np.cov(own.T) + np.eye(own.shape[1])  # noise of one unit of lightness or colour at least
        off = colours - own.mean(axis=0)
        away = np.sqrt(np.sum(off @ np.linalg.inv(spread) * off, axis=1) / own.shape[1])
        agrees = seed_label == label
        same = np.where(agrees, np.minimum(same, away), same)
        other = np.where(agrees, other, np.minimum(other, away))
    return (other < _LIKE) & (other < same)


def _drawn(
    labels: NDArray[np.int8], limit: int, rng: np.random.Generator
) -> tuple[NDArray[np.int64], NDArray[np.int8]]:
    """At most `limit` pixels of each class, by flat index."""
    flat = labels.ravel()
    chosen = []
    for value in range(len(CLASSES)):
        index = np.flatnonzero(flat == value)
        if len(index) > limit:
            index = np.sort(rng.choice(index, limit, replace=False))
        chosen.append(index)
    every = np.concatenate(chosen)
    return every, flat[every]


def _tiles(shape: tuple[int, int], px_per_mm: float) -> list[tuple[slice, slice, slice, slice]]:
    """Core rows and columns of each tile, and the same with the reach of the features round them."""
    tile = max(64, int(_TILE_MM * px_per_mm))
    tile = min(tile, 1024)
    reach = int(np.ceil(FEATURE_REACH_MM * px_per_mm))
    found = []
    for top in range(0, shape[0], tile):
        for left in range(0, shape[1], tile):
            core_rows = slice(top, min(top + tile, shape[0]))
            core_columns = slice(left, min(left + tile, shape[1]))
            rows = slice(max(top - reach, 0), min(core_rows.stop + reach, shape[0]))
            columns = slice(max(left - reach, 0), min(core_columns.stop + reach, shape[1]))
            found.append((core_rows, core_columns, rows, columns))
    return found


def _features_at(
    picture: NDArray[np.uint8], px_per_mm: float, light: NDArray[np.float32], index: NDArray[np.int64]
) -> NDArray[np.float32]:
    """Features of chosen pixels, one tile in memory at a time."""
    row, column = np.divmod(index, picture.shape[1])
    result: NDArray[np.float32] | None = None
    for core_rows, core_columns, rows, columns in _tiles(picture.shape[:2], px_per_mm):
        mine = (
            (row >= core_rows.start)
            & (row < core_rows.stop)
            & (column >= core_columns.start)
            & (column < core_columns.stop)
        )
        if not np.any(mine):
            continue
        values = pixel_features(even_light(picture[rows, columns], light[rows, columns]), px_per_mm)
        if result is None:
            result = np.empty((len(index), values.shape[-1]), np.float32)
        result[mine] = values[row[mine] - rows.start, column[mine] - columns.start]
    assert result is not None
    return result


def classify(
    picture: NDArray[np.uint8],
    px_per_mm: float,
    light: NDArray[np.float32],
    model: PixelModel,
    *,
    window: tuple[slice, slice] | None = None,
    coarse: int = 1,
    features: NDArray[np.float32] | None = None,
) -> NDArray[np.float32]:
    """Probability of every class in a window of the picture.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        Flat picture.
    px_per_mm : float
        Raster.
    light : ndarray of shape (H, W, 3)
        Field of light.
    model : PixelModel
        Learnt classifier.
    window : tuple of slices, optional
        Rows and columns; None for the whole picture.
    coarse : int
        Class only every n-th pixel in both directions and interpolate between, for a quick view or an oversampled photo.
    features : ndarray of shape (H, W, F), optional
        Features of the whole picture, where at hand.

    Returns
    -------
    ndarray of shape (h, w, 7)
        In the order of `CLASSES`; classes that nobody taught have probability zero.
    """
    import cv2

    window = window or (slice(0, picture.shape[0]), slice(0, picture.shape[1]))
    reach = int(np.ceil(FEATURE_REACH_MM * px_per_mm))
    height, width = window[0].stop - window[0].start, window[1].stop - window[1].start
    result = np.zeros((height, width, len(CLASSES)), np.float32)
    for core_rows, core_columns, _, _ in _tiles((height, width), px_per_mm):
        top, left = window[0].start + core_rows.start, window[1].start + core_columns.start
        bottom, right = window[0].start + core_rows.stop, window[1].start + core_columns.stop
        if features is not None:
            core = features[top:bottom, left:right]
        else:
            rows = slice(max(top - reach, 0), min(bottom + reach, picture.shape[0]))
            columns = slice(max(left - reach, 0), min(right + reach, picture.shape[1]))
            values = pixel_features(even_light(picture[rows, columns], light[rows, columns]), px_per_mm)
            core = values[
                top - rows.start : bottom - rows.start, left - columns.start : right - columns.start
            ]
        start = coarse // 2 if min(core.shape[:2]) > coarse // 2 else 0
        picked = core[start::coarse, start::coarse]
        flat = model.trees.predict_proba(picked.reshape(-1, picked.shape[-1]))  # type: ignore[attr-defined]
        probability = flat.astype(np.float32).reshape(*picked.shape[:2], -1)
        if coarse > 1:
            probability = cv2.resize(
                probability, (core.shape[1], core.shape[0]), interpolation=cv2.INTER_LINEAR
            ).reshape(*core.shape[:2], -1)
        result[core_rows, core_columns][..., list(model.known)] = probability
    return result
