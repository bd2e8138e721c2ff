"""Ways in which no slip is the cause: one value, one reading, or anything is off by an amount that no list foresees.

They keep a slip from being believed for want of a better.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.insight.believed import Believed
from lidoff.insight.likelihood import inverted, noise_of, normal_logarithms, read_values, shows_number
from lidoff.insight.scene import Scene
from lidoff.insight.sifting import Traced
from lidoff.insight.variant import AS_TRACED

__all__ = ["READING_TIMES", "VALUE_TIMES", "open_causes"]

VALUE_ODDS, VALUE_TIMES = 0.01, 10.0
"""Odds that one part's value is otherwise than written, and how many times wider its tolerance then is; our choice."""
READING_ODDS, READING_TIMES = 0.01, 20.0
"""Odds that one reading is off for an unknown reason, and how many times wider it then is; our choice."""
UNLISTED_ODDS, UNLISTED_TIMES = 0.01, 4.0
"""Odds of something that is on no list, and how many times wider everything then is; our choice."""


def open_causes(scene: Scene, traced: Traced, base: float) -> list[tuple[float, Believed]]:
    """Causes that are no slips: a value, a reading, or anything, off by an unknown amount.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    traced : Traced
        As it stands.
    base : float
        Logarithm of the likelihood of all readings under it.

    Returns
    -------
    list of (float, Believed)
        Each with the logarithm of its odds times likelihood.
    """
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers:
        return []
    told = traced.told
    read, deviations = read_values(scene.watched, [AS_TRACED])
    off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[0, numbers]
    slopes = told.slopes[0, numbers]
    plain = slopes @ slopes.T + np.diag(noise)
    signs = base - float(normal_logarithms(off, plain[None])[0])
    causes: list[tuple[float, Believed, Array]] = []
    parameters = scene.tolerances.parameters
    moving = [k for k in range(len(parameters)) if np.abs(slopes[:, k]).max(initial=0.0) > 0.0]
    for k in moving:
        reference, name, _ = parameters[k]
        wider = plain + (VALUE_TIMES**2 - 1.0) * np.outer(slopes[:, k], slopes[:, k])
        title = f"{name.replace('_', ' ')} of {reference} is otherwise than written"
        one = Believed(
            kind="value", title=title, probability=0.0, parts=(reference,), parameter=(reference, name)
        )
        causes.append((VALUE_ODDS / len(moving), one, wider))
    for place, k in enumerate(numbers):
        wider = plain.copy()
        wider[place, place] += (READING_TIMES**2 - 1.0) * plain[place, place]
        name = scene.watched[k].name
        title = f"the reading {name} is off for another reason"
        one = Believed(kind="reading", title=title, probability=0.0, readings=(name,))
        causes.append((READING_ODDS / len(numbers), one, wider))
    unlisted = Believed(kind="unlisted", title="something that is on no list", probability=0.0)
    causes.append((UNLISTED_ODDS, unlisted, UNLISTED_TIMES**2 * plain))
    logs = normal_logarithms(
        np.broadcast_to(off, (len(causes), len(numbers))), np.stack([cause[2] for cause in causes])
    )
    white = [inverted(cause[2]) @ off[0] for cause in causes]
    return [
        (
            float(np.log(odds) + log + signs),
            replace(one, gain=float(log + signs - base), chi_square=float(off[0] @ one_white)),
        )
        for (odds, one, _), log, one_white in zip(causes, logs, white, strict=True)
    ]
