"""Edges laid straight where they run straight, and tracks given the width that most of their board's have.

Found edges waver about the straight lines that were drawn, by noise, weave and what is left of light near print and lands;
and one layout has few widths of track, so that a track a little wider than most is one that was found a little too wide.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from lidoff.board.rims import across, falling

if TYPE_CHECKING:
    from scipy.spatial import cKDTree

__all__ = ["ruled"]

_REACH_MM = 2.0  # how far to either side an edge is looked at [mm]
_BELL = 0.6  # standard deviation of the weight of what is looked at [reaches]
_FACING = 0.99  # cosine of the turn up to which an edge still is the same straight one
_BESIDE = 1.5  # how far off its line a place may be [pixels]
_ASLANT = 0.06  # how much farther with each pixel along it: a line may run a little aslant
_CROWDED = 0.02  # weight of a place beside print, metal and bodies, where one clear of them has one
_LEAST = 4.0  # weight of places from which on a line is believed; by twice as much, wholly
_FARTHEST = 1.5  # most that an edge is moved [pixels]
_COARSE = 0.7  # these two limits in a coarse photo [details]
_OUTLYING = 1.5  # scatters from the line from which on a place counts ever less
_SURE = 0.15  # least scatter about a line that is believed [pixels]
_SPREAD = 2.0  # least spread of places along a line, so that few close ones give it no slope [pixels]
_ROUNDS = 3
_TOGETHER = 8.0  # places along an edge that are off together, as means along edges make them

_WIDEST_MM = 1.3  # widest track that is looked for [mm]
_APART = 1.2  # how far off the other edge of a track may be from where it is looked for [pixels]
_OPPOSITE = -0.97  # cosine between the directions of both
_ALIKE = 0.25  # least standard deviation of widths that are one [pixels]
_SHIFTS = 40  # rounds in which widths gather
_OFTEN_MM = 4.0  # edge from which on a width counts as one of the board's; by twice as much, wholly [mm]
_LEAST_PLACES = 100  # of edges of tracks, from which on widths are compared
_WIDTHS = 0.05  # step between widths [pixels]

_NEAR = 3.0  # from how far off on an edge's move fades, up to twice as far [pixels]
_AT_ONCE = 20_000  # places looked at at once, so that memory stays bounded

Plane = NDArray[np.float32]
Places = NDArray[np.float64]
Numbers = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Edges:
    """Places a pixel apart along all edges, line after line.

    `places` and `facing` are row and column, the latter of length one and away from copper; `first`, `count` and `closed` tell
    of each place which line it is on; `clear` is true of those clear of print, metal and bodies.
    """

    places: Places
    facing: Places
    first: Numbers
    count: Numbers
    closed: NDArray[np.bool_]
    clear: NDArray[np.bool_]

    def beside(self, number: Numbers, steps: Numbers) -> tuple[Numbers, NDArray[np.bool_]]:
        """Numbers of the places so many steps along the lines of the ones given, and whether there are such."""
        first, count = self.first[number, None], self.count[number, None]
        closed = self.closed[number, None]
        at = number[:, None] - first + steps
        good = np.where(closed, np.abs(steps) <= count // 2, (at >= 0) & (at < count))
        return first + np.where(closed, at % count, np.clip(at, 0, count - 1)), good


def ruled(
    copper: Plane,
    lines: Sequence[Places],
    clear: NDArray[np.bool_],
    px_per_mm: float,
    *,
    detail: float = 1.0,
    wander: float | None = None,
) -> Plane:
    """Edges of copper laid straight, and tracks of nearly one width given that one.

    Parameters
    ----------
    copper : ndarray of shape (H, W)
        Probability of copper; an edge lies where it is one half.
    lines : sequence of ndarray of shape (N, 2)
        Its edges, each by places a pixel apart: row and column.
    clear : ndarray of shape (H, W)
        True along edges clear of print, metal and bodies. The others follow them.
    px_per_mm : float
        Raster.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.
    wander : float or None
        By how much edges waver about straight lines [pixels]; None where that is not known, and widths are left as they are.

    Returns
    -------
    ndarray of shape (H, W)
        The same but within `_NEAR` and a little of an edge, which has moved by `_FARTHEST` at most.

    Notes
    -----
    A line through the places to either side of each place of an edge, near by, facing alike and not far off the line, by least
    squares; what lies off it counts ever less, by Cauchy's weights [1]_. Corners and bends end a line; along an edge that
    plainly curves it is an arc.

    Widths are gathered by mean shift [2]_: each goes to the mean of those like it, as their waver tells, and from there on,
    until it stays. A width found on a short length of edge alone is left as it is; so is one that lies between.

    References
    ----------
    .. [1] P. J. Holland, R. E. Welsch, *Robust regression using iteratively reweighted least-squares*, Communications in
       Statistics A6 (1977) 813–827 (from memory).
    .. [2] D. Comaniciu, P. Meer, *Mean shift: a robust approach toward feature space analysis*, IEEE PAMI 24 (2002) 603–619
       (from memory).
    """
    from scipy.spatial import cKDTree

    if not lines:
        return copper
    edges = _edges_of(copper, lines, clear)
    coarse = max(1.0, _COARSE * detail)
    straight, trust = _straightened(edges, round(_REACH_MM * px_per_mm), _BESIDE * coarse)
    move, tree = straight, cKDTree(edges.places)
    if wander is not None:
        move = move + _to_usual_width(copper, edges, tree, straight, trust, px_per_mm, max(_ALIKE, wander))
    return _moved(copper, edges, tree, np.clip(move, -_FARTHEST * coarse, _FARTHEST * coarse))


def _edges_of(copper: Plane, lines: Sequence[Places], clear: NDArray[np.bool_]) -> _Edges:
    places = np.concatenate(lines)
    counts = np.array([len(line) for line in lines], np.int64)
    closed = np.array([float(np.linalg.norm(line[0] - line[-1])) < 1.5 for line in lines], bool)
    rows, columns = np.round(places).astype(int).T
    return _Edges(
        places=places,
        facing=falling(copper, places),
        first=np.repeat(np.cumsum(counts) - counts, counts),
        count=np.repeat(counts, counts),
        closed=np.repeat(closed, counts),
        clear=clear[rows, columns],
    )


def _parts(count: int) -> Iterator[Numbers]:
    for start in range(0, count, _AT_ONCE):
        yield np.arange(start, min(start + _AT_ONCE, count))


def _straightened(edges: _Edges, reach: int, beside: float) -> tuple[Places, Places]:
    """How far outwards each place's line runs from it [pixels], times how far it is believed, and that."""
    move, trust = np.zeros(len(edges.places)), np.zeros(len(edges.places))
    steps = np.arange(-reach, reach + 1)
    for here in _parts(len(edges.places)):
        others, good = edges.beside(here, steps)
        facing = edges.facing[here]
        to = edges.places[others] - edges.places[here, None]
        off = np.einsum("nkc,nc->nk", to, facing)
        along = to[..., 1] * facing[:, None, 0] - to[..., 0] * facing[:, None, 1]
        good &= np.einsum("nkc,nc->nk", edges.facing[others], facing) > _FACING
        good &= np.abs(off) < beside + _ASLANT * np.abs(along)
        weight = np.where(good, np.where(edges.clear[others], 1.0, _CROWDED), 0.0)
        weight *= np.exp(-((along / (_BELL * reach)) ** 2) / 2)
        trust[here] = np.clip(weight.sum(axis=1) / _LEAST - 1.0, 0.0, 1.0)
        move[here] = trust[here] * _line_at_zero(along, off, weight)
    return move, trust


