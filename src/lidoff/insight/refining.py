"""Likelihoods with the slopes taken where the readings draw the parameters, for parts whose tolerances are wide.

A current gain may be a third or thrice the written one; slopes taken at the written value then tell little. So the parameters
are moved to their most likely values, a few damped Gauss-Newton steps [1]_ [3]_, and the prediction is taken as linear round
these (Laplace's approximation [2]_).

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, section 3.4.
.. [2] R. E. Kass, A. E. Raftery, "Bayes factors", Journal of the American Statistical Association 90(430), 773-795, 1995,
   section 4.1.
.. [3] K. Levenberg, "A method for the solution of certain non-linear problems in least squares", Quarterly of Applied
   Mathematics 2(2), 164-168, 1944.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.insight.foretold import Told, tell
from lidoff.insight.likelihood import inverted, log_likelihoods, noise_of, read_values, shows_number
from lidoff.insight.predicting import standards
from lidoff.insight.scene import Scene
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.insight.watched import DeadTest

__all__ = ["poor_from", "posterior", "refined"]

STEPS = 4
UNSOLVED = 1e6
"""Misfit that a reading without an answer counts as."""
MOST_DAMPING = 100.0
OUT_OF_REACH = 2.5
"""Prior deviations beyond which no value is believed to lie; our choice."""
DAMPING = 3.0
"""First damping after a step that made things worse, in prior deviations' worth; our choice."""
FARTHEST = 1.9
"""Prior deviations beyond which no parameter is moved; even limits end at √3."""
STRAIGHT = 0.1
"""Relative move of a value up to which predictions are taken as linear; our choice."""
WIDE, FAR = 0.15, 1.3
"""Relative deviation from which a parameter is wide, and how many deviations it is tried at; our choice."""
MOST_WIDE, MOST_FAR = 8, 5
"""Wide parameters, and variants, for which far starts are tried."""
LEAST_SHARE = 0.05
"""Of its written value: where a parameter above zero is moved to at least."""


def refined(scene: Scene, told: Told, variants: Sequence[Variant]) -> tuple[Array, Told]:
    """Likelihoods round the most likely parameters.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    told : Told
        Predictions of the variants at the written values.
    variants : sequence of Variant
        V of them.

    Returns
    -------
    logarithms : ndarray of shape (V,)
        Of the likelihood of all readings.
    told : Told
        Predictions as if linear: values where all parameters stand as written, slopes as they are at the likeliest ones.
    """
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers or not scene.tolerances.parameters:
        return log_likelihoods(scene.watched, told, variants), told
    written, deviations = _written(scene, variants)
    fixed = _fixed(scene)
    moved = np.zeros(written.shape)
    best, cost = told, _cost(scene, told, variants, numbers, moved)
    aim, damping = _aim(scene, best, variants, numbers), np.zeros(len(variants))
    if (np.abs(aim * deviations) <= STRAIGHT * np.abs(written)).all():
        return log_likelihoods(scene.watched, told, variants), told
    doubtful = [row for row in range(len(variants)) if _is_poor(scene, told, variants, numbers, aim, row)]
    start = _far_start(scene, variants, numbers, (written, deviations), cost, doubtful) if doubtful else None
    if start is not None:
        rows, first, here = start
        flat = _as_if_linear(scene, here, first, written[rows], deviations[rows], fixed)
        moved[rows] = first
        best = Told(values=best.values.copy(), slopes=best.slopes.copy(), settled=best.settled.copy())
        best.values[rows], best.slopes[rows], best.settled[rows] = flat.values, flat.slopes, flat.settled
        cost[rows] = _cost(scene, here, [variants[row] for row in rows], numbers, first)
        aim = _aim(scene, best, variants, numbers)
    for _ in range(STEPS):
        tried = _kept(aim, written, deviations)
        far = np.abs((tried - moved) * deviations) > STRAIGHT * np.abs(written)
        if not (far.any(axis=1) & (damping < MOST_DAMPING)).any():
            break
        here = _there(scene, variants, written + tried * deviations)
        flat = _as_if_linear(scene, here, tried, written, deviations, fixed)
        new = _cost(scene, here, variants, numbers, tried)
        better = new < cost
        moved = np.where(better[:, None], tried, moved)
        cost = np.where(better, new, cost)
        best = Told(
            values=np.where(better[:, None], flat.values, best.values),
            slopes=np.where(better[:, None, None], flat.slopes, best.slopes),
            settled=np.where(better[:, None], here.settled, best.settled),
        )
        damping = np.where(better, 0.1 * damping, np.maximum(DAMPING, 10.0 * damping))
        aim = _aim(scene, best, variants, numbers, moved, damping)
    return log_likelihoods(scene.watched, best, variants), best


