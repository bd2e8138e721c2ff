"""Both sides of a board registered from their photos: outlines, the turn of the back, and the holes that both sides share."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.align import UNTOLD, Alignment, align_back, pick_turn, unaligned
from lidoff.board.by_hand import Ruler, SideMarks
from lidoff.board.frame import BACK, FRONT, SIDES, Registration
from lidoff.board.holes import RoundSpot, find_round_spots
from lidoff.board.layout import Place
from lidoff.board.outline import Outline, find_outline
from lidoff.board.rectify import Rectified, rectify
from lidoff.board.register import (
    aspect_of_outline,
    register_by_outline,
    register_by_points,
    rescaled_by_length,
    rescaled_by_pitch,
)
from lidoff.errors import ImpossibleValue

__all__ = ["Registered", "register_sides"]

SPOT_RASTER = 12.0
"""Raster on which holes are looked for [pixels/mm]: their centres come out to a twentieth of a pixel."""

LEAST_SUPPORT, LEAST_FILLED = 0.3, 0.9
"""Below both, four edges were not seen but made up from the contour; common practice, no source."""

FEW_MM, MANY_MM, MANY = 0.06, 0.12, 15
"""Median residuals up to which a few and many paired holes are believed [mm], and from how many on they are many; our choice:
holes that are drilled once lie together far better than round marks that meet by chance."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Registered:
    """Both sides in one frame.

    Parameters
    ----------
    size : tuple of float
        Width and height of the board frame [mm].
    registrations : mapping of str to Registration
        By side.
    outlines : mapping of str to Outline
        Of the sides whose outline was looked for.
    alignment : Alignment, optional
        Of the back onto the front; None where one side is at hand.
    turn : int
        Quarter turns of the back's photo that were taken.
    doubts : tuple of str
        What only a hand can settle, in words.
    """

    size: tuple[float, float]
    registrations: Mapping[str, Registration]
    outlines: Mapping[str, Outline] = field(default_factory=dict)
    alignment: Alignment | None = None
    turn: int = 0
    doubts: tuple[str, ...] = ()


def register_sides(
    photos: Mapping[str, NDArray[np.uint8]],
    *,
    width: float | None = None,
    height: float | None = None,
    given: Mapping[str, Registration] | None = None,
    marks: Mapping[str, SideMarks] | None = None,
    manual: Sequence[tuple[Place, Place]] = (),
) -> Registered:
    """Register one or both sides by outline or marks, and the back onto the front by holes.

    Parameters
    ----------
    photos : mapping of str to ndarray of shape (H, W, 3)
        Upright photos by side.
    width, height : float, optional
        Edge lengths of the board [mm]; one is enough, the other then follows from the photo, less surely. Without any, a
        ruler or a pin pitch among the marks gives the scale.
    given : mapping of str to Registration, optional
        Registrations made before; such a side is left as it is.
    marks : mapping of str to SideMarks, optional
        What was marked by hand on each photo: points that register it, a ruler, its turn.
    manual : sequence of pairs of places
        Pairs of places (front, back) that coincide, set by hand [mm].

    Returns
    -------
    Registered
        With the residual of every pair of holes.

    Raises
    ------
    ImpossibleValue
        No outline stands out, or no length is given.
    """
    marks = marks or {}
    check_scale(width, height, marks, tuple(photos))
    given = {**(given or {}), **_by_points(photos, marks)}
    # Both outlines at once: the work is done outside Python's lock.
    wanted = [side for side in SIDES if side in photos and side not in given]
    outlines = _outlines({side: photos[side] for side in wanted})
    for side, outline in outlines.items():
        _check_straight(side, outline)
    first = FRONT if FRONT in photos else BACK
    turn = marks[BACK].turn if BACK in marks else None
    doubts: list[str] = []
    size, scale = _sized(outlines, width, height, marks, doubts)
    registrations = dict(given)
    if first not in registrations:
        quarter = marks[first].turn if first in marks else None
        if quarter is None:
            quarter = 1 if first == FRONT and _lies_across(outlines[first], size) else 0
        registrations[first] = register_by_outline(
            outlines[first], side=first, width=size[0], height=size[1], quarter_turns=quarter
        )
        if scale is not None:
            registrations[first] = replace(registrations[first], scale_uncertainty=scale)
    if len(photos) < 2:
        return Registered(size=size, registrations=registrations, outlines=outlines, doubts=tuple(doubts))
    front_spots = _spots(photos[FRONT], registrations[FRONT], FRONT, size)
    if BACK in registrations:
        spots = _spots(photos[BACK], registrations[BACK], BACK, size)
        alignment = align_back(front_spots, spots, registrations[BACK], manual=manual, reach=0.5)
        kept = registrations[BACK]
        return Registered(
            size=size,
            registrations={**registrations, BACK: kept},
            outlines=outlines,
            alignment=replace(alignment, registration=kept, correction=np.eye(3)),
            doubts=tuple(doubts),
        )
    tried, ways, turns = _tried_turns(photos[BACK], outlines[BACK], front_spots, size, turn, manual)
    best = _turn_taken(tried, bool(manual), doubts)
    alignment = tried[best]
    if not manual and not _believable(alignment):
        alignment = unaligned(ways[best])
    if len(alignment.pairs) < 3:
        doubts.append(
            "fewer than three holes are seen on both sides, so the outline alone holds them together"
        )
    return Registered(
        size=size,
        registrations={**registrations, BACK: alignment.registration},
        outlines=outlines,
        alignment=alignment,
        turn=turns[best],
        doubts=tuple(doubts),
    )


