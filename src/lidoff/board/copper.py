"""Copper of one side: what is likely, beneath the analyst's strokes, which always decide."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from lidoff.board.beneath import seen_through, without_slits
from lidoff.board.classes import (
    BARE,
    BODY,
    BRIDGE,
    CLASSES,
    COPPER,
    COVERED,
    CUT,
    LAMINATE,
    LEGEND,
    Stroke,
    painted,
)
from lidoff.board.via_rings import RoundCopper

__all__ = ["Copper", "with_strokes", "without_copper"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Copper:
    """Copper of one side.

    Parameters
    ----------
    side : str
        "front" or "back".
    px_per_mm : float
        Raster.
    probability : ndarray of shape (H, W)
        That there is copper, 0…1, before cut and bridge strokes.
    mask : ndarray of shape (H, W)
        Where copper is taken to be, cut and bridge strokes included.
    classes : ndarray of shape (H, W)
        Most probable class of each pixel, index into `CLASSES`.
    fixed : ndarray of shape (H, W)
        True where a stroke of the analyst decides.
    edge_uncertainty : float, optional
        Standard uncertainty of an edge's place, as the photo shows it [mm]; see `settled_edges`.
    """

    side: str
    px_per_mm: float
    probability: NDArray[np.float32]
    mask: NDArray[np.bool_]
    classes: NDArray[np.uint8]
    fixed: NDArray[np.bool_] = field(repr=False)
    edge_uncertainty: float | None = None

    @property
    def confidence(self) -> NDArray[np.float32]:
        """How sure each pixel is, 0.5…1; one under a stroke."""
        sure = np.maximum(self.probability, 1.0 - self.probability)
        return np.where(self.fixed, np.float32(1.0), sure)


def with_strokes(
    side: str,
    px_per_mm: float,
    probability: NDArray[np.float32],
    strokes: Sequence[Stroke],
    *,
    closed: NDArray[np.bool_] | None = None,
    discs: RoundCopper | None = None,
) -> Copper:
    """Copper from class probabilities (H, W, 7), with every stroke obeyed in the order drawn.

    Nothing is carried on beneath print or a body where `closed` (H, W) is true. `discs` of copper about drilled holes hold for
    all but strokes.
    """
    import cv2

    shape = (probability.shape[0], probability.shape[1])
    classes = np.argmax(probability, axis=2).astype(np.uint8)
    copper = probability[..., CLASSES.index(COVERED)] + probability[..., CLASSES.index(BARE)]
    hidden = probability[..., CLASSES.index(LEGEND)] + probability[..., CLASSES.index(BODY)]
    seen = copper
    copper = seen_through(copper, hidden, px_per_mm, ink=probability[..., CLASSES.index(LEGEND)])
    copper = without_slits(copper, hidden + probability[..., CLASSES.index(BARE)], px_per_mm)
    if closed is not None:
        # The blurred edge of a body is neither: what is not seen as copper there is not carried on either.
        beside = cv2.dilate(closed.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0
        copper = np.where(closed, np.float32(0.0), np.where(beside, np.minimum(copper, seen), copper))
    if discs is not None:
        copper = discs.held(copper)
        # What hides copper stays what it is.
        classes[(classes == CLASSES.index(LAMINATE)) & (discs.least > 0.5)] = CLASSES.index(COVERED)
        classes[(classes == CLASSES.index(COVERED)) & (discs.most < 0.5)] = CLASSES.index(LAMINATE)
    mask = copper > 0.5
    fixed = np.zeros(shape, bool)
    for stroke in strokes:
        here = painted(stroke, shape, px_per_mm)
        fixed |= here
        if stroke.says in CLASSES:
            classes[here] = CLASSES.index(stroke.says)
            if stroke.says not in (LEGEND, BODY):
                mask[here] = stroke.says in COPPER
        else:
            mask[here] = stroke.says == BRIDGE
    # Cuts and bridges come last, so that no brush of a class undoes them.
    for stroke in strokes:
        if stroke.says in (CUT, BRIDGE):
            mask[painted(stroke, shape, px_per_mm)] = stroke.says == BRIDGE
    return Copper(
        side=side,
        px_per_mm=px_per_mm,
        probability=copper.astype(np.float32),
        mask=mask,
        classes=classes,
        fixed=fixed,
    )


def without_copper(copper: Copper) -> Copper:
    """The same side where the analyst says that it carries no copper: none is found, however likely it looked."""
    shape = copper.mask.shape
    return Copper(
        side=copper.side,
        px_per_mm=copper.px_per_mm,
        probability=np.zeros(shape, np.float32),
        mask=np.zeros(shape, bool),
        classes=copper.classes.copy(),
        fixed=np.ones(shape, bool),
    )
