"""How light on the relief of covered copper moves its edges on one side of a board."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.board.hue_shift import harmonics, hue_shift, joined_shift
from lidoff.board.rims import across, by_direction, half_places, rims

__all__ = ["SHIFT_ANGLES", "Profiles", "ReliefShift", "edge_profiles", "relief_shift"]

SHIFT_ANGLES = 64
"""Directions for which a shift is told."""

_DIRECTIONS = 16
_REACH = 5.0  # how far to either side of an edge colours are taken [pixels]
_FITTED = 3.0  # how far of it is fitted: farther off lies the next edge of a thin track [pixels]
_STEP = 0.5
_BESIDE = 2.5  # where the lift of both sides gives the first guess [pixels]
_ROUND, _FLAT = 2.0, 4.0  # powers of a bump like a bell, and of one with a flat top
_CERTAIN = (
    1.0  # least shift that is taken back [its uncertainties]: below that taking it back makes places no truer
)
_LAW = (
    0.15  # standard uncertainty of a shift from how light falls on relief [shifts]; found on invented boards
)
_HARMONIC_WISH = 0.3  # weight of the wish that a bump goes with the cosine alone
_LEVEL_WISH = 0.1  # weight of the wish that both levels are as read off
_PARTS = 4  # shares of the places of one direction, by whose scatter their mean is judged
_UNLIKELIER = 0.2  # how far off a fitted shift may be where hue tells better [shifts]
_GRID = np.linspace(-12.0, 12.0, 241)  # where profiles are modelled [pixels]
_SOFT = 0.5  # how softly colour changes beneath the mask before any blur: the mask flows over copper's edge [pixels]

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
    parts : ndarray of shape (D, P, N, 3)
        Profiles of P shares of the places of each direction.
    """

    steps: Profile
    colours: Profile
    facing: Profile
    counts: Profile
    step: Profile
    middle: Profile
    parts: Profile


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
    if len(places) == 0:
        return None
    steps = np.arange(-_REACH, _REACH + _STEP / 2, _STEP)
    here = np.zeros(1)
    bottom, top = (across(level, places, facing, here)[:, 0] for level in (low, high))
    length = np.maximum(np.linalg.norm(top - bottom, axis=1, keepdims=True), 1e-3)
    seen = (across(even, places, facing, steps) - bottom[:, None]) / length[:, None]
    clear = length[:, 0] > 3.0
    angles, own = by_direction(facing, _DIRECTIONS, clear)
    if len(own) < 3:
        return None
    return Profiles(
        steps=steps,
        colours=np.array([np.median(seen[one], axis=0) for one in own]),
        facing=angles,
        counts=np.array([float(one.sum()) for one in own]),
        step=np.median(((top - bottom) / length)[clear], axis=0),
        middle=np.median(((top + bottom) / 2 / length)[clear], axis=0),
        parts=np.array(
            [[np.median(part, axis=0) for part in np.array_split(seen[one], _PARTS)] for one in own]
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ReliefShift:
    """By how much light on the relief moves edges, where their colour is midway.

    Parameters
    ----------
    outwards : ndarray of shape (`SHIFT_ANGLES`,)
        Shift of edges that face each of so many even steps of direction, from x towards y [pixels]; zero where the profiles
        do not follow the model.
    uncertainty : float or None
        Standard uncertainty of an edge's place from this alone [pixels]; None where no profiles could be read.
    """

    outwards: Profile
    uncertainty: float | None


def relief_shift(profiles: Profiles | None, *, levels_hold: bool = False) -> ReliefShift:
    """Shift of edges by light on the relief, and how far it can be trusted.

    Parameters
    ----------
    profiles : Profiles or None
        Of one side.
    levels_hold : bool
        Whether the levels were not read off inside copper but fitted with the photo's blur.

    Returns
    -------
    ReliefShift
        For every direction.

    Notes
    -----
    Mask climbs over the edge of copper. There light is stronger where the mask faces the lamp and weaker behind, by a factor
    common to all colours. So a profile is a step times one plus, about the true edge, a bump, and blurred as a whole; and the
    bump moves the place where the colour is midway. The hue, which the bump leaves alone, and the lift beyond either level,
    which no step makes, tell the two apart. The bump goes with the cosine between the edge's direction and the lamp's, but for
    a third harmonic: steep walls are lit no more the more they face the lamp.

    The levels read off inside thin copper are themselves a little off, for blur reaches there, and that moves all edges
    outwards or all inwards. A fit that leaves both levels free tells by how much: what it shifts alike in opposite directions
    is taken from it, unless the levels hold. Against a bump, which moves opposite edges opposite ways, free levels only blunt
    the fit: what is shifted unlike comes from a fit with the levels held.

    Four things make the shift uncertain, and add in squares. What the fit leaves of the profiles, over the slope of an edge, is
    how far the place of one half may be off. A bump with a flat top and a round one move edges by a different amount, and so do
    levels held and free: those differences are told. And the law of the light is our own guess: on invented boards other than
    those of the published figures a shift was wrong by a tenth to a quarter of itself, and `_LAW` of it is told. Hue,
    read off without any such law, mends the shift as far as it is surer (`joined_shift`), for which the law is taken to be off
    by `_UNLIKELIER`. A shift that is no larger than what then is unsure is not taken back, and counts whole as uncertain. Told
    is what the fit alone leaves unsure: with less, too few distances on invented boards lay within twice of it.
    """
    if profiles is None:
        return ReliefShift(outwards=np.zeros(SHIFT_ANGLES), uncertainty=None)
    low = profiles.middle - profiles.step / 2
    own = float(low @ profiles.step)
    if abs(own + 0.5) < 1e-3:
        return ReliefShift(outwards=np.zeros(SHIFT_ANGLES), uncertainty=None)
    held = _fitted(profiles, _ROUND)
    other = _fitted(profiles, _FLAT, near=held.values)
    loose = _fitted(profiles, _ROUND, near=held.values, levels=True)
    around = _harmonics(np.arange(SHIFT_ANGLES, dtype=np.float64) * (2 * np.pi / SHIFT_ANGLES))
    round_one, flat, freed = (one.crossings(around, own) for one in (held, other, loose))
    unlike = _unlike(round_one)
    told = unlike if levels_hold else unlike + (freed - _unlike(freed))
    # A blurred step is steepest in its middle, by one over its blur and the root of two pi.
    misfit = loose.scatter * float(loose.values[4]) * np.sqrt(2 * np.pi)
    size, shape = _rms(told), _rms(unlike - _unlike(flat))
    uncertainty = float(np.linalg.norm([misfit, shape, _rms(round_one - freed), _LAW * size]))
    by_hue = hue_shift(profiles.facing, profiles.colours, profiles.parts, profiles.steps, low, profiles.step)
    told, left = joined_shift(told, float(np.hypot(uncertainty, _UNLIKELIER * size)), by_hue)
    size = _rms(told)
    if size < _CERTAIN * left:
        return ReliefShift(outwards=np.zeros(SHIFT_ANGLES), uncertainty=float(np.hypot(size, misfit)))
    return ReliefShift(outwards=told, uncertainty=uncertainty)


def _rms(values: Profile) -> float:
    return float(np.sqrt(np.mean(values**2)))


def _unlike(shift: Profile) -> Profile:
    """What of a shift is opposite in opposite directions."""
    return np.asarray((shift - np.roll(shift, SHIFT_ANGLES // 2)) / 2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fit:
    """Fitted profiles.

    `values` are the four harmonics of the bump, blur, width of the bump, the turn of the step's colour in two directions, the
    laminate's level and the step to copper's; `power` is the bump's, `scatter` what is left [steps].
    """

    values: Profile
    power: float
    scatter: float

    def crossings(self, turns: Profile, own: float) -> Profile:
        """Where edges whose harmonics are given are midway; `own` is the laminate's level along the step."""
        blur, width, low, step = (float(self.values[number]) for number in (4, 5, 8, 9))
        return _crossings(turns @ self.values[:4], _parts(blur, width, self.power), own, low, step)


_LEAST_VALUES = np.array([-2.0, -2.0, -1.0, -1.0, 0.4, 0.5, -0.2, -0.2, -0.3, 0.7])
_MOST_VALUES = np.array([2.0, 2.0, 1.0, 1.0, 3.0, 4.0, 0.2, 0.2, 0.3, 1.5])


def _fitted(profiles: Profiles, power: float, *, near: Profile | None = None, levels: bool = False) -> _Fit:
    """Profiles fitted from the start given, or from two; `levels` are held as read off, or free."""
    from scipy.optimize import least_squares

    use = np.abs(profiles.steps) <= _FITTED
    weights = np.sqrt(profiles.counts / profiles.counts.sum())
    turns = _harmonics(profiles.facing)
    seen, low = profiles.colours[:, use], profiles.middle - profiles.step / 2
    own = float(low @ profiles.step)
    # The step of colour, read off where levels are, may be turned a little; two directions at right angles to it.
    aside = np.linalg.svd(profiles.step[None, :])[2][1:]
    count = 10 if levels else 8
    held = np.array([0.0, 1.0])

    def rest(free: Profile) -> Profile:
        values = free if levels else np.concatenate([free, held])
        bumps, (blur, width), (plain, height) = turns @ values[:4], values[4:6], values[8:]
        parts = _parts(blur, width, power)
        at = profiles.steps[use][None, :] + _crossings(bumps, parts, own, plain, height)[:, None]
        core, bump, bumped = (np.interp(at, _GRID, part)[..., None] for part in parts)
        step = profiles.step + values[6:8] @ aside
        bright = bump * (low + plain * step) + height * bumped * step
        model = (plain + height * core) * step + bumps[:, None, None] * bright
        wishes = [*_HARMONIC_WISH * (own + 0.5) * values[2:4], *_LEVEL_WISH * (values[8:] - held)]
        return np.concatenate([((model - seen) * weights[:, None, None]).ravel(), wishes])

    if near is not None:
        starts = [near]
    else:
        beside = np.isclose(np.abs(profiles.steps), _BESIDE)
        lift = (profiles.colours[:, beside] @ profiles.step).sum(axis=1) - 1.0
        first, *_ = np.linalg.lstsq(
            turns[:, :2] * weights[:, None], lift / (own + 0.5) / 1.2 * weights, rcond=None
        )
        starts = [np.array([*first, 0.0, 0.0, 1.1, width, 0.0, 0.0, *held]) for width in (1.2, 2.0)]
    bounds = (_LEAST_VALUES[:count], _MOST_VALUES[:count])
    best = min(
        (least_squares(rest, np.clip(one[:count], *bounds), bounds=bounds) for one in starts),
        key=lambda one: one.cost,
    )
    return _Fit(
        values=best.x if levels else np.concatenate([best.x, held]),
        power=power,
        scatter=float(np.sqrt(2.0 * best.cost / int(use.sum()))),
    )


def _harmonics(facing: Profile) -> Profile:
    """First and third harmonic of each direction: what turns its sign where an edge faces the other way."""
    return harmonics(facing, (1, 3))


def _parts(blur: float, width: float, power: float) -> tuple[Profile, Profile, Profile]:
    """A step, a bump, and the bump where the step is up, each blurred, on `_GRID`."""
    from scipy.ndimage import gaussian_filter1d
    from scipy.special import ndtr

    core, bump = ndtr(-_GRID / _SOFT), np.exp(-(np.abs(_GRID / width) ** power) / 2)
    sigma = blur / float(_GRID[1] - _GRID[0])
    up, lit, both = (gaussian_filter1d(part, sigma, mode="nearest") for part in (core, bump, bump * core))
    return up, lit, both


def _crossings(
    bumps: Profile, parts: tuple[Profile, Profile, Profile], own: float, low: float, step: float
) -> Profile:
    """Where profiles with bumps are midway between the levels read off, of which the true ones are so far off."""
    core, bump, bumped = parts
    share = low + step * core + bumps[:, None] * ((own + low) * bump + step * bumped)
    found = half_places(share, _GRID)
    return np.asarray(np.where(np.isfinite(found), found, 0.0))
