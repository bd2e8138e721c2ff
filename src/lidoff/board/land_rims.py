"""How the rims of lands look on one side of a board: metal, a ring of open laminate, mask."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.rims import across

__all__ = ["LEAST_PLACES", "LandLevel", "RingFit", "land_level", "ring_profile"]

LEAST_PLACES = 250  # places along rims from which on a profile is believed
_REACH, _COARSE_REACH = (
    5.0,
    6.0,
)  # how far to either side of a rim the profile is looked at, least and most [pixels]
_BLURS = 3.0  # the same between them [details]
_INWARDS = 3.5  # the most inwards, where a hole may lie behind a narrow ring of metal [details]
_STEP = 0.25
_NARROWEST = 0.1  # least shift of a rim that counts as read off [pixels]
_WIDEST = 4.0  # widest ring looked for [pixels]
# How much wider than a land its opening in the mask is on each side [mm]: 0.05 mm with most makers of today, 0.1 mm with older
# ones; common practice, no source.
_OPENING, _OLDER = 0.06, 0.1
_STEEPEST = 0.08  # steepest change of metal's lightness towards its rim [shares per pixel]
_FIT = 0.03  # largest scatter of the fitted profile, as share of the step from mask to metal

Profile = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class LandLevel:
    """Where the rims of lands truly lie.

    Parameters
    ----------
    level : float
        Share of metal, between the levels of metal and mask, at the rim; one half where nothing else can be told.
    edge : float
        The same as a distance outwards from where that share is one half [pixels]; zero or less.
    uncertainty : float
        Standard uncertainty of the rims' place from this alone [pixels].
    ring : RingFit or None
        What was fitted; None where nothing could be.
    """

    level: float
    edge: float
    uncertainty: float
    ring: RingFit | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RingFit:
    """Metal, ring and mask in a mean profile across rims.

    Parameters
    ----------
    edge : float
        Where the metal ends, outwards from where the rim seems to lie; zero or less [pixels].
    uncertainty : float
        Standard uncertainty of that [pixels].
    width, blur : float
        Width of the ring, and standard deviation of what blurs both its edges [pixels].
    steps : ndarray of shape (N,)
        Distances outwards at which it was fitted [pixels].
    metal : ndarray of shape (N, 3)
        Colour of the metal at each step, as if it went on.
    ring, mask : ndarray of shape (3,)
        Colour of the ring, and of the mask beyond.
    """

    edge: float
    uncertainty: float
    width: float
    blur: float
    steps: Profile
    metal: Profile
    ring: Profile
    mask: Profile


def land_level(
    even: NDArray[np.float32],
    share: NDArray[np.float32],
    places: Profile,
    facing: Profile,
    px_per_mm: float,
    *,
    detail: float = 1.0,
) -> LandLevel:
    """Share of metal at which the rims of lands truly lie.

    Parameters
    ----------
    even : ndarray of shape (H, W, 3)
        Picture in even light.
    share : ndarray of shape (H, W)
        Place of each pixel between laminate beneath the mask (0) and metal (1).
    places, facing : ndarray of shape (N, 2)
        Along free rims, where they seem to lie, and outwards: row and column.
    px_per_mm : float
        Raster.
    detail : float
        Size of the photo's own pixels in pixels of this raster; one or more.

    Returns
    -------
    LandLevel
        One half where nothing else can be told; more where an opening of the mask leaves a ring of laminate, less never.

    Notes
    -----
    Where no ring can be read off, or one of no width, there may be one of any width up to the usual one or none at all, all
    equally likely: blur hides narrow ones.
    """
    unread = LandLevel(level=0.5, edge=0.0, uncertainty=_OPENING * px_per_mm / np.sqrt(12.0))
    if len(places) < LEAST_PLACES:
        return unread
    reach = min(max(_REACH, _BLURS * detail), _COARSE_REACH)
    steps = np.arange(-min(_INWARDS * detail, reach), reach + _STEP / 2, _STEP)
    colours = np.median(across(even, places, facing, steps), axis=0)
    fitted = ring_profile(steps, colours, px_per_mm)
    if fitted is None:
        return unread
    at = np.median(across(share[..., None], places, facing, np.array([fitted.edge])), axis=0)
    hidden = unread.uncertainty if fitted.edge > -_NARROWEST else 0.0
    return LandLevel(
        level=float(np.clip(at[0, 0], 0.5, 0.9)),
        edge=fitted.edge,
        uncertainty=float(np.hypot(fitted.uncertainty, hidden)),
        ring=fitted,
    )


def ring_profile(steps: Profile, colours: Profile, px_per_mm: float) -> RingFit | None:
    """Place of the metal's edge in a mean profile across rims.

    Parameters
    ----------
    steps : ndarray of shape (N,)
        Distance from where the rim seems to lie, outwards [pixels].
    colours : ndarray of shape (N, 3)
        Colour at each step.
    px_per_mm : float
        Raster.

    Returns
    -------
    RingFit or None
        None where the profile is not that of metal, ring and mask.

    Notes
    -----
    Three colours blurred alike: metal up to the edge, laminate for the width of the ring, mask beyond. Solder stands in a
    dome, so that metal may darken evenly towards its rim. The ring's colour is unknown; what gives it away is that each
    channel has its own share of the two steps. Where the profile leaves its width open, the usual one is taken. The
    uncertainty is that of the least squares, with what the fit leaves taken for the profile's noise, and by how much the edge
    moves where an older maker's ring is taken for the usual one.
    """
    from scipy.optimize import least_squares
    from scipy.special import ndtr

    metal, mask = colours[:5].mean(axis=0), colours[-5:].mean(axis=0)
    span = float(np.linalg.norm(metal - mask))
    if span < 20.0:
        return None

    def rest(values: Profile, usual: float = _OPENING) -> Profile:
        edge, width, blur, level, slope = values[:5]
        first, second = ndtr((steps - edge) / blur)[:, None], ndtr((steps - edge - width) / blur)[:, None]
        inner = metal * (level + slope * (steps - steps[2]))[:, None]
        model = inner * (1.0 - first) + values[5:] * (first - second) + mask * second
        # Weak wishes decide where the profile says nothing.
        wishes = [0.005 * edge, 2.0 * (width / px_per_mm - usual), slope]
        return np.concatenate([((model - colours) / span).ravel(), wishes])

    low = np.array([-3.0, 0.0, 0.4, 0.8, -_STEEPEST, 0, 0, 0])
    high = np.array([1.0, _WIDEST, 3.0, 1.1, _STEEPEST, 255, 255, 255])
    halfway, near_mask = (metal + mask) / 2, 0.1 * metal + 0.9 * mask
    begun = ((-0.15, 0.3, halfway), (-0.75, 1.5, halfway), (-1.25, 2.5, halfway), (0.0, 1.5, near_mask))
    starts = [np.array([edge, width, 1.0, 1.0, 0.0, *colour]) for edge, width, colour in begun]
    best = min((least_squares(rest, start, bounds=(low, high)) for start in starts), key=lambda one: one.cost)
    edge, ring = float(best.x[0]), best.x[5:]
    scatter = float(np.sqrt(np.mean(best.fun**2)))
    # A ring of metal's own colour is metal.
    like_metal = float(np.linalg.norm(ring - metal)) < 0.25 * span
    if scatter > _FIT or like_metal or not -2.5 < edge < 0.5:
        return None
    slopes = np.asarray(best.jac, np.float64)
    spread = np.linalg.pinv(slopes.T @ slopes) * 2.0 * best.cost / max(best.fun.size - best.x.size, 1)
    wider = least_squares(rest, best.x, bounds=(low, high), args=(_OLDER,))
    unsure = float(np.hypot(np.sqrt(spread[0, 0]), wider.x[0] - edge))
    return RingFit(
        edge=min(edge, 0.0),
        uncertainty=unsure,
        width=float(best.x[1]),
        blur=float(best.x[2]),
        steps=steps,
        metal=metal * (best.x[3] + best.x[4] * (steps - steps[2]))[:, None],
        ring=ring,
        mask=mask,
    )