def _turn_taken(tried: Sequence[Alignment], by_hand: bool, doubts: list[str]) -> int:
    """Number of the turn that the holes tell; where they tell none, the photo's own way up: chance may not turn it."""
    if len(tried) < 2:
        return 0
    try:
        best = pick_turn(tried)
        if by_hand or _believable(tried[best]):
            return best
        what = UNTOLD
    except ImpossibleValue as error:
        what = error.what
    doubts.append(f"{what}; the photo's own way up was taken")
    return 0


def _believable(alignment: Alignment) -> bool:
    """Whether the pairs are holes rather than chance; chance may move nothing."""
    limit = MANY_MM if len(alignment.pairs) >= MANY else FEW_MM
    return not alignment.pairs or alignment.median_mm <= limit


def _outlines(photos: Mapping[str, NDArray[np.uint8]]) -> dict[str, Outline]:
    from concurrent.futures import ThreadPoolExecutor

    if len(photos) < 2:
        return {side: find_outline(photo) for side, photo in photos.items()}
    with ThreadPoolExecutor(2) as pool:
        found = {side: pool.submit(find_outline, photo) for side, photo in photos.items()}
    return {side: future.result() for side, future in found.items()}


def _by_points(
    photos: Mapping[str, NDArray[np.uint8]], marks: Mapping[str, SideMarks]
) -> dict[str, Registration]:
    """Registrations of the sides on whose photos four or more points were marked."""
    found = {}
    for side, photo in photos.items():
        if side in marks and marks[side].points:
            on_photo, on_board = zip(*marks[side].points, strict=True)
            found[side] = register_by_points(
                np.array(on_photo), np.array(on_board), photo_shape=(photo.shape[0], photo.shape[1])
            )
    return found


def _check_straight(side: str, outline: Outline) -> None:
    """Refuse a board whose four main edges are not there: a homography through them would be an invention."""
    if outline.support < LEAST_SUPPORT and outline.filled < LEAST_FILLED:
        raise ImpossibleValue(
            f"the board on the {side} photo has no four straight edges",
            remedy=f"mark four or more places of known position on it: points under [{side}] of a file given by --hand",
        )


def _sized(
    outlines: Mapping[str, Outline],
    width: float | None,
    height: float | None,
    marks: Mapping[str, SideMarks],
    doubts: list[str],
) -> tuple[tuple[float, float], float | None]:
    """Size of the board, and the relative uncertainty of the scale where a ruler gave it."""
    first = next((side for side in SIDES if side in outlines), None)
    outline = outlines[first] if first is not None else None
    ruled = next((side for side in SIDES if side in outlines and side in marks and marks[side].ruler), None)
    ruler = marks[ruled].ruler if ruled is not None else None
    if ruled is None or ruler is None:
        return _size(outline, width, height), None
    if width is None and height is None:
        size, uncertainty = _size_by_ruler(outlines[ruled], ruled, ruler, marks[ruled].turn)
        return size, uncertainty
    size = _size(outline, width, height)
    by_ruler, uncertainty = _size_by_ruler(outlines[ruled], ruled, ruler, marks[ruled].turn)
    off = by_ruler[0] / size[0] - 1.0
    if abs(off) > max(0.01, 3.0 * uncertainty):
        doubts.append(
            f"the ruler on the {ruled} makes the board {by_ruler[0]:.2f} mm wide, and it is said to be {size[0]:.2f} mm"
        )
    return size, None


