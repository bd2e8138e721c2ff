"""What readings say of the parts' values, to first order, with all situations and their common causes together.

With ``z`` the parameters in units of their prior deviations, a reading is ``y = f + J z + e``; ``z`` has the unit
covariance of the priors and ``e`` the instruments'. Then ``C = J Jᵀ + R`` is the covariance of what is read round what is
predicted, ``χ² = rᵀ C⁻¹ r`` the misfit of all readings together, and ``z | y`` normal round ``Jᵀ C⁻¹ r`` with covariance
``1 − Jᵀ C⁻¹ J`` [1]_.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, section 3.2.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit import Spreading
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.evidence import Comparison, NamedQuantity
from lidoff.insight.asked import asked_of

__all__ = ["Knowledge", "Seen", "knowledge_of", "seen_beside", "seen_of"]

MODEL_SHARE = 0.002
"""Of a prediction: what the equations of the kinds may be off beyond all tolerances; our choice, no source."""
MODEL_VOLTS = 0.5e-3
"""The same near zero, for voltages [V], such as thermoelectric voltages of the probes; our choice, no source."""
MODEL_AMPERES = 1e-7
"""The same for currents [A]; our choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Seen:
    """One reading as the reasoning sees it: against its prediction, with how every parameter moves the prediction.

    Attributes
    ----------
    name : str
        Of the reading.
    unit : str
        Of all its numbers.
    off : float
        Read minus predicted.
    deviation : float
        Standard uncertainty of the reading and of the equations, without the parts' tolerances.
    slopes : ndarray of shape (P,)
        Change of the prediction for one prior deviation of each parameter.
    """

    name: str
    unit: str
    off: float
    deviation: float
    slopes: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Knowledge:
    """What the readings say of the parameters.

    Attributes
    ----------
    parameters : tuple of (str, str)
        (reference, parameter) of each.
    moved : ndarray of shape (P,)
        Most likely values, in prior deviations from the expected ones.
    covariance : ndarray of shape (P, P)
        What is left, in the same units; the unit matrix where the readings say nothing.
    """

    parameters: tuple[tuple[str, str], ...]
    moved: Array
    covariance: Array

    def deviation(self, slopes: Array) -> float:
        """Standard uncertainty of what moves by `slopes`, shape (P,), for one prior deviation of each parameter."""
        return float(max(float(slopes @ self.covariance @ slopes), 0.0) ** 0.5)


def model_deviation(value: float, unit: str) -> float:
    """Standard uncertainty of the equations themselves, for a predicted voltage, current or power."""
    floor = {"V": MODEL_VOLTS, "A": MODEL_AMPERES}.get(unit, 0.0)
    return float(np.hypot(MODEL_SHARE * value, floor))


def seen_of(
    spreading: Spreading,
    comparisons: Sequence[Comparison],
    places: Sequence[int],
    loaded: Mapping[str, Spreading] | None = None,
) -> tuple[Seen, ...]:
    """Readings as the reasoning sees them.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread.
    comparisons : sequence of Comparison
        Readings beside their predictions, meter's load included where it is known.
    places : sequence of int
        Situation of each, as a number in `spreading`.
    loaded : mapping of str to Spreading, optional
        By reading: its one situation solved with its meter, where that changes much; over the same parameters.

    Returns
    -------
    tuple of Seen
        Those whose target is in the circuit and finite.
    """
    found = []
    for comparison, place in zip(comparisons, places, strict=True):
        target = comparison.measured.reading.target
        if isinstance(target, NamedQuantity):
            continue
        try:
            own = (loaded or {}).get(comparison.reading)
            prediction = (own or spreading).of(asked_of(target))
        except LidoffError:
            continue  # the comparison told already why there is none
        found.append(
            seen_beside(comparison, np.nan_to_num(prediction.shares[0 if own is not None else place]))
        )
    return tuple(found)


def seen_beside(comparison: Comparison, slopes: Array) -> Seen:
    """Reading beside a prediction whose slopes are known, as the reasoning sees it.

    Parameters
    ----------
    comparison : Comparison
        Reading beside its prediction.
    slopes : ndarray of shape (P,)
        Change of the prediction for one prior deviation of each parameter.

    Returns
    -------
    Seen
    """
    predicted = comparison.predicted
    return Seen(
        name=comparison.reading,
        unit=predicted.unit,
        off=-comparison.difference,
        deviation=float(
            np.hypot(
                comparison.measured.quantity.normal_uncertainty,
                model_deviation(predicted.value, predicted.unit),
            )
        ),
        slopes=slopes,
    )


def stacked(seen: Sequence[Seen], count: int) -> tuple[Array, Array, Array]:
    """Residuals (R,), slopes (R, P) and covariance (R, R) of all readings together."""
    residuals = np.array([one.off for one in seen])
    slopes = np.array([one.slopes for one in seen]).reshape(len(seen), count)
    noise = np.diag(np.array([one.deviation for one in seen]) ** 2)
    return residuals, slopes, slopes @ slopes.T + noise


def knowledge_of(spreading: Spreading, seen: Sequence[Seen]) -> Knowledge:
    """What readings say of every parameter.

    Parameters
    ----------
    spreading : Spreading
        Whose parameters are asked after.
    seen : sequence of Seen
        Readings, their slopes over the same parameters.

    Returns
    -------
    Knowledge
        Exact where readings follow parameters in proportion; else to first order round the expected values.
    """
    count = len(spreading.parameters)
    if not seen:
        return Knowledge(parameters=spreading.parameters, moved=np.zeros(count), covariance=np.eye(count))
    residuals, slopes, covariance = stacked(seen, count)
    gain = np.linalg.solve(covariance, slopes).T
    return Knowledge(
        parameters=spreading.parameters, moved=gain @ residuals, covariance=np.eye(count) - gain @ slopes
    )
