"""Which pixels are copper: randomised trees over pixel features, from a first guess and a few strokes.

The classifier learns from seeds (pixels that the first guess is sure of) and from strokes, which count for more and throw
out seeds that contradict them. Cut and bridge strokes are not learnt from: they change the copper where they lie, always.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, BODY, CLASSES, HOLE, LEGEND, Stroke
from lidoff.board.copper import Copper, with_strokes
from lidoff.board.drilled import is_same_hole
from lidoff.board.features import FEATURE_COUNT, even_light, pixel_features
from lidoff.board.fringes import settled_fringes
from lidoff.board.guess import FirstGuess, first_guess
from lidoff.board.holes import RoundSpot
from lidoff.board.land_blur import without_land_blur
from lidoff.board.layout import Hole
from lidoff.board.package import PlacedPart
from lidoff.board.pixel_model import classify, learn
from lidoff.board.placed import placed_classes, print_beside_lands, with_placed
from lidoff.board.rectify import COARSE, Rectified
from lidoff.board.true_edges import settled_edges
from lidoff.board.unsure_pixels import settled_by_colour

__all__ = ["PreparedSide", "copper_of_prepared", "copper_of_side", "prepare_side", "with_parts"]


def _working_picture(side: Rectified, px_per_mm: float | None) -> tuple[NDArray[np.uint8], float]:
    """Picture at the raster on which pixels are classed."""
    import cv2

    scale = px_per_mm or side.px_per_mm
    if abs(scale / side.px_per_mm - 1.0) < 0.01:
        return side.picture, side.px_per_mm
    factor = scale / side.px_per_mm
    size = (max(round(side.picture.shape[1] * factor), 1), max(round(side.picture.shape[0] * factor), 1))
    way = cv2.INTER_AREA if factor < 1.0 else cv2.INTER_CUBIC
    return cv2.resize(side.picture, size, interpolation=way), scale


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PreparedSide:
    """One side made ready, so that each further stroke costs little.

    Parameters
    ----------
    side : str
        "front" or "back".
    picture : ndarray of shape (H, W, 3)
        At the raster of the answer.
    px_per_mm : float
        That raster.
    inside : ndarray of shape (H, W)
        True on the board.
    guess : FirstGuess
        Seeds and light.
    features : ndarray of shape (H, W, F) or None
        Kept where they fit into memory; else computed tile by tile when they are needed.
    placed : ndarray of int8, shape (H, W)
        What placed parts tell; see `placed_classes`.
    detail : float
        Size of the photo's own pixels in pixels of this raster, one or more.
    parts : tuple of PlacedPart
        Parts placed so far.
    holes : tuple of Hole
        Those known, and round spots that may be some.
    """

    side: str
    picture: NDArray[np.uint8]
    px_per_mm: float
    inside: NDArray[np.bool_]
    guess: FirstGuess
    features: NDArray[np.float32] | None
    placed: NDArray[np.int8]
    detail: float = 1.0
    parts: tuple[PlacedPart, ...] = ()
    holes: tuple[Hole, ...] = ()


def prepare_side(
    side: Rectified,
    *,
    board: NDArray[np.bool_] | None = None,
    spots: tuple[RoundSpot, ...] = (),
    parts: Sequence[PlacedPart] = (),
    holes: Sequence[Hole] = (),
    px_per_mm: float | None = None,
    copper_lighter: bool | None = None,
    keep_bytes: int = 400_000_000,
) -> PreparedSide:
    """Everything about a side's copper that strokes do not change.

    Parameters
    ----------
    side : Rectified
        Flat picture.
    board : ndarray of shape (H, W), optional
        True on the board, in the side's raster; None for all of the picture that the photo shows.
    spots : tuple of RoundSpot
        Round things found.
    parts : sequence of PlacedPart
        Parts placed so far, whose lands and bodies teach.
    holes : sequence of Hole
        Holes known for sure: copper about drilled ones is round.
    px_per_mm : float, optional
        Raster of the answer; None keeps the side's, but never coarser than 10 nor finer than 40.
    copper_lighter : bool, optional
        Which of the two levels is copper; see `first_guess`.
    keep_bytes : int
        Most memory that kept features may take [bytes].

    Returns
    -------
    PreparedSide
        For `copper_of_prepared`.
    """
    import cv2

    picture, scale = _working_picture(side, px_per_mm or min(max(side.px_per_mm, 10.0), 40.0))
    shape = (picture.shape[0], picture.shape[1])
    inside = board if board is not None else side.seen
    inside = (
        cv2.resize(inside.astype(np.uint8), (shape[1], shape[0]), interpolation=cv2.INTER_NEAREST_EXACT) > 0
    )
    own = side.registration.pixels_per_mm((shape[1] / scale / 2, shape[0] / scale / 2))
    guess = first_guess(
        picture,
        scale,
        board=inside,
        spots=spots,
        copper_lighter=copper_lighter,
        detail_mm=1.0 / min(side.px_per_mm, own),
    )
    features = None
    if shape[0] * shape[1] * 4 * FEATURE_COUNT <= keep_bytes:
        features = pixel_features(even_light(picture, guess.light), scale)
    bare = PreparedSide(
        side=side.side,
        picture=picture,
        px_per_mm=scale,
        inside=inside,
        guess=guess,
        features=features,
        placed=placed_classes((), side.side, shape, scale),
        detail=max(1.0, scale / own),
        holes=_likely_holes(holes, spots),
    )
    return with_parts(bare, parts)


def _likely_holes(known: Sequence[Hole], spots: Sequence[RoundSpot]) -> tuple[Hole, ...]:
    found = (Hole(at=spot.at, diameter=spot.diameter, sure=0.5) for spot in spots if spot.darker)
    return (*known, *(one for one in found if not any(is_same_hole(one, other) for other in known)))


def _vias(prepared: PreparedSide) -> list[Hole]:
    """Holes that no placed part's land surrounds."""
    rows, columns = prepared.placed.shape
    vias = []
    for hole in prepared.holes:
        column, row = (int(one * prepared.px_per_mm) for one in hole.at)
        within = 0 <= row < rows and 0 <= column < columns
        if within and prepared.placed[row, column] != CLASSES.index(BARE):
            vias.append(hole)
    return vias


