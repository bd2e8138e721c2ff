"""What tolerances do to a result: many random builds of the circuit, and its worst corners."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit.kind import Array, Parameter, kind_of
from lidoff.circuit.netlist import Circuit, Situation, Spread
from lidoff.circuit.operating import situation_table, solve_table
from lidoff.circuit.sensitivity import sensitivities
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import IndexedTable
from lidoff.circuit.spread import uncertain_parameters
from lidoff.errors import ImpossibleValue

__all__ = ["Corners", "random_builds", "worst_corners"]

FEW = 8  # uncertain parameters up to which every corner is solved


@dataclass(frozen=True, slots=True, kw_only=True)
class Corners:
    """The extremes of a result over the corners of the tolerances.

    Attributes
    ----------
    nominal, lowest, highest : float
        In SI units.
    at_lowest, at_highest : mapping of (reference, parameter) to float
        Values there, as tuples of pairs.
    corners : int
        How many corners were solved.
    exhaustive : bool
        Whether these were all; else they were chosen by the sign of each sensitivity, which is exact while no sensitivity
        changes sign within the tolerances.
    """

    nominal: float
    lowest: float
    highest: float
    at_lowest: tuple[tuple[str, float], ...]
    at_highest: tuple[tuple[str, float], ...]
    corners: int
    exhaustive: bool


def _parameter(circuit: Circuit, reference: str, name: str) -> Parameter:
    part = circuit.part(reference)
    return kind_of(part).parameters_of(part)[name]


def _possible(parameter: Parameter, values: Array) -> Array:
    """Keep drawn values within what the parameter can be."""
    least = parameter.minimum if not parameter.above else np.nextafter(parameter.minimum, np.inf)
    return np.clip(values, least, parameter.maximum)


def _drawn(spread: Spread, nominal: float, count: int, rng: np.random.Generator) -> Array:
    limits = spread.limits(nominal)
    if spread.normal:
        return nominal + limits / 2.0 * rng.standard_normal(count)
    return nominal + limits * rng.uniform(-1.0, 1.0, count)


def random_builds(
    circuit: Circuit, count: int, rng: np.random.Generator, *, situation: Situation | None = None
) -> Solution:
    """Solve many builds of the circuit, every part drawn within its tolerance.

    Parameters
    ----------
    circuit : Circuit
    count : int
        Number of builds, at least one.
    rng : numpy.random.Generator
        The same state gives the same builds.
    situation : Situation, optional

    Returns
    -------
    Solution
        One sample a build; those that did not settle are marked.

    Raises
    ------
    ImpossibleValue
        `count` is below one.
    """
    if count < 1:
        raise ImpossibleValue(f"{count} builds cannot be", remedy="ask for at least one")
    chosen = situation or Situation(name="as it stands")
    table: dict[tuple[str, str], Array] = dict(situation_table(circuit, (chosen,)))
    for reference, name, spread in uncertain_parameters(circuit):
        nominal = float(table[reference, name][0])
        drawn = _drawn(spread, nominal, count, rng)
        table[reference, name] = _possible(_parameter(circuit, reference, name), drawn)
    labels = [f"{chosen.name}, build {number + 1}" for number in range(count)]
    return solve_table(circuit, IndexedTable(table), labels)


def worst_corners(
    circuit: Circuit,
    quantity: Callable[[Solution], Array],
    *,
    situation: Situation | None = None,
    parameters: Sequence[tuple[str, str]] = (),
) -> Corners:
    """Extremes of a result when every part lies at one end of its tolerance.

    Parameters
    ----------
    circuit : Circuit
    quantity : callable (Solution) → ndarray of shape (B,)
    situation : Situation, optional
    parameters : sequence of (reference, parameter), optional
        Which vary; all that have a spread if empty.

    Returns
    -------
    Corners
        All corners are solved for up to eight parameters; beyond that the two corners to which the sensitivities point.

    Raises
    ------
    NetsUnsettled
        There is no operating point.
    """
    chosen = situation or Situation(name="as it stands")
    base = situation_table(circuit, (chosen,))
    wanted = set(parameters)
    varied = [one for one in uncertain_parameters(circuit) if not wanted or one[:2] in wanted]
    signs, exhaustive = _signs(circuit, quantity, situation, [one[:2] for one in varied])
    table: dict[tuple[str, str], Array] = dict(base)
    for column, (reference, name, spread) in enumerate(varied):
        nominal = float(base[reference, name][0])
        ends = nominal + signs[:, column] * spread.limits(nominal)
        table[reference, name] = _possible(_parameter(circuit, reference, name), ends)
    labels = ["nominal", *(f"corner {number + 1}" for number in range(len(signs) - 1))]
    solution = solve_table(circuit, IndexedTable(table), labels)
    solution.at(0)
    values = np.where(solution.settled, quantity(solution), np.nan)
    low, high = int(np.nanargmin(values)), int(np.nanargmax(values))

    def told(row: int) -> tuple[tuple[str, float], ...]:
        return tuple(
            (
                f"{reference}.{name}",
                float(table[reference, name][row if len(table[reference, name]) > 1 else 0]),
            )
            for reference, name, _ in varied
        )

    return Corners(
        nominal=float(values[0]),
        lowest=float(values[low]),
        highest=float(values[high]),
        at_lowest=told(low),
        at_highest=told(high),
        corners=len(signs) - 1,
        exhaustive=exhaustive,
    )


def _signs(
    circuit: Circuit,
    quantity: Callable[[Solution], Array],
    situation: Situation | None,
    keys: Sequence[tuple[str, str]],
) -> tuple[Array, bool]:
    """Rows of −1, 0 and 1: nominal first, then the corners to solve."""
    count = len(keys)
    if count <= FEW:
        grid = 2.0 * ((np.arange(2**count)[:, None] >> np.arange(count)) & 1) - 1.0
        return np.concatenate([np.zeros((1, count)), grid]), True
    slopes = {
        (one.reference, one.parameter): one.slope
        for one in sensitivities(circuit, quantity, situation=situation, parameters=keys)
    }
    up = np.sign([slopes[key] for key in keys])
    return np.stack([np.zeros(count), up, -up]), False