def _is_poor(
    scene: Scene, told: Told, variants: Sequence[Variant], numbers: Sequence[int], aim: Array, row: int
) -> bool:
    """Whether a variant's readings are far off even where its parameters would fit best, or these would lie out of reach."""
    read, deviations = read_values(scene.watched, [variants[row]])
    own = Told(values=told.values[[row]], slopes=told.slopes[[row]], settled=told.settled[[row]])
    off = np.where(own.settled, read - own.values, 0.0)[0, numbers]
    noise = noise_of(scene.watched, own.values, deviations, own.settled)[0, numbers]
    left = off - told.slopes[row, numbers] @ aim[row]
    misfit = float((left**2 / noise).sum() + (aim[row] ** 2).sum())
    return misfit > poor_from(len(numbers)) or float(np.abs(aim[row]).max()) > OUT_OF_REACH


def poor_from(count: int) -> float:
    """Misfit χ² of so many readings that counts as poor: three standard deviations above its mean.

    Parameters
    ----------
    count : int
        Readings.

    Returns
    -------
    float
        Chi-square has the mean `count` and the variance 2 `count`.
    """
    return float(count + 3.0 * (2.0 * count) ** 0.5)


def _far_start(
    scene: Scene,
    variants: Sequence[Variant],
    numbers: Sequence[int],
    prior: tuple[Array, Array],
    cost: Array,
    doubtful: Sequence[int],
) -> tuple[list[int], Array, Told] | None:
    """Better points to start from, one wide parameter moved far: rows, moves and predictions there; None where there is none.

    A transistor that leaves saturation when its gain is low shows no slope towards it where the gain is as written.
    """
    written, deviations = prior
    relative = np.abs(deviations[0]) / np.maximum(np.abs(written[0]), 1e-300)
    wide = [int(k) for k in np.argsort(-relative)[:MOST_WIDE] if relative[k] > WIDE]
    rows = sorted(doubtful, key=lambda row: cost[row])[:MOST_FAR]
    if not wide:
        return None
    trials = [(row, k, sign) for row in rows for k in wide for sign in (-FAR, FAR)]
    moved = np.zeros((len(trials), written.shape[1]))
    for line, (_, k, sign) in enumerate(trials):
        moved[line, k] = sign
    lines = [trial[0] for trial in trials]
    moved = _kept(moved, written[lines], deviations[lines])
    own = [variants[row] for row in lines]
    values = written[lines] + moved * deviations[lines]
    here = _there(scene, own, values, with_slopes=False)
    costs = _cost(scene, here, own, numbers, moved)
    best: dict[int, int] = {}
    for line, row in enumerate(lines):
        if costs[line] < costs[best[row]] if row in best else costs[line] < cost[row]:
            best[row] = line
    if not best:
        return None
    picked = list(best.values())
    return list(best), moved[picked], _there(scene, [own[line] for line in picked], values[picked])


def posterior(scene: Scene) -> tuple[Array, Array]:
    """What all readings say of every uncertain parameter of the circuit as traced.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.

    Returns
    -------
    moved : ndarray of shape (P,)
        Most likely values, in prior deviations from the written ones.
    left : ndarray of shape (P,)
        Standard uncertainty that is left, in the same unit; 1 where the readings say nothing.
    """
    _, told = refined(scene, tell(scene, [AS_TRACED]), [AS_TRACED])
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers:
        count = len(scene.tolerances.parameters)
        return np.zeros(count), np.ones(count)
    _, deviations = read_values(scene.watched, [AS_TRACED])
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[0, numbers]
    slopes = told.slopes[0, numbers]
    gain = slopes.T @ inverted(slopes @ slopes.T + np.diag(noise))
    left = 1.0 - np.einsum("pr,rp->p", gain, slopes)
    return _aim(scene, told, [AS_TRACED], numbers)[0], np.sqrt(np.maximum(left, 0.0))


