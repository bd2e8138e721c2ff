"""Placed lands laid onto the rims that a photo shows: to a tenth of a pixel, since a whole rim tells of a few numbers.

Two clicks place a part to some hundredths of a millimetre, and a pattern's lands are a little larger or smaller than those of
the board. So each part is shifted and turned as a whole, and lands of one size grow alike, until they fit the rims.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.along_edges import outwards, taken
from lidoff.board.classes import BARE, CLASSES, COVERED, LAMINATE, LEGEND
from lidoff.board.layout import Pad
from lidoff.board.package import PlacedPart
from lidoff.board.rims import across, half_places
from lidoff.board.scatter import scatter_of

__all__ = [
    "LaidLand",
    "depth_in_lands",
    "free_rims",
    "goes_on",
    "laid_lands",
    "land_as_placed",
    "with_laid_lands",
]

_REACH = (
    0.18  # how far from its pattern a rim is looked for [mm]; clicks and patterns are off by about 0.12 mm
)
_STEP = 0.25  # between samples across a rim [pixels]
_SPACING = 0.75  # between places along a rim [pixels]
_CORNER = 1.5  # how far from a corner a rim is looked at: blur rounds it [pixels]
_BEYOND = 5  # how far outside a rim a track or a body spoils it [pixels]
_CLICK, _SIZE, _TURN = 0.06, 0.1, 0.05  # standard deviations of what is fitted [mm, mm, radians]; our choice
_TAIL = 1.5  # deviation from which on a place counts less [scatters]
_LEAST_SCATTER = 0.05  # [pixels]
_ROUNDS = 8
_ROUNDED = 0.3  # share of metal below which a pixel inside lies in a rounded corner, or in a nick
_SEEN, _ON, _CLOSE = (
    0.35,
    0.7,
    0.5,
)  # least share of a rim that is free, share of that which lies so close [pixels]

Plane = NDArray[np.float32]
Places = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidLand:
    """One land where its rim lies.

    Parameters
    ----------
    pin : str
        "reference.pin".
    at : (float, float)
        Column and row of its centre [pixels].
    half : (float, float)
        Half its width and height [pixels].
    turn : float
        Clockwise as seen from the front [radians].
    round : bool
        Whether its ends are half circles.
    """

    pin: str
    at: tuple[float, float]
    half: tuple[float, float]
    turn: float
    round: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Rim:
    """Places along a pattern's rim, how much further out the seen one lies, and what each unknown moves it by."""

    found: Places
    moves: Places
    share: float


def laid_lands(
    share: Plane, spoilt: NDArray[np.bool_], parts: Sequence[PlacedPart], side: str, px_per_mm: float
) -> tuple[LaidLand, ...]:
    """Placed lands of one side, laid onto their rims.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        Share of metal, one on lands.
    spoilt : ndarray of shape (H, W)
        True on tracks, print, bodies and holes: beside those a rim is not looked at.
    parts : sequence of PlacedPart
        Parts placed so far.
    side : str
        "front" or "back".
    px_per_mm : float
        Raster.

    Returns
    -------
    tuple of LaidLand
        Only those whose rim is seen for a third or more, and lies where the pattern's shape says.

    Notes
    -----
    Least squares, in which places far off count little: a shift and a turn of each part, and a growth of each size of land
    (of its width and of its height), all expected to be small.

    References
    ----------
    .. [1] P. W. Holland and R. E. Welsch, *Robust regression using iteratively reweighted least-squares*, Communications in
       Statistics A 6 (1977).
    """
    from scipy import sparse
    from scipy.sparse.linalg import spsolve

    groups = [own for part in parts if (own := [pad for pad in part.pads if pad.side == side])]
    sizes = sorted({_key(pad) for own in groups for pad in own})
    unknowns = 3 * len(groups) + 2 * len(sizes)
    lands: list[tuple[Pad, Places, _Rim, list[int]]] = []
    rows: list[sparse.csr_matrix] = []
    for number, own in enumerate(groups):
        middle = np.mean([pad.at for pad in own], axis=0) * px_per_mm - 0.5
        for pad in own:
            rim = _rim(share, spoilt, pad, middle, px_per_mm)
            size = 3 * len(groups) + 2 * sizes.index(_key(pad))
            columns = [*range(3 * number, 3 * number + 3), size, size + 1]
            count = len(rim.found)
            at = (np.repeat(np.arange(count), 5), np.tile(columns, count))
            rows.append(sparse.csr_matrix((rim.moves.ravel(), at), shape=(count, unknowns)))
            lands.append((pad, middle, rim, columns))
    found = np.concatenate([np.empty(0), *(rim.found for _, _, rim, _ in lands)])
    if len(found) == 0:
        return ()
    moves = sparse.vstack(rows, format="csr")
    click, size_off = _CLICK * px_per_mm, _SIZE * px_per_mm
    usual = np.array([click, click, _TURN] * len(groups) + [size_off] * 2 * len(sizes))
    weight = np.ones(len(found))
    for _ in range(_ROUNDS):
        # What is expected to be small is held by one usual value each; a place of the rim counts as one pixel.
        normal = moves.T @ sparse.diags(weight) @ moves + sparse.diags(1.0 / usual**2)
        values = np.asarray(spsolve(normal.tocsc(), moves.T @ (weight * found)))
        off = found - moves @ values
        near = max(scatter_of(off), _LEAST_SCATTER) * _TAIL
        weight = 1.0 / (1.0 + (off / near) ** 2)
    starts = np.cumsum([len(rim.found) for _, _, rim, _ in lands])[:-1]
    return tuple(
        _moved(pad, values[columns[:3]], values[columns[3:]], middle, px_per_mm)
        for (pad, middle, rim, columns), own_off in zip(lands, np.split(off, starts), strict=True)
        if rim.share >= _SEEN and np.mean(np.abs(own_off) < _CLOSE) >= _ON
    )