def _size_by_ruler(
    outline: Outline, side: str, ruler: Ruler, turn: int | None
) -> tuple[tuple[float, float], float]:
    ratio = aspect_of_outline(outline).ratio
    if turn in (1, 3):
        ratio = 1.0 / ratio
    trial = (50.0, 50.0 / ratio)
    registration = register_by_outline(
        outline, side=side, width=trial[0], height=trial[1], quarter_turns=turn or 0
    )
    points = np.array(ruler.points_px)
    if len(points) == 2:
        scaled = rescaled_by_length(
            registration, points[0], points[1], ruler.step, uncertainty=ruler.uncertainty
        )
    else:
        scaled = rescaled_by_pitch(registration, points, ruler.step)
    corners = scaled.to_board(registration.to_photo(np.array([[0.0, 0.0], trial])))
    width, height = corners[1] - corners[0]
    return (float(width), float(height)), math.hypot(scaled.scale_uncertainty, ruler.uncertainty / ruler.step)


def check_scale(
    width: float | None,
    height: float | None,
    marks: Mapping[str, SideMarks] | None = None,
    sides: Sequence[str] = (),
) -> None:
    """Refuse a board of which no length is known, before any of its photos is looked at.

    Parameters
    ----------
    width, height : float or None
        Edge lengths [mm].
    marks : mapping of str to SideMarks, optional
        What was marked by hand, by side.
    sides : sequence of str, optional
        Sides with a photo, whose rulers count.

    Raises
    ------
    ImpossibleValue
        No length is given and no ruler marked, or a length is not above zero.
    """
    lengths = [value for value in (width, height) if value is not None]
    if not lengths and any(side in sides and one.ruler is not None for side, one in (marks or {}).items()):
        return
    if not lengths or min(lengths) <= 0.0:
        raise ImpossibleValue(
            f"board size {width} × {height} mm" if lengths else "the board has no scale yet",
            remedy='give one known edge length, such as width = "38 mm", or mark a ruler or a pin pitch by hand',
        )


def _size(outline: Outline | None, width: float | None, height: float | None) -> tuple[float, float]:
    """Width and height of the board; a missing one follows from the outline's proportions."""
    check_scale(width, height)
    if width is not None and height is not None:
        return width, height
    if outline is None:
        raise ImpossibleValue(
            "the board's second edge is not known",
            remedy="give width and height, or a photo with its outline",
        )
    ratio = aspect_of_outline(outline).ratio
    if width is not None:
        return width, width / ratio
    return float(height or 0.0) * ratio, float(height or 0.0)


def _lies_across(outline: Outline, size: tuple[float, float]) -> bool:
    """Whether the photo shows the board turned by a quarter against the given width and height."""
    seen, told = math.log(aspect_of_outline(outline).ratio), math.log(size[0] / size[1])
    return abs(seen + told) + 0.05 < abs(seen - told)


def _spots(
    photo: NDArray[np.uint8], registration: Registration, side: str, size: tuple[float, float]
) -> tuple[RoundSpot, ...]:
    return find_round_spots(_flat(photo, registration, side, size))


def _flat(
    photo: NDArray[np.uint8], registration: Registration, side: str, size: tuple[float, float]
) -> Rectified:
    return rectify(photo, registration, side=side, size=size, px_per_mm=SPOT_RASTER)


def _tried_turns(
    photo: NDArray[np.uint8],
    outline: Outline,
    front_spots: Sequence[RoundSpot],
    size: tuple[float, float],
    turn: int | None,
    manual: Sequence[tuple[Place, Place]],
) -> tuple[list[Alignment], list[Registration], tuple[int, ...]]:
    """Alignments of the back in every turn that its shape allows, and what they started from."""
    if turn is not None:
        turns: tuple[int, ...] = (turn,)
    elif abs(size[0] / size[1] - 1.0) < 0.1:
        turns = (0, 1, 2, 3)
    else:
        turns = (1, 3) if _lies_across(outline, size) else (0, 2)
    ways = {
        quarter: register_by_outline(outline, side=BACK, width=size[0], height=size[1], quarter_turns=quarter)
        for quarter in turns
    }
    first = ways[turns[0]]
    spots = _spots(photo, first, BACK, size)
    seen = first.to_photo(np.array([spot.at for spot in spots], dtype=float).reshape(-1, 2))
    tried = []
    for quarter in turns:
        carried = [
            replace(spot, at=(float(x), float(y)))
            for spot, (x, y) in zip(spots, ways[quarter].to_board(seen), strict=True)
        ]
        tried.append(align_back(front_spots, carried, ways[quarter], manual=manual))
    return tried, list(ways.values()), turns