def _line_at_zero(along: Places, off: Places, weight: Places) -> Places:
    """Where lines through weighted places are at zero, one for each row; arcs where places plainly lie on one."""
    counted = weight
    total = np.maximum(weight.sum(axis=1), 1e-9)
    level, slope = _line(along, off, counted)
    for _ in range(_ROUNDS):
        rest = off - level[:, None] - slope[:, None] * along
        scatter = np.maximum(np.sqrt((weight * rest**2).sum(axis=1) / total), _SURE)
        counted = weight / (1.0 + (rest / (_OUTLYING * scatter[:, None])) ** 2)
        level, slope = _line(along, off, counted)
    rest = off - level[:, None] - slope[:, None] * along
    middle = (weight * along**2).sum(axis=1) / total
    square = along**2 - middle[:, None]
    size = np.maximum((weight * square**2).sum(axis=1), 1e-9)
    lift = middle * (weight * rest * square).sum(axis=1) / size
    unsure = middle * scatter * np.sqrt(_TOGETHER / size)
    return np.asarray(level - lift * np.clip(np.abs(lift) / np.maximum(unsure, 1e-9) - 1.0, 0.0, 1.0))


def _line(along: Places, off: Places, weight: Places) -> tuple[Places, Places]:
    count, first = weight.sum(axis=1), (weight * along).sum(axis=1)
    second = (weight * along**2).sum(axis=1) + _SPREAD**2 * count
    plain, tilted = (weight * off).sum(axis=1), (weight * off * along).sum(axis=1)
    size = np.maximum(count * second - first**2, 1e-9)
    return (second * plain - first * tilted) / size, (count * tilted - first * plain) / size