def _key(pad: Pad) -> tuple[float, float, bool]:
    return (*pad.size, pad.round)


def _rim(share: Plane, spoilt: NDArray[np.bool_], pad: Pad, middle: Places, px_per_mm: float) -> _Rim:
    pattern = _moved(pad, np.zeros(3), np.zeros(2), middle, px_per_mm)
    places, facing = _outline(pattern)
    steps = np.arange(-_REACH * px_per_mm, _REACH * px_per_mm + _STEP / 2, _STEP)
    at, towards = places[:, ::-1], facing[:, ::-1]
    seen = across(share[..., None], at, towards, steps)[..., 0]
    nearest = half_places(seen, steps)
    free = np.isfinite(nearest) & ~_spoils(spoilt, at, towards)
    off = places - middle
    turned = off[:, 0] * facing[:, 1] - off[:, 1] * facing[:, 0]
    cos, sin = math.cos(math.radians(pad.turn)), math.sin(math.radians(pad.turn))
    wide = np.abs(facing @ np.array([cos, sin])) > math.sqrt(0.5)
    grown = np.stack([wide | pad.round, ~wide & (not pad.round)], axis=1).astype(np.float64)
    moves = np.column_stack([facing, turned, grown])
    return _Rim(found=nearest[free], moves=moves[free], share=float(np.mean(free)))


def _outline(land: LaidLand) -> tuple[Places, Places]:
    """Places along a land's rim (column, row) and which way it faces there; those of a rectangle keep off its corners."""
    half = np.array(land.half)
    short = float(half.min()) if land.round else 0.0
    straight = half - short if land.round else np.maximum(half - _CORNER, 0.0)
    places, facing = [], []
    for axis in (0, 1):
        along = np.arange(-straight[1 - axis], straight[1 - axis] + 1e-9, _SPACING)
        for sign in (1.0, -1.0):
            own = np.zeros((len(along), 2))
            own[:, axis], own[:, 1 - axis] = sign * half[axis], along
            places.append(own)
            facing.append(np.tile(sign * np.eye(2)[axis], (len(along), 1)))
    if land.round:
        around = np.arange(0.0, 2.0 * np.pi, _SPACING / max(short, 1.0))
        unit = np.column_stack([np.cos(around), np.sin(around)])
        places.append(unit * short + np.sign(unit) * straight)
        facing.append(unit)
    cos, sin = math.cos(land.turn), math.sin(land.turn)
    turn = np.array([[cos, sin], [-sin, cos]])
    return np.concatenate(places) @ turn + np.array(land.at), np.concatenate(facing) @ turn


def _spoils(spoilt: NDArray[np.bool_], places: Places, facing: Places) -> NDArray[np.bool_]:
    """Where something else than mask lies outside a rim; places and directions by row and column."""
    outside = np.arange(0.0, _BEYOND + 1.0)
    if len(places) == 0:
        return np.zeros(0, bool)
    return np.asarray(
        across(spoilt[..., None].astype(np.float32), places, facing, outside)[..., 0].max(axis=1) > 0.5
    )


def free_rims(lands: Sequence[LaidLand], spoilt: NDArray[np.bool_]) -> tuple[Places, Places]:
    """Places along the rims of laid lands where nothing else comes up to them.

    Parameters
    ----------
    lands : sequence of LaidLand
        On this raster.
    spoilt : ndarray of shape (H, W)
        As for `laid_lands`.

    Returns
    -------
    places, directions : ndarray of shape (N, 2)
        Row and column; directions point outwards and have length one.
    """
    every = [(np.empty((0, 2)),) * 2, *(_outline(land) for land in lands)]
    places, facing = (np.concatenate(one)[:, ::-1] for one in zip(*every, strict=True))
    free = ~_spoils(spoilt, places, facing)
    return places[free], facing[free]


def land_as_placed(pad: Pad, px_per_mm: float) -> LaidLand:
    """A placed land as its pattern has it.

    Parameters
    ----------
    pad : Pad
        Placed.
    px_per_mm : float
        Raster.

    Returns
    -------
    LaidLand
        Not yet laid onto any rim.
    """
    return _moved(pad, np.zeros(3), np.zeros(2), np.zeros(2), px_per_mm)