def with_parts(prepared: PreparedSide, parts: Sequence[PlacedPart]) -> PreparedSide:
    """The same side taught by placed parts.

    Parameters
    ----------
    prepared : PreparedSide
        Made without parts.
    parts : sequence of PlacedPart
        Parts placed so far, whose lands and bodies teach.

    Returns
    -------
    PreparedSide
        Shares what is large with the one given.
    """
    shape = (prepared.picture.shape[0], prepared.picture.shape[1])
    placed = placed_classes(parts, prepared.side, shape, prepared.px_per_mm)
    guess = _taught_by_parts(prepared.guess, placed)
    if prepared.detail >= COARSE:
        labels = guess.labels.copy()
        even = even_light(prepared.picture, guess.light)
        labels[print_beside_lands(labels, even, placed)] = CLASSES.index(LEGEND)
        guess = replace(guess, labels=labels)
    return replace(prepared, guess=guess, placed=placed, parts=tuple(parts))


def _taught_by_parts(guess: FirstGuess, placed: NDArray[np.int8]) -> FirstGuess:
    """Seeds under what placed parts tell; holes in lands stay holes, and mask that shows beneath a body keeps its own seeds."""
    labels = guess.labels.copy()
    labels[(placed == CLASSES.index(BARE)) & (labels != CLASSES.index(HOLE))] = CLASSES.index(BARE)
    shiny = np.isin(labels, [CLASSES.index(BARE), CLASSES.index(LEGEND)])
    labels[(placed == CLASSES.index(BODY)) & shiny] = CLASSES.index(BODY)
    return replace(guess, labels=labels)


def copper_of_prepared(
    prepared: PreparedSide, strokes: Sequence[Stroke] = (), *, seed: int = 0, coarse: int | None = None
) -> Copper:
    """Copper of a prepared side under the strokes so far.

    Parameters
    ----------
    prepared : PreparedSide
        From `prepare_side`.
    strokes : sequence of Stroke
        All strokes, in order.
    seed : int
        Of the choice of samples.
    coarse : int, optional
        See `classify`; None takes 2 above 24 pixels per millimetre or above 3 megapixels, else 1.

    Returns
    -------
    Copper
        With the analyst's strokes obeyed.
    """
    shape, scale = prepared.picture.shape, prepared.px_per_mm
    model = learn(
        prepared.picture,
        scale,
        prepared.guess,
        strokes,
        rng=np.random.default_rng(seed),
        features=prepared.features,
    )
    if coarse is None:
        coarse = 2 if scale > 24.0 or shape[0] * shape[1] > 3_000_000 else 1
    probability = classify(
        prepared.picture, scale, prepared.guess.light, model, coarse=coarse, features=prepared.features
    )
    even = even_light(prepared.picture, prepared.guess.light)
    probability = settled_fringes(
        probability, even.mean(axis=2), prepared.guess.labels, scale, detail=prepared.detail
    )
    probability, closed = with_placed(probability, prepared.placed)
    probability = settled_by_colour(probability, even, scale)
    probability = without_land_blur(
        probability, even, prepared.parts, prepared.side, scale, detail=prepared.detail
    )
    held = prepared.placed == CLASSES.index(BARE)
    edges = settled_edges(
        probability,
        even,
        scale,
        detail=prepared.detail,
        held=held,
        parts=prepared.parts,
        side=prepared.side,
        holes=_vias(prepared),
    )
    probability = edges.probability
    probability[~prepared.inside] = 0.0
    copper = with_strokes(prepared.side, scale, probability, strokes, closed=closed, discs=edges.discs)
    unsure = None if edges.uncertainty is None else edges.uncertainty / scale
    return replace(copper, edge_uncertainty=unsure)


def copper_of_side(
    side: Rectified,
    *,
    board: NDArray[np.bool_] | None = None,
    spots: tuple[RoundSpot, ...] = (),
    strokes: Sequence[Stroke] = (),
    px_per_mm: float | None = None,
    copper_lighter: bool | None = None,
) -> Copper:
    """Copper of one side in one go.

    Parameters
    ----------
    side : Rectified
        The flattened side.
    board : ndarray of bool, shape (H, W), optional
        Where the board is.
    spots : tuple of RoundSpot
        Round spots found on it.
    strokes : sequence of Stroke
        What the analyst painted.
    px_per_mm : float, optional
        Resolution to class at; as `prepare_side` chooses if None.
    copper_lighter : bool, optional
        Whether copper is lighter than laminate; found if None.

    Returns
    -------
    Copper
    """
    prepared = prepare_side(
        side, board=board, spots=spots, px_per_mm=px_per_mm, copper_lighter=copper_lighter, keep_bytes=0
    )
    return copper_of_prepared(prepared, strokes)
