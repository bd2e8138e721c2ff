"""Which two slips at once are worth solving: those whose changes of the readings would add up to what was read."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lidoff.insight.foretold import Told
from lidoff.insight.likelihood import noise_of, normal_logarithms, read_values, shows_number
from lidoff.insight.scene import Scene
from lidoff.insight.sifting import Traced
from lidoff.insight.slip import Slip
from lidoff.insight.variant import AS_TRACED

__all__ = ["likely_pairs"]

PAIRS = 40
"""Pairs of slips that are solved in full; our choice."""


def likely_pairs(scene: Scene, traced: Traced, slips: Sequence[Slip], told: Told) -> list[tuple[Slip, ...]]:
    """Pairs that promise most if their changes of the readings add up.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    traced : Traced
        As it stands.
    slips : sequence of Slip
        Single slips.
    told : Told
        What each alone would make of the readings.

    Returns
    -------
    list of tuple of Slip
        The most promising first.
    """
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers:
        return []
    variants = [slip.variant for slip in slips]
    read, deviations = read_values(scene.watched, variants)
    base = traced.told.values[0]
    change = np.where(told.settled & traced.told.settled, told.values - base, 0.0)
    meant = np.zeros(read.shape)
    plain = read_values(scene.watched, [AS_TRACED])[0]
    meant[:, numbers] = read[:, numbers] - plain[:, numbers]
    everyone = range(len(slips))
    pairs = np.array([(one, other) for one in everyone for other in range(one)], dtype=np.intp)
    if not len(pairs):
        return []
    one, other = pairs.T
    values = base + change[one] + change[other]
    target = plain + meant[one] + meant[other]
    both = Told(
        values=values,
        slopes=np.broadcast_to(traced.told.slopes, (1, *traced.told.slopes.shape[1:])),
        settled=np.broadcast_to(traced.told.settled, values.shape),
    )
    off = (target - both.values)[:, numbers]
    noise = noise_of(scene.watched, values, np.maximum(deviations[one], deviations[other]), both.settled)[
        :, numbers
    ]
    slopes = both.slopes[:, numbers]
    covariance = slopes @ np.transpose(slopes, (0, 2, 1)) + noise[:, :, None] * np.eye(len(numbers))
    odds = np.log([slip.odds for slip in slips])
    scores = odds[one] + odds[other] + normal_logarithms(off, covariance)
    found: dict[tuple[int, int], tuple[Slip, ...]] = {}
    for number in np.argsort(-scores):
        key = (other[number], one[number])
        if variants[key[0]].with_both(variants[key[1]]) is not None:
            found[key] = (slips[key[0]], slips[key[1]])
        if len(found) == PAIRS:
            break
    return list(found.values())
