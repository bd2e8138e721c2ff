"""Where hue is midway across edges, which light on relief leaves alone.

Light that falls on a slope changes all colours by one factor. So each colour of a profile across an edge tells, by its hue
alone, how much of it is copper's, whatever the light; and where that is one half lies the edge. Hue changes little from
laminate to copper, and noise hides that change in any one place; but an edge's shift by light is common to all places that
face one way, and their mean profile tells it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.rims import half_places

__all__ = ["HueShift", "harmonics", "hue_shift", "joined_shift"]

_FARTHEST = 4.0  # a shift of more than this was read off something else [pixels]
_EACH = 0.07  # standard uncertainty of each direction besides what scatters [pixels]
_ORDERS = (1, 2, 3)  # harmonics of the direction by which a shift may differ from the one expected

Profile = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HueShift:
    """Shift of edges by light, read off hue.

    Parameters
    ----------
    facing : ndarray of shape (D,)
        Direction away from copper, from x towards y [radians].
    outwards : ndarray of shape (D,)
        How far outside the edge its colour is midway [pixels].
    unsure : ndarray of shape (D,)
        Standard uncertainty of each, but for what all have in common [pixels].
    """

    facing: Profile
    outwards: Profile
    unsure: Profile


def hue_shift(
    facing: Profile, colours: Profile, parts: Profile, steps: Profile, low: Profile, step: Profile
) -> HueShift:
    """Shifts of the directions in which hue tells one.

    Parameters
    ----------
    facing : ndarray of shape (D,)
        Directions [radians].
    colours : ndarray of shape (D, N, 3)
        Mean profiles, above the laminate's level, in units of the step.
    parts : ndarray of shape (D, P, N, 3)
        The same of P shares of the places each, which tell how far they scatter.
    steps : ndarray of shape (N,)
        Distances outwards from where the colour is midway [pixels].
    low, step : ndarray of shape (3,)
        The laminate's level in that unit, and the step to copper's.

    Returns
    -------
    HueShift
        Without directions in which hue is nowhere midway; of none where both colours are of one hue.
    """
    found = _shifts(colours, steps, low, step)
    scattered = _shifts(parts, steps, low, step)
    good = np.isfinite(scattered).all(axis=1) & (np.abs(found) < _FARTHEST)
    count = parts.shape[1]
    spread = scattered[good].std(axis=1, ddof=1) / np.sqrt(count)
    return HueShift(facing=facing[good], outwards=found[good], unsure=np.hypot(spread, _EACH))


def _shifts(colours: Profile, steps: Profile, low: Profile, step: Profile) -> Profile:
    """How far outside the place of midway hue that of midway colour lies, for profiles of shape (..., N, 3).

    Not finite where one of the two is nowhere midway.
    """
    seen = low + colours
    # A colour is a multiple of `low` plus a share of `step`: that share is the one for which the two are parallel.
    without, with_step = np.cross(seen, low), np.cross(seen, step)
    size = (with_step**2).sum(axis=-1)
    share = -(without * with_step).sum(axis=-1) / np.maximum(size, 1e-9)
    shape = share.shape[:-1]
    midway = half_places((colours @ step).reshape(-1, len(steps)), steps)
    by_hue = half_places(share.reshape(-1, len(steps)), steps)
    with np.errstate(invalid="ignore"):
        return np.asarray(midway - by_hue).reshape(shape)


def joined_shift(expected: Profile, uncertainty: float, by_hue: HueShift) -> tuple[Profile, float]:
    """A shift that was expected, mended by what hue tells.

    Parameters
    ----------
    expected : ndarray of shape (A,)
        Shift of edges that face A even steps of direction, from x towards y [pixels].
    uncertainty : float
        Standard uncertainty of it [pixels]; above zero.
    by_hue : HueShift
        Read off the same edges.

    Returns
    -------
    shift : ndarray of shape (A,)
        In the same directions.
    uncertainty : float
        Root mean square of its standard uncertainties [pixels].

    Notes
    -----
    What is expected is off by some harmonics of the direction, all equally likely and together as large as its uncertainty; hue
    is off by its own, and by any constant. Least squares with all of them, the mean of a normal law given normal data [1]_.

    What all directions have in common is thus left as it was expected. Blur mixes the light's factor and the step, which moves
    the place of midway hue outwards by 0.07 pixels on invented boards; and levels that are a little off move midway colour and
    midway hue alike, so that their distance does not tell it.

    References
    ----------
    .. [1] A. Gelman et al., *Bayesian Data Analysis*, 3rd ed., CRC Press 2013, section 14.8 (from memory).
    """
    angles = np.asarray(np.arange(len(expected)) * (2 * np.pi / len(expected)), np.float64)
    around = np.interp(by_hue.facing, np.append(angles, 2 * np.pi), np.append(expected, expected[0]))
    terms, every = harmonics(by_hue.facing, _ORDERS), harmonics(angles, _ORDERS)
    weight = by_hue.unsure**-2.0
    # A constant that may be anything takes the weighted mean out of what hue tells.
    telling = np.diag(weight) - np.outer(weight, weight) / max(float(weight.sum()), 1e-12)
    # The squares of a cosine and a sine add to one: each order has the same share.
    own = np.eye(terms.shape[1]) * (len(_ORDERS) / uncertainty**2)
    left = np.linalg.inv(own + terms.T @ telling @ terms)
    off = left @ terms.T @ telling @ (by_hue.outwards - around)
    scatter = np.einsum("ij,jk,ik->i", every, left, every)
    return expected + every @ off, float(np.sqrt(scatter.mean()))


def harmonics(angles: Profile, orders: Sequence[int]) -> Profile:
    """Cosine and sine of each order in turn, of every angle [radians]; shape (angles, twice the orders)."""
    turns = np.outer(angles, orders)
    return np.stack([np.cos(turns), np.sin(turns)], axis=2).reshape(len(angles), 2 * len(orders))
