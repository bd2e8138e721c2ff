"""Round copper about drilled holes, laid as whole circles: beneath print, beside lands and where blur has rounded it smaller.

An edge is placed where its colour is midway, which holds for straight ones: blurred, a small disc is midway too far inwards.
So a disc blurred alike is fitted to what is seen round each hole. A board's vias are of few sizes, which those seen whole tell
for those of which print or a land hides a part.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.board.layout import Hole
from lidoff.board.rims import across

__all__ = ["RoundCopper", "round_copper"]

_DIRECTIONS = 64
_STEP = 0.5  # between samples outwards [pixels]
_LARGEST_MM = 0.9  # widest disc looked for, by its radius [mm]
_LARGEST_HOLE_MM = 1.0  # widest hole of a via [mm]
_SURE = 0.9  # how sure a hole has to be for a disc of which only a part is seen
_NARROWEST_MM = 0.05  # narrowest ring [mm]
_AROUND = 2.0  # how far beyond a rim it has to be plainly laminate [blurs], and one pixel
_PLAIN = 0.3  # share of copper up to which something is plainly laminate
_LIKE = (
    0.12,
    1.5,
)  # how far the rim of one direction may be off the others, as a share of the radius; or in pixels
_WHOLE, _PARTLY = 0.5, 0.15  # share of its directions in which a rim, or copper within it, has to be seen
_COPPER = 0.7  # share of what is seen within a disc that has to be copper
_NOISE = 0.1  # standard deviation of a sample's share
_OFF_MM, _GAIN, _FLOOR = (
    0.06,
    0.1,
    0.05,
)  # usual deviations of a disc's middle, of copper's and of laminate's level
_ODD = 0.15  # root mean square of what a fit leaves from which on it is not believed
_BESIDE = 2.0  # how far beyond a disc its rim is settled [pixels]
_ALIKE_MM = 0.02  # standard deviation of the radii of one size as found [mm]
_GATHERINGS = 3

Plane = NDArray[np.float32]
Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RoundCopper:
    """Bounds for the share of copper near drilled holes.

    Parameters
    ----------
    least, most : ndarray of shape (H, W)
        Zero and one where nothing is told.
    """

    least: Plane
    most: Plane

    def held(self, copper: Plane) -> Plane:
        """The share of copper, shape (H, W), within these bounds."""
        return np.clip(copper, self.least, self.most)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Disc:
    """Number of its hole, columns and rows off its middle, radius [pixels], and in which directions the rim is seen."""

    number: int
    aside: Numbers
    radius: float
    free: NDArray[np.bool_]


def round_copper(
    share: Plane,
    clear: NDArray[np.bool_],
    masked: NDArray[np.bool_],
    holes: Sequence[Hole],
    px_per_mm: float,
    *,
    blur: float,
) -> RoundCopper | None:
    """Discs of copper about drilled holes.

    Parameters
    ----------
    share : ndarray of shape (H, W)
        Share of covered copper as its colour tells, one on copper and zero on laminate.
    clear : ndarray of shape (H, W)
        True on copper beneath the mask and laminate, some way off metal, print and bodies.
    masked : ndarray of shape (H, W)
        True on all copper beneath the mask and laminate.
    holes : sequence of Hole
        Known or likely holes.
    px_per_mm : float
        Raster.
    blur : float
        Standard deviation of the photo's blur [pixels].

    Returns
    -------
    RoundCopper or None
        None where no disc is seen whole.

    Notes
    -----
    Least squares on shares along directions in which the rim is clear: a disc's radius and middle, copper's and laminate's
    levels, and a second disc of any level for the hole. A disc blurred by a bell has at distance r the share
    P(radius² / blur²), where P is the non-central chi-square distribution with two degrees of freedom about r² / blur² [1]_.

    References
    ----------
    .. [1] H. Ruben, *Probability content of regions under spherical normal distributions I*, Annals of Mathematical Statistics
       31 (1960) (from memory).
    """
    small = [hole for hole in holes if hole.diameter <= _LARGEST_HOLE_MM]
    if not small:
        return None
    steps = np.arange(0.0, _LARGEST_MM * px_per_mm + 4.0 * blur + 4.0, _STEP)
    middles = np.array([hole.at for hole in small]) * px_per_mm - 0.5
    radii = np.array([hole.diameter for hole in small]) * px_per_mm / 2.0
    shares, far, near = _profiles(share, clear, masked, middles, steps)
    seen = {
        number: disc
        for number, radius in enumerate(radii)
        if (disc := _fitted(number, shares[number], far[number], radius, steps, px_per_mm, blur)) is not None
    }
    if not seen:
        return None
    usual = _gathered(list(seen.values()), _ALIKE_MM * px_per_mm)
    discs = [replace(disc, radius=radius) for disc, radius in zip(seen.values(), usual, strict=True)]
    # Other known holes have a disc as far off them and of that size if copper is where it would be. A round spot may be print.
    radius, aside = float(np.median(usual)), np.median([disc.aside for disc in discs], axis=0)
    within = int(max(radius - max(1.0, blur), 0.0) / _STEP)
    for number, hole in enumerate(small):
        if number in seen or hole.sure <= _SURE:
            continue
        told, copper = near[number][:, within], shares[number][:, within] > 0.5
        wide = radii[number] < radius - _NARROWEST_MM * px_per_mm
        if wide and told.mean() >= _PARTLY and copper[told].mean() >= _COPPER:
            discs.append(_Disc(number=number, aside=aside, radius=radius, free=np.zeros(_DIRECTIONS, bool)))
    return _bounds(discs, middles, share, masked)


def _units() -> Numbers:
    """Directions, row and column."""
    angle = np.arange(_DIRECTIONS) * 2.0 * np.pi / _DIRECTIONS
    return np.stack([np.sin(angle), np.cos(angle)], axis=1)


def _profiles(
    share: Plane, clear: NDArray[np.bool_], masked: NDArray[np.bool_], middles: Numbers, steps: Numbers
) -> tuple[Numbers, NDArray[np.bool_], NDArray[np.bool_]]:
    """Outwards from each middle in each direction: shares, and where they are clear and where masked."""
    both = np.stack([share, clear.astype(np.float32), masked.astype(np.float32)], axis=2)
    at = np.repeat(middles[:, ::-1], _DIRECTIONS, axis=0)
    values = across(both, at, np.tile(_units(), (len(middles), 1)), steps)
    values = values.reshape(len(middles), _DIRECTIONS, len(steps), 3)
    return values[..., 0], values[..., 1] > 0.99, values[..., 2] > 0.99


def _fitted(
    number: int,
    shares: Numbers,
    clear: NDArray[np.bool_],
    hole: float,
    steps: Numbers,
    px_per_mm: float,
    blur: float,
) -> _Disc | None:
    from scipy.optimize import least_squares
    from scipy.special import chndtr

    rim, free = _rim(shares, clear, hole, steps, blur)
    if free.mean() < _WHOLE:
        return None
    near = steps <= rim + _AROUND * blur + 1.0
    angle = np.arange(_DIRECTIONS)[free] * 2.0 * np.pi / _DIRECTIONS
    values, known, r = shares[free][:, near], clear[free][:, near], steps[near]
    inner = chndtr((hole / blur) ** 2, 2.0, (r / blur) ** 2)

    def rest(unknown: Numbers) -> Numbers:
        radius, x, y, drilled, high, low = unknown
        there = np.maximum(radius + x * np.cos(angle) + y * np.sin(angle), 0.1)
        disc = chndtr((there[:, None] / blur) ** 2, 2.0, (r[None, :] / blur) ** 2)
        off = low + (high - low) * disc + drilled * inner - values
        wishes = np.array([x, y]) / (_OFF_MM * px_per_mm), [(high - 1.0) / _GAIN, low / _FLOOR]
        return np.concatenate([(known * off).ravel() * _STEP / _NOISE, *wishes])

    fit = least_squares(rest, [rim, 0.0, 0.0, -0.5, 1.0, 0.0])
    radius, x, y = fit.x[:3]
    left = float(np.sqrt(np.mean(rest(fit.x)[: values.size] ** 2))) * _NOISE / _STEP
    if left > _ODD or radius < hole + _NARROWEST_MM * px_per_mm or np.hypot(x, y) > 3.0 * _OFF_MM * px_per_mm:
        return None
    return _Disc(number=number, aside=fit.x[1:3], radius=float(radius), free=free)


def _rim(
    shares: Numbers, clear: NDArray[np.bool_], hole: float, steps: Numbers, blur: float
) -> tuple[float, NDArray[np.bool_]]:
    """Where copper ends in most directions [pixels], and the directions in which it plainly does."""
    beyond = steps[:-1] >= hole
    falls = (shares[:, :-1] >= 0.5) & (shares[:, 1:] < 0.5) & beyond
    ends = np.where(falls.any(axis=1), steps[np.argmax(falls, axis=1)], np.inf)
    free = np.isfinite(ends)
    for number in np.flatnonzero(free):
        near = (steps >= ends[number] - blur) & (steps <= ends[number] + _AROUND * blur + 1.0)
        outside = near & (steps >= ends[number] + 1.5 * blur)
        free[number] = clear[number, near].all() and (shares[number, outside] < _PLAIN).all()
    if not free.any():
        return 0.0, free
    rim = float(np.percentile(ends[free], 30))
    share, pixels = _LIKE
    return rim, free & (np.abs(ends - rim) < max(share * rim, pixels))


def _gathered(discs: Sequence[_Disc], alike: float) -> Numbers:
    """Radii, each as the mean of those like it, weighted by how much of their rims is seen."""
    weight = np.array([disc.free.sum() for disc in discs], np.float64)
    radii = np.array([disc.radius for disc in discs])
    usual = radii
    for _ in range(_GATHERINGS):
        like = np.exp(-(((usual[:, None] - radii[None, :]) / alike) ** 2) / 2.0) * weight
        usual = (like * radii).sum(axis=1) / like.sum(axis=1)
    return np.asarray(usual)


def _bounds(discs: Sequence[_Disc], middles: Numbers, share: Plane, masked: NDArray[np.bool_]) -> RoundCopper:
    least, most = np.zeros(share.shape, np.float32), np.ones(share.shape, np.float32)
    for disc in discs:
        at, reach = middles[disc.number] + disc.aside, disc.radius + _BESIDE
        left, top = (max(int(one - reach), 0) for one in at)
        window = (slice(top, int(at[1] + reach) + 2), slice(left, int(at[0] + reach) + 2))
        rows, columns = np.indices(least[window].shape, dtype=np.float32)
        x, y = columns + left - at[0], rows + top - at[1]
        far = np.hypot(x, y)
        inside = np.clip(disc.radius - far + 0.5, 0.0, 1.0)
        turn = np.round(np.arctan2(y, x) / (2.0 * np.pi) * _DIRECTIONS).astype(int) % _DIRECTIONS
        free = disc.free[turn]
        plainly = masked[window] & (share[window] < _PLAIN)
        ring = (far > disc.radius / 2.0) & (far < reach)
        np.maximum(least[window], np.where(ring & (free | ~plainly), inside, 0.0), out=least[window])
        np.minimum(most[window], np.where(ring & free, inside, 1.0), out=most[window])
    return RoundCopper(least=least, most=np.maximum(least, most))
