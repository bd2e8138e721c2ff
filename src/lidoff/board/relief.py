"""How light on the relief of covered copper moves its edges on one side of a board."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.rims import across, rims

__all__ = ["Profiles", "edge_profiles", "relief_shift"]

_DIRECTIONS = 16
_LEAST = 40  # places of one direction that make a profile
_REACH = 5.0  # how far to either side of an edge colours are taken [pixels]
_FITTED = 3.0  # how far of it is fitted: farther off lies the next edge of a thin track [pixels]
_STEP = 0.5
_BESIDE = 2.5  # where the lift of both sides gives the first guess [pixels]
_FIT = 0.1  # largest scatter of fitted profiles, as share of the step
_GRID = np.linspace(-5.0, 5.0, 201)  # where the crossing of a modelled profile is looked for [pixels]

Profile = NDArray[np.float64]
Plane = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profiles:
    """Mean profiles across the edges of covered copper, one for each direction that edges face.

    Parameters
    ----------
    steps : ndarray of shape (N,)
        Distance from where the edge seems to lie, outwards [pixels].
    colours : ndarray of shape (D, N, 3)
        Colour above the laminate's level, in units of the step to copper's.
    facing : ndarray of shape (D,)
        Direction away from copper, from x towards y [radians].
    counts : ndarray of shape (D,)
        Places behind each profile.
    step : ndarray of shape (3,)
        Direction of the step of colour, of length one.
    middle : ndarray of shape (3,)
        Colour midway, in units of the step: what light changes as a whole.
    """

    steps: Profile
    colours: Profile
    facing: Profile
    counts: Profile
    step: Profile
    middle: Profile


def edge_profiles(
    even: Plane, high: Plane, low: Plane, share: Plane, free: NDArray[np.bool_]
) -> Profiles | None:
    """Mean profiles across free edges of covered copper.

    Parameters
    ----------
    even : ndarray of shape (H, W, 3)
        Picture in even light.
    high, low : ndarray of shape (H, W, 3)
        Levels of copper and of laminate beneath the mask.
    share : ndarray of shape (H, W)
        Place of each pixel between them.
    free : ndarray of shape (H, W)
        True along edges far from metal, print and bodies.

    Returns
    -------
    Profiles or None
        None where fewer than three directions have edges enough.
    """
    places, facing = rims(share, free)
    if len(places) < _LEAST:
        return None
    steps = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    here = np.zeros(1)
    bottom, top = (across(level, places, facing, here)[:, 0] for level in (low, high))
    length = np.maximum(np.linalg.norm(top - bottom, axis=1, keepdims=True), 1e-3)
    seen = (across(even, places, facing, steps) - bottom[:, None]) / length[:, None]
    angle = np.arctan2(facing[:, 0], facing[:, 1])
    sector = np.round(angle / (2 * np.pi / _DIRECTIONS)).astype(int) % _DIRECTIONS
    clear = length[:, 0] > 3.0
    kept = [number for number in range(_DIRECTIONS) if int(((sector == number) & clear).sum()) >= _LEAST]
    if len(kept) < 3:
        return None
    own = [(sector == number) & clear for number in kept]
    return Profiles(
        steps=steps,
        colours=np.array([np.median(seen[one], axis=0) for one in own]),
        facing=np.array(kept) * (2 * np.pi / _DIRECTIONS),
        counts=np.array([float(one.sum()) for one in own]),
        step=np.median(((top - bottom) / length)[clear], axis=0),
        middle=np.median(((top + bottom) / 2 / length)[clear], axis=0),
    )


def relief_shift(profiles: Profiles | None) -> Profile:
    """By how much light on the relief moves edges, where their colour is midway.

    Parameters
    ----------
    profiles : Profiles or None
        Of one side.

    Returns
    -------
    ndarray of shape (2,)
        Shift along x and y of edges that face that way [pixels]; zero where the profiles do not follow the model.

    Notes
    -----
    Mask climbs over the edge of copper. There it is lighter where it faces the lamp and darker behind, by a factor common to
    all colours and in proportion to the cosine between the edge's direction and the lamp's. So a profile is a blurred step
    plus, about the true edge, a bump along the colour itself, and the bump moves the place where the colour is midway. The
    hue, which the bump leaves alone, and the lift beyond either level, which no step makes, tell the two apart.
    """
    from scipy.optimize import least_squares
    from scipy.special import ndtr

    if profiles is None:
        return np.zeros(2)
    use = np.abs(profiles.steps) <= _FITTED
    weights = np.sqrt(profiles.counts / profiles.counts.sum())
    towards = np.stack([np.cos(profiles.facing), np.sin(profiles.facing)], axis=1)
    seen = profiles.colours[:, use]
    own = float(profiles.middle @ profiles.step)
    if abs(own) < 1e-3:
        return np.zeros(2)

    def crossing(bump: float, blur: float, width: float) -> float:
        share = ndtr(-_GRID / blur) + bump * own * np.exp(-((_GRID / width) ** 2) / 2)
        falls = np.flatnonzero((share[:-1] >= 0.5) & (share[1:] < 0.5))
        if len(falls) == 0:
            return 0.0
        places = _GRID[falls] + (share[falls] - 0.5) / (share[falls] - share[falls + 1]) * (
            _GRID[1] - _GRID[0]
        )
        return float(places[np.argmin(np.abs(places))])

    def rest(values: Profile) -> Profile:
        bumps, (blur, width) = towards @ values[:2], values[2:]
        moved = np.array([crossing(float(bump), blur, width) for bump in bumps])
        at = profiles.steps[use][None, :] + moved[:, None]
        model = ndtr(-at / blur)[..., None] * profiles.step
        model = model + (bumps[:, None] * np.exp(-((at / width) ** 2) / 2))[..., None] * profiles.middle
        return np.asarray(((model - seen) * weights[:, None, None]).ravel())

    beside = np.isclose(np.abs(profiles.steps), _BESIDE)
    lift = (profiles.colours[:, beside] @ profiles.step).sum(axis=1) - 1.0
    start, *_ = np.linalg.lstsq(towards * weights[:, None], lift / own / 1.2 * weights, rcond=None)
    low, high = np.array([-2.0, -2.0, 0.4, 0.5]), np.array([2.0, 2.0, 3.0, 4.0])
    starts = [np.clip(np.array([*start, 1.1, width]), low, high) for width in (1.2, 2.0)]
    best = min((least_squares(rest, one, bounds=(low, high)) for one in starts), key=lambda one: one.cost)
    if np.sqrt(2.0 * best.cost / int(use.sum())) > _FIT:
        return np.zeros(2)
    blur, width = best.x[2:]
    return np.array([crossing(float(bump), float(blur), float(width)) for bump in best.x[:2]])
