"""What limits a current: the elasticity of the current to every parameter.

For a circuit of resistances and one source the elasticities to all resistances add up to −1 and the one to the source is 1,
since the current is homogeneous of degree −1 in the resistances (Euler's theorem); junctions take the rest.
"""

from __future__ import annotations

from dataclasses import dataclass

from lidoff.circuit import Circuit, Prediction, Sensitivity, Situation, Spreading, sensitivities
from lidoff.circuit.path import path_of

__all__ = ["LEAST_ELASTICITY", "Limiter", "all_limiters", "limiters_of"]

LEAST_ELASTICITY = 0.005
"""A parameter whose 1 % moves the current by less than 0.005 % is not told; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limiter:
    """How strongly one parameter sets the loop's current.

    Attributes
    ----------
    reference, parameter : str
        Which parameter.
    elasticity : float
        Per cent of current for one per cent of the parameter.
    variance_share : float
        Share of the current's variance that the parameter's tolerance makes; 0 where it has none.
    """

    reference: str
    parameter: str
    elasticity: float
    variance_share: float

    def sentence(self, what: str = "current") -> str:
        """Say it as a person would."""
        told = Sensitivity(
            reference=self.reference, parameter=self.parameter, slope=0.0, elasticity=self.elasticity
        )
        return told.sentence(what)


def all_limiters(circuit: Circuit, situation: Situation, reference: str) -> tuple[Limiter, ...]:
    """Every parameter that sets a part's main current, those without a tolerance as well.

    Parameters
    ----------
    circuit : Circuit
        Whole.
    situation : Situation
        What is set.
    reference : str
        The part.

    Returns
    -------
    tuple of Limiter
        By one adjoint solve, the strongest first; shares of the variance are not told.

    Raises
    ------
    UnknownName
        There is no such part, or it has no main path.
    NetsUnsettled
        There is no operating point.
    """
    path_of(circuit.part(reference))
    found = sensitivities(circuit, lambda solution: solution.current(reference), situation=situation)
    return tuple(
        Limiter(
            reference=one.reference, parameter=one.parameter, elasticity=one.elasticity, variance_share=0.0
        )
        for one in found
        if abs(one.elasticity) >= LEAST_ELASTICITY
    )


def limiters_of(spreading: Spreading, index: int, current: Prediction) -> tuple[Limiter, ...]:
    """What sets a current, of the parameters that have a tolerance.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread.
    index : int
        Which situation.
    current : Prediction
        The current with its shares [A].

    Returns
    -------
    tuple of Limiter
        The strongest first.
    """
    value, shares = float(current.value[index]), current.shares[index]
    variance = float((shares**2).sum())
    found = []
    for number, key in enumerate(spreading.parameters):
        column = spreading.solution.table[key]
        nominal = float(column[index])
        deviation = float(column[(1 + 2 * number) * spreading.situations + index]) - nominal
        if value and deviation:
            elasticity = shares[number] / deviation * nominal / value
            found.append(
                Limiter(
                    reference=key[0],
                    parameter=key[1],
                    elasticity=float(elasticity),
                    variance_share=float(shares[number] ** 2 / variance) if variance else 0.0,
                )
            )
    found.sort(key=lambda one: (-abs(one.elasticity), one.reference, one.parameter))
    return tuple(one for one in found if abs(one.elasticity) >= LEAST_ELASTICITY)
