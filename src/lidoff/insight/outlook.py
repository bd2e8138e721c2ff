"""What each explanation of the readings so far foresees of readings not yet taken.

Under an explanation the parameters are normal round where the readings so far have drawn them (see
`lidoff.insight.knowledge`), so that a new reading is normal round ``f + J m`` with variance ``J Σ Jᵀ`` and the instrument's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.insight.believed import Believed
from lidoff.insight.foretold import Told, tell
from lidoff.insight.likelihood import inverted, noise_of, read_values, shows_number, sign_probability
from lidoff.insight.open_causes import READING_TIMES, VALUE_TIMES
from lidoff.insight.scene import Scene, scene_of
from lidoff.insight.variant import Variant
from lidoff.insight.watched import Watched

__all__ = ["Outlook", "outlook_of"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlook:
    """Readings foreseen under each of K explanations.

    Attributes
    ----------
    explanations : tuple of Believed
        K of them.
    weights : ndarray of shape (K,)
        Their probabilities, made to add up to one.
    watched : tuple of Watched
        C readings that may be taken, without values.
    means : ndarray of shape (K, C)
        Expected values.
    spreads : ndarray of shape (K, C)
        Standard uncertainty by the parts, after the readings so far.
    signs : ndarray of shape (K, C)
        Probability that the display shows no number: a beep, or "over range".
    settled : ndarray of bool, shape (C,)
        Which are foreseen under any explanation.
    tied : ndarray of shape (K, C, C)
        Covariance between the readings by the parts.
    """

    explanations: tuple[Believed, ...]
    weights: Array
    watched: tuple[Watched, ...]
    means: Array
    spreads: Array
    signs: Array
    settled: NDArray[np.bool_]
    tied: Array


def outlook_of(scene: Scene, explanations: Sequence[Believed], watched: Sequence[Watched]) -> Outlook:
    """Foresee readings.

    Parameters
    ----------
    scene : Scene
        The circuit with the readings so far.
    explanations : sequence of Believed
        At least one; causes that are on no list are left out.
    watched : sequence of Watched
        Readings that may be taken, their values of no meaning.

    Returns
    -------
    Outlook
    """
    kept = [one for one in explanations if one.kind != "unlisted"]
    variants = [one.variant for one in kept]
    ahead = scene_of(scene.circuit, scene.situations, watched, scene)
    told = tell(ahead, variants)
    means, tied = _after(scene, kept, variants, told)
    weights = np.array([one.probability for one in kept])
    weights = weights / weights.sum()
    spreads = np.sqrt(np.maximum(np.diagonal(tied, axis1=1, axis2=2), 0.0))
    means, spreads = _unsolved_told_by_others(means, spreads, weights, told.settled)
    signs = np.stack(
        [sign_probability(one, means[:, place]) for place, one in enumerate(ahead.watched)], axis=1
    )
    return Outlook(
        explanations=tuple(kept),
        weights=weights,
        watched=ahead.watched,
        means=means,
        spreads=spreads,
        signs=signs,
        settled=np.asarray(told.settled.any(axis=0), dtype=np.bool_),
        tied=tied,
    )


def _unsolved_told_by_others(
    means: Array, spreads: Array, weights: Array, settled: NDArray[np.bool_]
) -> tuple[Array, Array]:
    """Means and spreads where an explanation foresees nothing, such as where it shorts a source: those of all others.

    So the reading counts as telling nothing about that explanation.
    """
    mass = np.where(settled, weights[:, None], 0.0)
    whole = np.maximum(mass.sum(axis=0), 1e-300)
    mean = (mass * means).sum(axis=0) / whole
    square = (mass * (spreads**2 + (means - mean) ** 2)).sum(axis=0) / whole
    return np.where(settled, means, mean), np.where(settled, spreads, np.sqrt(square))


def _after(
    scene: Scene, kept: Sequence[Believed], variants: Sequence[Variant], ahead: Told
) -> tuple[Array, Array]:
    """Means (K, C) and covariances (K, C, C) of what is ahead, after the readings so far."""
    widths = np.ones((len(kept), len(scene.tolerances.parameters)))
    places = {(reference, name): k for k, (reference, name, _) in enumerate(scene.tolerances.parameters)}
    for row, one in enumerate(kept):
        if one.parameter is not None:
            widths[row, places[one.parameter]] = VALUE_TIMES
    slopes = ahead.slopes * widths[:, None, :]
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers:
        return ahead.values, slopes @ np.transpose(slopes, (0, 2, 1))
    told = tell(scene, variants)
    read, deviations = read_values(scene.watched, variants)
    off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[:, numbers]
    for row, one in enumerate(kept):
        if one.kind == "reading":
            here = [scene.watched[k].name in one.readings for k in numbers]
            noise[row, here] *= READING_TIMES**2
    before = told.slopes[:, numbers] * widths[:, None, :]
    covariance = before @ np.transpose(before, (0, 2, 1)) + noise[:, :, None] * np.eye(len(numbers))
    gain = np.transpose(before, (0, 2, 1)) @ inverted(covariance)
    moved = (gain @ off[:, :, None])[:, :, 0]
    left = np.eye(before.shape[2]) - gain @ before
    means = ahead.values + (slopes @ moved[:, :, None])[:, :, 0]
    return means, slopes @ left @ np.transpose(slopes, (0, 2, 1))