def _written(scene: Scene, variants: Sequence[Variant]) -> tuple[Array, Array]:
    """Values (V, P) of all uncertain parameters before they are moved, and their prior deviations."""
    table = scene.plain_table
    values = np.array(
        [
            [
                one.values.get((reference, name), float(table[reference, name][0]))
                for reference, name, _ in scene.tolerances.parameters
            ]
            for one in variants
        ]
    )
    return values, _standards(scene, values)


def _standards(scene: Scene, values: Array) -> Array:
    """Standard uncertainty (V, P) of all uncertain parameters round values of theirs."""
    columns = [
        standards(spread, column)
        for column, (_, _, spread) in zip(values.T, scene.tolerances.parameters, strict=True)
    ]
    return np.stack(columns, axis=1)


def _fixed(scene: Scene) -> Array:
    """1 where a situation sets a parameter (R, P), so that moving it changes nothing there; else 0."""
    fixed = np.zeros((len(scene.watched), len(scene.tolerances.parameters)))
    for bundle in scene.bundles:
        held = [(reference, name) in bundle.fixed for reference, name, _ in scene.tolerances.parameters]
        fixed[np.ix_(np.array(bundle.places), np.flatnonzero(held))] = 1.0
    return fixed


def _kept(moved: Array, written: Array, deviations: Array) -> Array:
    """Moves no farther than a value may go."""
    bounded = np.clip(moved, -FARTHEST, FARTHEST)
    least = np.where(written > 0.0, (LEAST_SHARE - 1.0) * written / np.maximum(deviations, 1e-300), -np.inf)
    return np.maximum(bounded, least)


def _there(scene: Scene, variants: Sequence[Variant], values: Array, *, with_slopes: bool = True) -> Told:
    """Predictions with every parameter at its own value."""
    names = [(reference, name) for reference, name, _ in scene.tolerances.parameters]
    own = [
        replace(one, values={**one.values, **dict(zip(names, row, strict=True))})
        for one, row in zip(variants, values.tolist(), strict=True)
    ]
    return tell(scene, own, with_slopes=with_slopes)


def _as_if_linear(
    scene: Scene, here: Told, moved: Array, written: Array, deviations: Array, fixed: Array
) -> Told:
    """Predictions back at the written values by the slopes found at the moved ones."""
    # A slope counts for one deviation round the value where it was taken; relative tolerances grow with it.
    there = _standards(scene, written + moved * deviations)
    ratio = np.where(there > 0.0, deviations / np.where(there > 0.0, there, 1.0), 1.0)[:, None, :]
    slopes = here.slopes * np.where(fixed == 1.0, 1.0, ratio)
    return Told(
        values=here.values - np.einsum("vrp,vp->vr", slopes * (1.0 - fixed), moved),
        slopes=slopes,
        settled=here.settled,
    )


def _aim(
    scene: Scene,
    told: Told,
    variants: Sequence[Variant],
    numbers: Sequence[int],
    moved: Array | None = None,
    damping: Array | None = None,
) -> Array:
    """Most likely parameters (V, P) if predictions are linear, in prior deviations.

    With damping (V,) they are held to where they are moved to (V, P) as by that many further prior deviations' worth, which is
    Levenberg's way.
    """
    hold = np.zeros(len(variants)) if damping is None else damping
    width = (1.0 / (1.0 + hold))[:, None]
    slopes = told.slopes[:, numbers]
    centre = np.zeros((len(variants), slopes.shape[2])) if moved is None else moved * hold[:, None] * width
    read, deviations = read_values(scene.watched, variants)
    off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
    off = off - (slopes @ centre[:, :, None])[:, :, 0]
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[:, numbers]
    turned = np.transpose(slopes, (0, 2, 1)) * width[:, :, None]
    covariance = slopes @ turned + noise[:, :, None] * np.eye(len(numbers))
    aim: Array = centre + (turned @ (inverted(covariance) @ off[:, :, None]))[:, :, 0]
    return aim


def _cost(
    scene: Scene, told: Told, variants: Sequence[Variant], numbers: Sequence[int], moved: Array
) -> Array:
    """Sum (V,) of squares of misfits and moves."""
    read, deviations = read_values(scene.watched, variants)
    off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[:, numbers]
    cost: Array = (off**2 / noise + np.log(noise)).sum(axis=1) + (moved**2).sum(axis=1)
    powered = [not isinstance(one.target, DeadTest) for one in scene.watched]
    # A point without an answer must not look better for it.
    unsolved: Array = UNSOLVED * (~told.settled[:, powered]).sum(axis=1)
    return cost + unsolved