def _moved(pad: Pad, shift: Places, growth: Places, middle: Places, px_per_mm: float) -> LaidLand:
    centre = np.array(pad.at) * px_per_mm - 0.5
    off = centre - middle
    x, y = centre + shift[:2] + shift[2] * np.array([-off[1], off[0]])
    both = growth[:1] if pad.round else growth
    width, height = np.array(pad.size) / 2.0 * px_per_mm + both
    return LaidLand(
        pin=pad.pin,
        at=(float(x), float(y)),
        half=(float(width), float(height)),
        turn=math.radians(pad.turn) + float(shift[2]),
        round=pad.round,
    )


def depth_in_lands(
    lands: Sequence[LaidLand], shape: tuple[int, int], reach: float, *, grow: float = 0.0
) -> Plane:
    """How far inside a land each pixel lies.

    Parameters
    ----------
    lands : sequence of LaidLand
        On this raster.
    shape : (int, int)
        Rows and columns.
    reach : float
        How far outside lands is still told [pixels].
    grow : float
        By how much each land is taken wider on every side [pixels].

    Returns
    -------
    ndarray of shape (H, W)
        Distance from the rim [pixels]: positive inside, at least `-reach` outside.
    """
    depth = np.full(shape, -reach, np.float32)
    for land in lands:
        half = np.maximum(np.array(land.half) + grow, 0.0)
        around = float(np.hypot(*half)) + reach + 1.0
        left, top = (max(int(one - around), 0) for one in land.at)
        window = depth[
            top : max(int(land.at[1] + around) + 2, 0), left : max(int(land.at[0] + around) + 2, 0)
        ]
        rows, columns = np.indices(window.shape, dtype=np.float32)
        x, y = columns + left - land.at[0], rows + top - land.at[1]
        cos, sin = math.cos(land.turn), math.sin(land.turn)
        across_it, down_it = np.abs(cos * x + sin * y), np.abs(-sin * x + cos * y)
        short = float(half.min()) if land.round else 0.0
        over = (across_it - half[0] + short, down_it - half[1] + short)
        outside = np.hypot(np.maximum(over[0], 0.0), np.maximum(over[1], 0.0))
        np.maximum(window, short - outside - np.minimum(np.maximum(*over), 0.0), out=window)
    return depth


def goes_on(copper: Plane, depth: Plane, reach: float) -> Plane:
    """Least share of copper from each place outwards, up to so far from a land.

    Parameters
    ----------
    copper : ndarray of shape (H, W)
        Share of copper.
    depth : ndarray of shape (H, W)
        From `depth_in_lands`, told at least one pixel farther than `reach`.
    reach : float
        How far from its land copper has to go on [pixels].

    Returns
    -------
    ndarray of shape (H, W)
        The share itself beyond the reach.
    """
    x, y = outwards(0.5 + depth / (2.0 * reach + 2.0))
    least = copper
    for step in np.arange(1.0, reach + 1.0, dtype=np.float32):
        farther = taken(copper, step * x, step * y)
        least = np.where(depth - step > -reach - 1.0, np.minimum(least, farther), least)
    return least


def with_laid_lands(
    probability: Plane, share: Plane, depth: Plane, near: NDArray[np.bool_], *, fringe: float = 0.0
) -> Plane:
    """Class probabilities with the rims of laid lands where they lie.

    Parameters
    ----------
    probability : ndarray of shape (H, W, 7)
        In the order of `CLASSES`.
    share : ndarray of shape (H, W)
        Share of metal as seen.
    depth : ndarray of shape (H, W)
        From `depth_in_lands`.
    near : ndarray of shape (H, W)
        True along rims, where classes may change.
    fringe : float
        How far a coarse photo blurs a land's light outwards, where it passes for copper beneath the mask [pixels]. There is
        copper only where there is some all the way to the fringe's end: a track that comes up to the land.

    Returns
    -------
    ndarray of shape (H, W, 7)
        A new array.
    """
    settled = probability.copy()
    bare, covered, laminate, legend = (CLASSES.index(name) for name in (BARE, COVERED, LAMINATE, LEGEND))
    metal = np.clip(depth + 0.5, 0.0, 1.0)
    if fringe > 0.0:
        copper = probability[..., covered] + probability[..., bare]
        least = goes_on(copper, depth, fringe)
        outside = near & (depth <= 0.0) & (depth > -fringe)
        every = sum(probability[outside, index] for index in (bare, covered, laminate, legend))
        settled[outside, covered] = every * least[outside]
        settled[outside, laminate] = every * (1.0 - least[outside])
        settled[outside, bare] = settled[outside, legend] = 0.0
    here = near & (depth > -0.5) & ((share > _ROUNDED) | (depth < 0.5))
    every = sum(settled[here, index] for index in (bare, covered, laminate, legend))
    beside = settled[here, covered] / np.maximum(settled[here, covered] + settled[here, laminate], 1e-6)
    settled[here, bare] = every * metal[here]
    settled[here, covered] = every * (1.0 - metal[here]) * beside
    settled[here, laminate] = every * (1.0 - metal[here]) * (1.0 - beside)
    settled[here, legend] = 0.0
    return settled