def _to_usual_width(
    copper: Plane,
    edges: _Edges,
    tree: cKDTree,
    straight: Places,
    trust: Places,
    px_per_mm: float,
    alike: float,
) -> Places:
    """How far outwards each edge has to go besides for its track to have a width that is usual on the board [pixels]."""
    places, facing = edges.places, edges.facing
    width = _widths(copper, edges, px_per_mm)
    apart, other = tree.query(places - facing * np.where(np.isfinite(width), width, 0.0)[:, None])
    track = np.isfinite(width) & (apart < _APART) & (np.einsum("nc,nc->n", facing, facing[other]) < _OPPOSITE)
    track &= (trust >= 1.0) & (trust[other] >= 1.0)
    width = np.where(track, np.maximum(width + straight + straight[other], 0.0), 0.0)
    counted = width[track & edges.clear & edges.clear[other]]
    if len(counted) < _LEAST_PLACES:
        return np.zeros(len(places))
    usual, often = _gathered(width, counted, alike)
    off = usual - width
    # Both edges of a track are counted.
    known = np.clip(often / (2.0 * _OFTEN_MM * px_per_mm) - 1.0, 0.0, 1.0)
    share = known * np.clip(3.0 - np.abs(off) / alike, 0.0, 1.0)
    return np.where(track, share * off / 2.0, 0.0)


def _widths(copper: Plane, edges: _Edges, px_per_mm: float) -> Places:
    """How far inwards the other edge of a track lies [pixels]; infinite where there is none near."""
    steps = np.arange(0.5, _WIDEST_MM * px_per_mm, 0.5)
    width = np.full(len(edges.places), np.inf)
    for here in _parts(len(width)):
        seen = across(copper[..., None], edges.places[here], -edges.facing[here], steps)[..., 0]
        falls = (seen[:, :-1] >= 0.5) & (seen[:, 1:] < 0.5)
        at = np.argmax(falls, axis=1)
        row = np.arange(len(here))
        drop = np.maximum(seen[row, at] - seen[row, at + 1], 1e-9)
        found = steps[at] + (seen[row, at] - 0.5) / drop * (steps[1] - steps[0])
        width[here] = np.where(falls[row, at], found, np.inf)
    return width


def _gathered(width: Places, counted: Places, alike: float) -> tuple[Places, Places]:
    """The usual width near each, and on how many places it was found."""
    from scipy.ndimage import gaussian_filter1d

    grid = np.arange(0.0, float(counted.max()) + 6.0 * alike, _WIDTHS)
    number = np.bincount(np.round(counted / _WIDTHS).astype(int), minlength=len(grid)).astype(np.float64)
    around = gaussian_filter1d(number, alike / _WIDTHS, mode="constant")
    mean = gaussian_filter1d(number * grid, alike / _WIDTHS, mode="constant") / np.maximum(around, 1e-12)
    mean = np.where(around > 1e-9, mean, grid)
    usual = width
    for _ in range(_SHIFTS):
        usual = np.interp(usual, grid, mean)
    # The height of a bell times its width and the root of two pi is what stands below it.
    return usual, np.interp(usual, grid, around) * np.sqrt(2.0 * np.pi) * alike / _WIDTHS


def _moved(copper: Plane, edges: _Edges, tree: cKDTree, move: Places) -> Plane:
    """Copper with its edges moved outwards by so much."""
    import cv2

    inside = (copper > 0.5).astype(np.uint8)
    around = np.ones((2 * round(_NEAR) + 1,) * 2, np.uint8)
    pixels = np.argwhere(cv2.dilate(inside, around) != cv2.erode(inside, around))
    out = copper.copy()
    for here in _parts(len(pixels)):
        some = pixels[here]
        far, number = tree.query(some, k=1)
        by = edges.facing[number] * (move[number] * np.clip(2.0 - far / _NEAR, 0.0, 1.0))[:, None]
        values = across(copper[..., None], some - by, np.zeros_like(by), np.zeros(1))
        out[some[:, 0], some[:, 1]] = values[:, 0, 0]
    return out
