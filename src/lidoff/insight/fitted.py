"""The value that the readings give a parameter which may be anything, with its uncertainty.

Gauss-Newton steps of generalised least squares, all other parameters within their tolerances [1]_.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, section 3.4.
"""

from __future__ import annotations

import numpy as np

from lidoff.circuit import kind_of
from lidoff.insight.foretold import tell
from lidoff.insight.likelihood import inverted, noise_of, read_values, shows_number
from lidoff.insight.scene import Scene
from lidoff.insight.variant import Variant
from lidoff.quantities import Quantity

__all__ = ["fitted_value", "misfit_with"]

STEPS = 6
NEAREST = 0.02
"""A value is not taken below this share of the one before in one step, since most values cannot be zero or less."""


def fitted_value(scene: Scene, reference: str, name: str) -> Quantity | None:
    """Value of one parameter by all readings that show a number.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    reference, name : str
        The part and its parameter, one of those with a tolerance.

    Returns
    -------
    Quantity or None
        With its standard uncertainty; None where the readings do not tell it, or no value fits.
    """
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    parameters = scene.tolerances.parameters
    place = next((k for k, one in enumerate(parameters) if one[:2] == (reference, name)), None)
    if place is None or not numbers:
        return None
    spread = parameters[place][2]
    unit = kind_of(scene.circuit.part(reference)).parameters_of(scene.circuit.part(reference))[name].unit
    value = float(scene.bundles[0].table[reference, name][0])
    deviation = float("inf")
    others = [k for k in range(len(parameters)) if k != place]
    for _ in range(STEPS):
        variants = [Variant(values={(reference, name): value})]
        told = tell(scene, variants)
        if not told.settled[0, numbers].all():
            return None
        read, deviations = read_values(scene.watched, variants)
        off = (read - told.values)[0, numbers]
        slopes = told.slopes[0, numbers]
        noise = noise_of(scene.watched, told.values, deviations, told.settled)[0, numbers]
        inverse = inverted(slopes[:, others] @ slopes[:, others].T + np.diag(noise))
        own = slopes[:, place] / spread.standard(value)
        weight = float(own @ inverse @ own)
        if not weight > 0.0:
            return None
        deviation = weight**-0.5
        step = float(own @ inverse @ off) / weight
        value = max(value + step, NEAREST * value) if value > 0.0 else value + step
        if abs(step) < 0.01 * deviation:
            break
    return Quantity(value, unit, deviation)


def misfit_with(scene: Scene, reference: str, name: str, value: float) -> float | None:
    """Misfit χ² of the displayed numbers with one parameter at another value, the circuit solved anew with it.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    reference, name : str
        The part and its parameter, one of those with a tolerance.
    value : float
        In SI units; it counts as known, all other parameters stay within their tolerances.

    Returns
    -------
    float or None
        None where the circuit has no operating point with it.
    """
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    others = [k for k, one in enumerate(scene.tolerances.parameters) if one[:2] != (reference, name)]
    variants = [Variant(values={(reference, name): value})]
    told = tell(scene, variants)
    if not told.settled[0, numbers].all():
        return None
    read, deviations = read_values(scene.watched, variants)
    off = (read - told.values)[0, numbers]
    slopes = told.slopes[0, numbers][:, others]
    noise = noise_of(scene.watched, told.values, deviations, told.settled)[0, numbers]
    return float(off @ inverted(slopes @ slopes.T + np.diag(noise)) @ off)
