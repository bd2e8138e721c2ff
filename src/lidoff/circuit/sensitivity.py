"""What a result depends on, and how strongly: sensitivities and elasticities to every parameter."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit.kind import Array, kind_of
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import operating_point
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.linear import solve_columns
from lidoff.circuit.solve.sensitivity import jacobian_at, table_slope
from lidoff.errors import UnknownName

__all__ = ["Sensitivity", "sensitivities"]

MOVE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """How one result follows one parameter.

    Attributes
    ----------
    reference, parameter : str
    slope : float
        Change of the result over change of the parameter, in SI units.
    elasticity : float
        Relative change of the result over relative change of the parameter: 0.4 means that 1 % more of the parameter gives
        0.4 % more of the result. Zero where the result or the parameter is zero.
    """

    reference: str
    parameter: str
    slope: float
    elasticity: float

    def sentence(self, result: str) -> str:
        """Say the elasticity as a person would.

        Examples
        --------
        >>> Sensitivity(reference="R1", parameter="resistance", slope=-1e-4, elasticity=-0.8).sentence("LED current")
        '1 % more resistance of R1 gives 0.8 % less LED current'
        """
        word = "more" if self.elasticity >= 0.0 else "less"
        name = self.parameter.replace("_", " ")
        return f"1 % more {name} of {self.reference} gives {abs(self.elasticity):.2g} % {word} {result}"


def sensitivities(
    circuit: Circuit,
    quantity: Callable[[Solution], Array],
    *,
    situation: Situation | None = None,
    parameters: Sequence[tuple[str, str]] = (),
) -> tuple[Sensitivity, ...]:
    """Slope of a result to every parameter, by one adjoint solve.

    Parameters
    ----------
    circuit : Circuit
    quantity : callable (Solution) → ndarray of shape (B,)
        The result, such as ``lambda s: s.current("R1")``.
    situation : Situation, optional
        What is set.
    parameters : sequence of (reference, parameter), optional
        Which to tell; all numeric ones if empty.

    Returns
    -------
    tuple of Sensitivity
        Strongest elasticity first.

    Raises
    ------
    UnknownName
        A parameter does not exist.
    NetsUnsettled
        There is no operating point.

    Notes
    -----
    The result may depend on parameters directly as well (a current is a conductance times a voltage); that share is
    found with the unknowns held fixed.
    """
    chosen = () if situation is None else (situation,)
    solution = operating_point(circuit, situations=chosen)
    solution.at(0)
    system, table = solution.system, solution.table
    x = solution.outcome.unknowns
    keys = tuple(parameters) or _numeric_parameters(circuit)
    for key in keys:
        if key not in table:
            raise UnknownName(
                f"{key[0]} has no parameter {key[1]!r}", name=key[1], known=[n for _, n in table]
            )
    result = float(quantity(solution)[0])
    weights = solve_columns(jacobian_at(system, table, x)[0].T, _result_slope(solution, quantity)[:, None])[
        :, 0
    ]
    found = []
    for key in keys:
        through = -float(weights @ table_slope(system, table, x, key)[0])
        slope = through + _direct_slope(solution, quantity, key)
        value = float(table[key][0])
        elasticity = slope * value / result if result != 0.0 else 0.0
        found.append(Sensitivity(reference=key[0], parameter=key[1], slope=slope, elasticity=elasticity))
    return tuple(sorted(found, key=lambda one: (-abs(one.elasticity), one.reference, one.parameter)))


def _numeric_parameters(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    return tuple(
        (part.reference, name)
        for part in circuit.parts
        for name, parameter in kind_of(part).parameters_of(part).items()
        if not parameter.words
    )


def _result_slope(solution: Solution, quantity: Callable[[Solution], Array]) -> Array:
    """Derivative of the result to every unknown, shape (N,), all differences as one batch."""
    x = solution.outcome.unknowns[0]
    size = len(x)
    move = MOVE * np.maximum(np.abs(x), 1e-3)
    moved = np.concatenate([x + np.diag(move), x - np.diag(move)])
    values = quantity(_with_unknowns(solution, moved))
    return np.asarray((values[:size] - values[size:]) / (2.0 * move), dtype=np.float64)


def _with_unknowns(solution: Solution, unknowns: Array) -> Solution:
    count = len(unknowns)
    outcome = replace(
        solution.outcome,
        unknowns=unknowns,
        settled=np.ones(count, dtype=bool),
        last_step=np.zeros_like(unknowns),
        steps=np.zeros(count, dtype=np.intp),
        method=np.zeros(count, dtype=np.intp),
    )
    return replace(
        solution,
        outcome=outcome,
        labels=solution.labels * count,
        adrift=solution.adrift * count,
    )


def _direct_slope(solution: Solution, quantity: Callable[[Solution], Array], key: tuple[str, str]) -> float:
    value = solution.table[key]
    move = np.maximum(MOVE * np.abs(value), 1e-9)
    ends = [
        quantity(replace(solution, table={**solution.table, key: value + sign * move}))[0]
        for sign in (1.0, -1.0)
    ]
    return float((ends[0] - ends[1]) / (2.0 * move[0]))
