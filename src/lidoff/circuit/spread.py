"""How far a predicted number may lie off, because parts are not their nominal selves."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, kind_of
from lidoff.circuit.netlist import Circuit, Part, Situation, Spread
from lidoff.circuit.operating import situation_table, solve_table
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import IndexedTable

__all__ = ["Prediction", "Spreading", "predict_spread", "strongest", "uncertain_parameters"]


RESOLVED = 1e-6
"""Share of a value below which its spread tells nothing: the solver ends within a thousand-millionth, its least conductance
counts for a millionth of a MΩ, and no law here holds so well. Shown, it would have noise printed as digits."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Prediction:
    """A predicted number in every situation.

    Attributes
    ----------
    value : ndarray of shape (S,)
        With all parts nominal.
    uncertainty : ndarray of shape (S,)
        Standard uncertainty.
    shares : ndarray of shape (S, P)
        Signed change for one standard deviation of each uncertain parameter.
    """

    value: Array
    uncertainty: Array
    shares: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spreading:
    """All situations solved with every uncertain parameter moved up and down by one standard deviation.

    Attributes
    ----------
    solution : Solution
        Samples in the order nominal (S), then for each parameter up (S), down (S).
    situations : int
        S.
    parameters : tuple of (str, str)
        (reference, parameter) of each.
    """

    solution: Solution
    situations: int
    parameters: tuple[tuple[str, str], ...]

    def of(self, quantity: Callable[[Solution], Array]) -> Prediction:
        """Spread of any quantity that a solution tells, to first order with the slope between ± one deviation.

        Parameters
        ----------
        quantity : callable (Solution) → ndarray of shape (B,)

        Returns
        -------
        Prediction
            JCGM 100:2008, 5.1.3 note 2 (numerical sensitivity), parameters taken as independent. A spread below what
            `RESOLVED` says is none.
        """
        values = quantity(self.solution).reshape(1 + 2 * len(self.parameters), self.situations)
        settled = self.solution.settled.reshape(values.shape)
        nominal = values[0]
        up, down = values[1::2], values[2::2]
        one_sided = np.where(settled[1::2], up - nominal, nominal - down)
        shares = np.where(settled[1::2] & settled[2::2], (up - down) / 2.0, one_sided).T
        spread = np.sqrt((shares**2).sum(axis=1))
        spread = np.where(spread < RESOLVED * np.abs(nominal), 0.0, spread)
        return Prediction(value=nominal, uncertainty=spread, shares=shares)


def _spread_of(part: Part, name: str, typical: Spread) -> Spread:
    return part.spreads.get(name, typical)


def uncertain_parameters(circuit: Circuit) -> tuple[tuple[str, str, Spread], ...]:
    """Every parameter with a spread that is not zero: (reference, parameter, spread)."""
    found = []
    for part in circuit.parts:
        for name, parameter in kind_of(part).parameters_of(part).items():
            spread = _spread_of(part, name, parameter.spread)
            if spread.half_width > 0.0:
                found.append((part.reference, name, spread))
    return tuple(found)


def predict_spread(circuit: Circuit, situations: Sequence[Situation]) -> Spreading:
    """Solve all situations, nominal and with each uncertain parameter moved, as one batch.

    Parameters
    ----------
    circuit : Circuit
    situations : sequence of Situation
        At least one.

    Returns
    -------
    Spreading
    """
    table = situation_table(circuit, situations)
    uncertain = uncertain_parameters(circuit)
    count = len(situations)
    blocks = 1 + 2 * len(uncertain)
    wide: dict[tuple[str, str], NDArray[np.float64]] = {}
    for key, values in table.items():
        wide[key] = values if len(values) == 1 else np.tile(values, blocks)
    for number, (reference, name, spread) in enumerate(uncertain):
        column = np.tile(np.broadcast_to(table[reference, name], (count,)), blocks)
        deviation = np.array([spread.standard(value) for value in column[:count]])
        up = slice((1 + 2 * number) * count, (2 + 2 * number) * count)
        down = slice((2 + 2 * number) * count, (3 + 2 * number) * count)
        column[up] += deviation
        column[down] -= deviation
        wide[reference, name] = column
    labels = [situation.name for situation in situations] * blocks
    return Spreading(
        solution=solve_table(circuit, IndexedTable(wide), labels),
        situations=count,
        parameters=tuple((reference, name) for reference, name, _ in uncertain),
    )


def strongest(
    prediction: Prediction, parameters: Sequence[tuple[str, str]], situation: int
) -> Mapping[str, float]:
    """Shares of the variance by ``reference.parameter``, largest first.

    Parameters
    ----------
    prediction : Prediction
    parameters : sequence of (str, str)
        References and parameters in the order of the prediction's shares.
    situation : int
        Row of the prediction.

    Returns
    -------
    mapping of str to float
        Fractions that sum to one; empty where nothing spreads.
    """
    variance = prediction.shares[situation] ** 2
    total = variance.sum()
    if total == 0.0:
        return {}
    order = np.argsort(-variance)
    return {
        ".".join(parameters[index]): float(variance[index] / total) for index in order if variance[index] > 0
    }
