"""What the pixels of a view are taken for after a stroke, quickly enough to be shown while the analyst still paints.

The same classifier as that of a tracing, with fewer trees and on a coarser raster. Edges are not settled to a fraction of a
pixel, and nothing is carried on beneath print: that comes with the next tracing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import (
    BACKGROUND,
    BRIDGE,
    CLASSES,
    COVERED,
    CUT,
    HOLE,
    LAMINATE,
    Stroke,
    painted,
)
from lidoff.board.features import FEATURE_COUNT, even_light
from lidoff.board.frame import Registration
from lidoff.board.fringes import settled_fringes
from lidoff.board.holes import find_round_spots
from lidoff.board.layout import Place
from lidoff.board.pixel_model import VIEW_TREES, PixelModel, classify, learn
from lidoff.board.placed import with_placed
from lidoff.board.prepared_side import PreparedSide, prepare_side
from lidoff.board.rectify import rectify
from lidoff.board.tracing import COARSEST, FINEST, outline_raster
from lidoff.errors import ImpossibleValue

__all__ = ["ViewClasses", "bytes_kept", "classes_in_view", "learn_for_view", "prepare_for_view"]

MOST_PIXELS = 2_500_000
"""Pixels of a side that is made ready for views: their features take some 270 MB."""
SEEDS_PER_CLASS = 1000
"""Pixels of the first guess that a view's classifier learns from: fewer than a tracing's, which halves the time."""
MOST_CLASSED = 90_000
"""Pixels of a view that are classed; more of them are interpolated between."""
MOST_SHOWN = 360_000
"""Pixels of a view that are told, at most."""

Window = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ViewClasses:
    """What the pixels of a view are taken for.

    Attributes
    ----------
    classes : ndarray of shape (H, W)
        Index into `CLASSES`.
    corner : place
        Upper left corner of the first pixel [mm].
    px_per_mm : float
        Raster.
    """

    classes: NDArray[np.uint8]
    corner: Place
    px_per_mm: float


def bytes_kept(most_pixels: int = MOST_PIXELS) -> int:
    """Memory that the features of a side may take, with some room [bytes]."""
    return 5 * FEATURE_COUNT * most_pixels


def prepare_for_view(
    picture: NDArray[np.uint8],
    registration: Registration,
    *,
    side: str,
    size: tuple[float, float],
    outline: Sequence[Place],
    cutouts: Sequence[Sequence[Place]] = (),
    most_pixels: int = MOST_PIXELS,
) -> PreparedSide:
    """Everything about a side that neither strokes nor parts change.

    Parameters
    ----------
    picture : ndarray of shape (H, W, 3)
        Photo of the side.
    registration : Registration
        How it shows the board.
    side : str
        "front" or "back".
    size : tuple of float
        Of the board frame [mm].
    outline : sequence of place
        Corners of the board [mm].
    cutouts : sequence of sequence of place
        Openings in it, each by its corners [mm].
    most_pixels : int
        A larger board is classed on a coarser raster than it would be traced on, so that memory stays bounded.

    Returns
    -------
    PreparedSide
        Without parts; see `with_parts`. On the raster of a tracing, unless the board is too large for that.
    """
    own = registration.pixels_per_mm((size[0] / 2, size[1] / 2))
    scale = min(float(np.clip(own, COARSEST, FINEST)), (most_pixels / (size[0] * size[1])) ** 0.5)
    flat = rectify(picture, registration, side=side, size=size, px_per_mm=scale, crisp=True)
    inside = outline_raster(
        tuple(outline), tuple(tuple(one) for one in cutouts), flat.seen.shape, flat.px_per_mm
    )
    return prepare_side(
        flat,
        board=inside & flat.seen,
        spots=find_round_spots(flat),
        px_per_mm=flat.px_per_mm,
        keep_bytes=bytes_kept(most_pixels),
    )


def learn_for_view(prepared: PreparedSide, strokes: Sequence[Stroke], *, seed: int = 0) -> PixelModel:
    """Classifier of a side under the strokes so far.

    Parameters
    ----------
    prepared : PreparedSide
        With its parts.
    strokes : sequence of Stroke
        All strokes, in order.
    seed : int
        Of the choice of samples.

    Returns
    -------
    PixelModel
        With as many trees as answer a stroke at once.

    Raises
    ------
    ImpossibleValue
        Less than two things are known to tell apart.
    """
    counts = np.bincount(prepared.guess.labels.ravel().view(np.uint8), minlength=256)
    known = {name for index, name in enumerate(CLASSES) if counts[index]}
    known |= {stroke.says for stroke in strokes if stroke.says in CLASSES}
    told = sorted(known - {BACKGROUND, HOLE})
    if len(told) < 2:
        raise ImpossibleValue(
            f"the {prepared.side} shows "
            + (f"nothing but {told[0]} so far" if told else "nothing that could be told apart so far"),
            remedy="draw along two different things that the photo shows, such as laminate and covered copper",
        )
    return learn(
        prepared.picture,
        prepared.px_per_mm,
        prepared.guess,
        strokes,
        rng=np.random.default_rng(seed),
        features=prepared.features,
        trees=VIEW_TREES,
        seeds_per_class=SEEDS_PER_CLASS,
    )


def classes_in_view(
    prepared: PreparedSide,
    model: PixelModel,
    strokes: Sequence[Stroke],
    window: Window,
    *,
    most_classed: int = MOST_CLASSED,
    most_shown: int = MOST_SHOWN,
) -> ViewClasses:
    """What the pixels of a view are taken for, strokes obeyed.

    Parameters
    ----------
    prepared : PreparedSide
        With its parts.
    model : PixelModel
        From `learn_for_view`.
    strokes : sequence of Stroke
        All strokes, in order.
    window : tuple of float
        Left, top, right and lower edge of the view [mm]; what lies beyond the board frame is left out.
    most_classed, most_shown : int
        Pixels that are classed, and that are told.

    Returns
    -------
    ViewClasses
        Of the view's part that lies on the frame. A cut is laminate and a bridge copper where they lie.

    Raises
    ------
    ImpossibleValue
        Nothing of the frame lies in the view.
    """
    rows, columns = _pixels_of(window, prepared)
    pixels = (rows.stop - rows.start) * (columns.stop - columns.start)
    sparse = max(1, int(np.ceil((pixels / most_classed) ** 0.5)))
    step = max(1, int(np.ceil((pixels / most_shown) ** 0.5)))
    every = (slice(step // 2, None, step), slice(step // 2, None, step))
    labels, placed, inside = (
        prepared.guess.labels[rows, columns][every],
        prepared.placed[rows, columns][every],
        prepared.inside[rows, columns][every],
    )
    probability = _probability(prepared, model, (rows, columns), sparse, labels.shape)
    scale = prepared.px_per_mm / step
    probability = settled_fringes(
        probability,
        _lightness(prepared, (rows, columns), every, labels.shape),
        labels,
        scale,
        detail=max(1.0, prepared.detail / step),
    )
    probability, _ = with_placed(probability, placed)
    classes = np.argmax(probability, axis=2).astype(np.uint8)
    classes[~inside] = CLASSES.index(BACKGROUND)
    corner = (columns.start / prepared.px_per_mm, rows.start / prepared.px_per_mm)
    _obey(classes, strokes, corner, scale)
    return ViewClasses(classes=classes, corner=corner, px_per_mm=scale)


def _probability(
    prepared: PreparedSide,
    model: PixelModel,
    window: tuple[slice, slice],
    sparse: int,
    shape: tuple[int, ...],
) -> NDArray[np.float32]:
    """Class probabilities of a window, worked out at every so manieth pixel and told on a raster of that shape."""
    import cv2

    picture, light, features = prepared.picture, prepared.guess.light, prepared.features
    if features is not None:
        # Interpolating all of the window first costs more than the trees do.
        picked = features[window][sparse // 2 :: sparse, sparse // 2 :: sparse]
        found = classify(
            picture[: picked.shape[0], : picked.shape[1]], prepared.px_per_mm, light, model, features=picked
        )
    else:
        found = classify(picture, prepared.px_per_mm, light, model, window=window, coarse=sparse)
    size = (shape[1], shape[0])
    return np.asarray(cv2.resize(found, size, interpolation=cv2.INTER_LINEAR), np.float32)


def _lightness(
    prepared: PreparedSide,
    window: tuple[slice, slice],
    every: tuple[slice, slice],
    shape: tuple[int, ...],
) -> NDArray[np.float32]:
    """Lightness of a window in even light, on a raster of that shape."""
    import cv2

    size = (shape[1], shape[0])
    picture = cv2.resize(prepared.picture[window], size, interpolation=cv2.INTER_AREA)
    even = even_light(np.asarray(picture, np.uint8), prepared.guess.light[window][every])
    return np.asarray(cv2.transform(even, np.full((1, 3), 1.0 / 3.0)), np.float32)


def _pixels_of(window: Window, prepared: PreparedSide) -> tuple[slice, slice]:
    """Rows and columns that a window touches."""
    height, width = prepared.picture.shape[:2]
    left, top, right, lower = (edge * prepared.px_per_mm for edge in window)
    rows = slice(max(int(np.floor(top)), 0), min(int(np.ceil(lower)), height))
    columns = slice(max(int(np.floor(left)), 0), min(int(np.ceil(right)), width))
    if rows.start >= rows.stop or columns.start >= columns.stop:
        raise ImpossibleValue("nothing of the board lies in the view", remedy="bring the board into view")
    return rows, columns


def _obey(classes: NDArray[np.uint8], strokes: Sequence[Stroke], corner: Place, px_per_mm: float) -> None:
    """Put strokes down where they lie: cuts and bridges come last, so that no brush of a class undoes them."""
    shape = (classes.shape[0], classes.shape[1])
    means = {CUT: LAMINATE, BRIDGE: COVERED}
    for stroke in sorted(strokes, key=lambda one: one.says in means):
        moved = replace(stroke, points=tuple((x - corner[0], y - corner[1]) for x, y in stroke.points))
        classes[painted(moved, shape, px_per_mm)] = CLASSES.index(means.get(stroke.says, stroke.says))
