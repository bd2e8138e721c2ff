"""How light on the mask round lands moves their rims, to one side all alike.

Mask ends at its opening, and climbs over the land's copper before it does: there it is lighter towards the lamp and darker
behind, as along tracks. On white mask that is as strong as the step from mask to ring, and moves the seen rim of every land
by some tenths of a pixel, to the same side.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.land_rims import RingFit
from lidoff.board.rims import across, by_direction

__all__ = ["rims_aside"]

_DIRECTIONS, _MOST_MISSING = 8, 2
# Nearest and farthest that rims lie aside [pixels]. Nearer by, what is left of tracks and print moves them as much: up to 0.16
# on boards whose rims lie right.
_LEAST_ASIDE, _MOST = 0.2, 0.8
_STRONGEST = 1.0  # strongest lift of light on the mask [shares]
_NARROWEST, _USUAL, _WIDEST = 0.8, 1.5, 3.0  # standard deviation of that lift across the rim [pixels]
_WISH = 0.01  # weight of the wish for no lift and no shift [steps of colour]

Profile = NDArray[np.float64]


def rims_aside(
    even: NDArray[np.float32], places: Profile, facing: Profile, ring: RingFit
) -> tuple[float, float]:
    """By how much rims truly lie aside of where they seem to.

    Parameters
    ----------
    even : ndarray of shape (H, W, 3)
        Picture in even light.
    places, facing : ndarray of shape (N, 2)
        Along free rims, where they seem to lie, and outwards: row and column.
    ring : RingFit
        What was fitted to the mean of all of them.

    Returns
    -------
    x, y : float
        [pixels]; zero where it is little, or where too few directions have rims enough.

    Notes
    -----
    A mean profile for each direction, and the ring's own in all of them, but for three things: an edge that lies farther out
    or in by the cosine of the direction; mask that is lighter there by a bell about that edge, also by a cosine; and the width
    of that bell. Blur is that of the ring; a bell that ends where mask does, blurred, is known in closed form, as the product
    of two normal laws is one.
    """
    from scipy.optimize import least_squares

    angles, own = by_direction(facing, _DIRECTIONS, np.ones(len(facing), bool))
    if len(own) < _DIRECTIONS - _MOST_MISSING:
        return 0.0, 0.0
    seen = np.array([np.median(across(even, places[one], facing[one], ring.steps), axis=0) for one in own])
    count = np.array([int(one.sum()) for one in own])
    weight = np.sqrt(count / count.sum())[:, None, None]
    towards = np.stack([np.cos(angles), np.sin(angles)], axis=1)
    span = float(np.linalg.norm(ring.metal[0] - ring.mask))

    def rest(values: Profile) -> Profile:
        by, lift = towards @ values[:2], towards @ values[2:4]
        off = (_model(ring, by, lift, float(values[4])) - seen) * (weight / span)
        return np.concatenate([off.ravel(), _WISH * values[:4]])

    most = np.array([_MOST, _MOST, _STRONGEST, _STRONGEST])
    found = least_squares(
        rest,
        np.array([0.0, 0.0, 0.0, 0.0, _USUAL]),
        bounds=(np.append(-most, _NARROWEST), np.append(most, _WIDEST)),
    )
    x, y = float(found.x[0]), float(found.x[1])
    return (x, y) if np.hypot(x, y) > _LEAST_ASIDE else (0.0, 0.0)


def _model(ring: RingFit, by: Profile, lift: Profile, width: float) -> Profile:
    """Profiles of shape (D, S, 3): metal, ring, and mask with a bell of light on it, blurred alike."""
    from scipy.special import ndtr

    steps, edge = ring.steps, (ring.edge + by)[:, None]
    outer = edge + ring.width
    first, second = ndtr((steps - edge) / ring.blur), ndtr((steps - outer) / ring.blur)
    both = width**2 + ring.blur**2
    middle = (steps * width**2 + edge * ring.blur**2) / both
    share = ndtr((middle - outer) * np.sqrt(both) / (width * ring.blur))
    bell = width / np.sqrt(both) * np.exp(-((steps - edge) ** 2) / (2.0 * both)) * share
    return np.asarray(
        ring.metal * (1.0 - first[..., None])
        + ring.ring * (first - second)[..., None]
        + ring.mask * (second + lift[:, None] * bell)[..., None]
    )
