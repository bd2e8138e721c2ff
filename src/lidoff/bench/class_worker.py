"""What runs in the process that classes views: sides kept ready, and the classes of a view under the strokes so far."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from lidoff.board import PixelModel, PlacedPart, PreparedSide, Stroke
    from lidoff.dossier.side_in_hand import SideInHand

__all__ = ["MOST_BYTES", "Classed", "begin", "classed"]

MOST_BYTES = 600_000_000
"""Memory that sides kept ready may take together [bytes]; the one in hand stays whatever its size."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Classed:
    """Classes of a view: a PNG that holds one number for each pixel, where it lies, and pixels of each class."""

    picture: bytes
    width: int
    height: int
    corner: tuple[float, float]
    px_per_mm: float
    counts: tuple[int, ...]


@dataclass(slots=True)
class _Ready:
    """A side made ready, and what was learnt on it last."""

    bare: PreparedSide
    parts: tuple[PlacedPart, ...] | None = None
    taught: PreparedSide | None = None
    strokes: tuple[Stroke, ...] | None = None
    model: PixelModel | None = None


class _Held:
    """What this process keeps between two questions."""

    newest: Sequence[int] = ()
    sides: ClassVar[OrderedDict[str, _Ready]] = OrderedDict()


def begin(newest: Sequence[int]) -> None:
    """Take the numbers of each page's newest question, which the server keeps writing.

    Parameters
    ----------
    newest : shared numbers
        One for each place that the server gives to pages.
    """
    _Held.newest = newest


def classed(
    hand: SideInHand,
    strokes: tuple[Stroke, ...],
    window: tuple[float, float, float, float],
    folder: Path,
    place: int,
    question: int,
) -> Classed | None:
    """Classes of a view.

    Parameters
    ----------
    hand : SideInHand
        The side.
    strokes : tuple of Stroke
        All strokes on it, in order.
    window : tuple of float
        Left, top, right and lower edge of the view [mm].
    folder : Path
        Of the dossier.
    place, question : int
        Where the number of the page's newest question stands, and which this one is.

    Returns
    -------
    Classed or None
        None as soon as the page has asked a newer question.

    Raises
    ------
    DossierError, PhotoRefused, ImpossibleValue
        The side cannot be made ready, or not be told apart.
    """
    from lidoff.board import classes_in_view, learn_for_view

    if _Held.newest[place] != question:
        return None
    ready = _ready(hand, folder)  # kept even if the question is stale by then: the next one needs it as well
    if _Held.newest[place] != question:
        return None
    side = _taught(ready, hand.parts)
    if ready.model is None or ready.strokes != strokes:
        ready.model, ready.strokes = learn_for_view(side, strokes), strokes
    if _Held.newest[place] != question:
        return None
    found = classes_in_view(side, ready.model, strokes, window)
    return _told(found.classes, found.corner, found.px_per_mm)


def _ready(hand: SideInHand, folder: Path) -> _Ready:
    from lidoff.dossier.side_in_hand import ready_side

    mark = hand.mark(folder)
    if mark not in _Held.sides:
        _make_room()
        _Held.sides[mark] = _Ready(ready_side(hand, folder))
    _Held.sides.move_to_end(mark)
    return _Held.sides[mark]


def _make_room() -> None:
    """Drop the sides that were in hand longest ago, so that a further one fits."""
    from lidoff.board.view_classes import bytes_kept

    while (
        _Held.sides and bytes_kept() + sum(_bytes_of(one.bare) for one in _Held.sides.values()) > MOST_BYTES
    ):
        _Held.sides.popitem(last=False)


def _bytes_of(side: PreparedSide) -> int:
    kept = (side.features, side.picture, side.inside, side.placed, side.guess.labels, side.guess.light)
    return sum(one.nbytes for one in kept if one is not None)


def _taught(ready: _Ready, parts: tuple[PlacedPart, ...]) -> PreparedSide:
    from lidoff.board import with_parts

    if ready.taught is None or ready.parts != parts:
        ready.taught, ready.parts, ready.model = with_parts(ready.bare, parts), parts, None
    return ready.taught


def _told(classes: object, corner: tuple[float, float], px_per_mm: float) -> Classed:
    import cv2
    import numpy as np

    from lidoff.board import CLASSES

    numbers = np.ascontiguousarray(classes, np.uint8)
    done, data = cv2.imencode(".png", numbers, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    assert done
    return Classed(
        picture=data.tobytes(),
        width=int(numbers.shape[1]),
        height=int(numbers.shape[0]),
        corner=corner,
        px_per_mm=px_per_mm,
        counts=tuple(int(one) for one in np.bincount(numbers.ravel(), minlength=len(CLASSES))),
    )
