"""What every reading would be in every variant, and how the parts' tolerances move it.

For a reading ``y = d·v(p) + …`` of responses and unknowns, one transposed solve ``Jᵀ λ = ∂y/∂x`` gives the slope to every
parameter, ``dy/dp = (d − λ·rows) · ∂v/∂p`` [1]_, and the resistance that a voltmeter or ammeter sees, by which its own load
counts.

References
----------
.. [1] S. W. Director, R. A. Rohrer, "The generalized adjoint network and network sensitivities", IEEE Trans. Circuit Theory
   16(3), 318-323, 1969.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import Pin, Spread, uncertain_parameters
from lidoff.circuit.kind import Array, Parameters
from lidoff.circuit.solve.assemble import Group, IndexedTable
from lidoff.circuit.solve.newton import responses
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage
from lidoff.insight.many_wirings import Linearised, linearised
from lidoff.insight.torn import METER, Index, Torn
from lidoff.insight.touched import ends_of, pad_nodes, pins_of
from lidoff.insight.variant import Variant
from lidoff.insight.watched import Watched

__all__ = ["Asked", "Predicted", "Tolerances", "asked", "predict", "standards", "tolerances_of"]

MOVE = 1e-3
"""Of a prior deviation, for the slopes of the responses; the laws are smooth."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Owner:
    """One group of responses and the parameters of one name that move it.

    Attributes
    ----------
    name : str
        Of the parameters.
    numbers : tuple of int
        Which they are.
    which : int
        0 for a linear group, 1 for a curved one.
    group : Group
        The group.
    outputs, ports : slice
        Where its responses and ports lie among all of that sort.
    matrix : ndarray of shape (outputs, numbers)
        1 where a parameter moves a response.
    """

    name: str
    numbers: tuple[int, ...]
    which: int
    group: Group
    outputs: slice
    ports: slice
    matrix: Array


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tolerances:
    """Uncertain parameters, and which responses each moves.

    Attributes
    ----------
    parameters : tuple of (str, str, Spread)
        Reference, parameter and its limits.
    owners : tuple of Owner
        Groups of responses that parameters of one name move.
    """

    parameters: tuple[tuple[str, str, Spread], ...]
    owners: tuple[Owner, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """Readings as functions of the unknowns.

    Attributes
    ----------
    values : ndarray of shape (B, R)
        Before the meters' loads.
    direct : tuple of two ndarrays of shape (B, R, outputs)
        Weight of each linear and curved response.
    gradient : ndarray of shape (B, R, N)
        To the unknowns.
    leads : ndarray of int, shape (B, R)
        Node whose lead an ammeter breaks; −1 for others.
    """

    values: Array
    direct: tuple[Array, Array]
    gradient: Array
    leads: Index


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Predicted:
    """Readings predicted for a batch of variants in one situation.

    Attributes
    ----------
    values : ndarray of shape (B, R)
        Meters' loads included.
    slopes : ndarray of shape (B, R, P)
        For one prior deviation of each uncertain parameter.
    loads : ndarray of shape (B, R)
        What the meters' loads leave of each reading, if small.
    settled : ndarray of bool, shape (B,)
        Which are to be believed.
    """

    values: Array
    slopes: Array
    loads: Array
    settled: NDArray[np.bool_]


def tolerances_of(torn: Torn) -> Tolerances:
    """Uncertain parameters of the parts as traced; what may be added has its own uncertainty."""
    parameters = tuple(one for one in uncertain_parameters(torn.circuit) if not one[0].startswith("~"))
    owners = []
    for name in sorted({name for _, name, _ in parameters}):
        numbers = tuple(k for k, (_, other, _) in enumerate(parameters) if other == name)
        place = {parameters[k][0]: column for column, k in enumerate(numbers)}
        for which, groups in enumerate((torn.linear, torn.curved)):
            first, port = 0, 0
            for group in groups:
                count = len(group.placed)
                outputs = slice(first, first + count * len(group.law.rows))
                ports = slice(port, port + count * len(group.law.ports))
                first, port = outputs.stop, ports.stop
                matrix = np.zeros((outputs.stop - outputs.start, len(numbers)))
                for k, placed in enumerate(group.placed):
                    if placed.part.reference in place:
                        own = k + count * np.arange(len(group.law.rows))
                        matrix[own, place[placed.part.reference]] = 1.0
                if matrix.any():
                    owners.append(
                        Owner(
                            name=name,
                            numbers=numbers,
                            which=which,
                            group=group,
                            outputs=outputs,
                            ports=ports,
                            matrix=matrix,
                        )
                    )
    return Tolerances(parameters=parameters, owners=tuple(owners))


def predict(
    torn: Torn,
    tolerances: Tolerances,
    wirings: Index,
    table: IndexedTable,
    unknowns: Array,
    variants: Sequence[Variant],
    watched: Sequence[Watched],
    *,
    with_slopes: bool = True,
) -> Predicted:
    """Predict the readings of one situation for a batch of variants.

    Parameters
    ----------
    torn : Torn
        The parts.
    tolerances : Tolerances
        Of the parts.
    wirings : ndarray of int, shape (B, M)
        Unknown of each node.
    table : IndexedTable
        Parameters of the samples.
    unknowns : ndarray of shape (B, N + 1)
        Their operating points.
    variants : sequence of Variant
        B of them.
    watched : sequence of Watched
        R readings of this situation.
    with_slopes : bool
        Whether the slopes to the parameters are wanted; else they are empty.

    Returns
    -------
    Predicted
        Samples whose equations are singular count as not settled.
    """
    point = linearised(torn, wirings, table, unknowns)
    told = asked(torn, point, wirings, unknowns, variants, watched)
    turned = np.transpose(point.jacobian, (0, 2, 1))
    held = turned + np.eye(torn.size) * (np.abs(turned).sum(axis=2) == 0.0)[:, :, None]
    rights = np.transpose(told.gradient, (0, 2, 1))
    try:
        adjoint = np.linalg.solve(held, rights)
    except np.linalg.LinAlgError:
        adjoint = np.stack([_solved(a, b) for a, b in zip(held, rights, strict=True)])
    adjoint = np.transpose(adjoint, (0, 2, 1))
    padded = np.concatenate([adjoint, np.zeros((*adjoint.shape[:2], 1))], axis=2)
    at_nodes = np.take_along_axis(
        padded, np.broadcast_to(wirings[:, None, :], (*adjoint.shape[:2], wirings.shape[1])), 2
    )
    weights = (told.direct[0] - at_nodes @ torn.rows[0].T, told.direct[1] - at_nodes @ torn.rows[1].T)
    factor = _load_factors(torn, point, told, adjoint, weights, watched)
    slopes = (
        factor[:, :, None] * _slopes(torn, tolerances, table, point, weights)
        if with_slopes
        else np.zeros((*told.values.shape, 0))
    )
    values = factor * told.values
    fine = np.asarray(np.isfinite(values).all(axis=1) & np.isfinite(slopes).all(axis=(1, 2)))
    return Predicted(
        values=np.where(fine[:, None], values, 0.0),
        slopes=np.where(fine[:, None, None], slopes, 0.0),
        loads=np.where(fine[:, None], factor, 1.0),
        settled=fine,
    )


def standards(spread: Spread, values: Array) -> Array:
    """Standard uncertainty round each of some values, in their unit and shape."""
    result: Array = spread.standard(1.0) * (np.abs(values) if spread.relative else np.ones_like(values))
    return result


def _solved(matrix: Array, right: Array) -> Array:
    try:
        return np.asarray(np.linalg.solve(matrix, right), dtype=np.float64)
    except np.linalg.LinAlgError:
        return np.full_like(right, np.nan)


def asked(
    torn: Torn,
    point: Linearised,
    wirings: Index,
    unknowns: Array,
    variants: Sequence[Variant],
    watched: Sequence[Watched],
) -> Asked:
    """Readings of a batch as functions of the unknowns; shapes as in `Asked`."""
    count, size = len(variants), torn.size
    shape = (count, len(watched))
    values = np.zeros(shape)
    gradient = np.zeros((*shape, size + 1))
    direct = tuple(np.zeros((*shape, len(rows))) for rows in torn.rows)
    leads = np.full(shape, -1, dtype=np.intp)
    lines = np.arange(count)
    for r, one in enumerate(watched):
        target = one.target
        if isinstance(target, (NetVoltage, AcrossPart)):
            plus, minus = ends_of(torn, wirings, variants, one.name, target)
            values[:, r] = unknowns[lines, plus] - unknowns[lines, minus]
            gradient[lines, r, plus] += 1.0
            gradient[lines, r, minus] -= 1.0
            continue
        if not isinstance(target, (IntoPin, InPart)):
            red, black = torn.nodes[f"{METER}~red"], torn.nodes[f"{METER}~black"]
            values[:, r] = point.nodes[:, red] - point.nodes[:, black]
            gradient[lines, r, wirings[:, red]] += 1.0
            gradient[lines, r, wirings[:, black]] -= 1.0
            continue
        pins, sign = pins_of(torn, target)
        for pin in pins:
            node = pad_nodes(torn, variants, Pin(target.reference, pin))
            volts = point.nodes[lines, node]
            power = isinstance(target, InPart) and target.what == "power"
            for k in (0, 1):
                weight = torn.rows[k].T[node] * sign
                current = (weight * point.values[k]).sum(axis=1)
                scale = volts if power else np.ones(count)
                direct[k][:, r] += weight * scale[:, None]
                values[:, r] += current * scale
                if power:
                    gradient[lines, r, wirings[lines, node]] += current
            if not power:
                leads[:, r] = node
        for k in (0, 1):
            gradient[:, r] += _by_responses(torn, point, wirings, direct[k][:, r], k)
    return Asked(values=values, direct=(direct[0], direct[1]), gradient=gradient[:, :, :size], leads=leads)


def _by_responses(torn: Torn, point: Linearised, wirings: Index, weight: Array, k: int) -> Array:
    """Gradient (B, N + 1) of a weighted sum of responses to the unknowns."""
    by_pair = weight[:, torn.pair_output[k]] * point.slopes[k]
    at_nodes = by_pair @ torn.ports[k][:, torn.pair_port[k]].T
    width = torn.size + 1
    places = wirings + (np.arange(len(wirings)) * width)[:, None]
    total = np.bincount(places.ravel(), at_nodes.ravel(), minlength=len(wirings) * width)
    return np.asarray(total.reshape(-1, width), dtype=np.float64)


def _load_factors(
    torn: Torn,
    point: Linearised,
    told: Asked,
    adjoint: Array,
    weights: tuple[Array, Array],
    watched: Sequence[Watched],
) -> Array:
    """What the meters' own loads leave of each reading (B, R), by the resistance that each meter sees."""
    factor = np.ones_like(told.values)
    lines = np.arange(len(factor))
    for r, one in enumerate(watched):
        if one.load is None:
            continue
        if isinstance(one.target, NetVoltage | AcrossPart):
            seen = (adjoint[:, r] * told.gradient[:, r]).sum(axis=1)
            factor[:, r] = 1.0 / (1.0 + seen / one.load)
        elif (told.leads[:, r] >= 0).all():
            conductance = np.zeros(len(factor))
            for k in (0, 1):
                at_lead = torn.ports[k][told.leads[:, r]][:, torn.pair_port[k]]
                conductance += (weights[k][lines, r][:, torn.pair_output[k]] * point.slopes[k] * at_lead).sum(
                    axis=1
                )
            factor[:, r] = 1.0 / (1.0 + one.load * np.abs(conductance))
    return factor


def _slopes(
    torn: Torn, tolerances: Tolerances, table: IndexedTable, point: Linearised, weights: tuple[Array, Array]
) -> Array:
    """Change (B, R, P) for one prior deviation of each uncertain parameter."""
    count, readings = weights[0].shape[:2]
    slopes = np.zeros((count, readings, len(tolerances.parameters)))
    ports = [point.nodes @ torn.ports[k] for k in (0, 1)]
    for owner in tolerances.owners:
        k = owner.which
        moved = table.derived_as(owner.name, owner.group, partial(_moved, tolerances, owner, table))
        parameters = {**moved, "time": np.zeros((1, 1))}
        values = responses([(owner.group, parameters)], ports[k][:, owner.ports])[0]
        change = (values - point.values[k][:, owner.outputs]) / MOVE
        weight = weights[k][:, :, owner.outputs]
        slopes[:, :, list(owner.numbers)] += (weight * change[:, None, :]) @ owner.matrix
    return slopes


def _moved(tolerances: Tolerances, owner: Owner, table: IndexedTable) -> Parameters:
    """Parameters of an owner's law with those of its name a little off."""
    numbers = {tolerances.parameters[k][0]: k for k in owner.numbers}
    columns: dict[int, Parameters] = {}
    for column, placed in enumerate(owner.group.placed):
        reference = placed.part.reference
        if reference not in numbers:
            continue
        value = table[reference, owner.name]
        moved = value + MOVE * standards(tolerances.parameters[numbers[reference]][2], value)
        columns[column] = placed.element.derive({**dict(table.by_part[reference]), owner.name: moved})
    result = dict(table.derived(owner.group))
    for name, plain in result.items():
        own = {column: np.atleast_1d(parameters[name]) for column, parameters in columns.items()}
        depth = max(len(plain), *(len(values) for values in own.values()))
        whole = np.broadcast_to(plain, (depth, plain.shape[1])).copy()
        for column, values in own.items():
            whole[:, column] = values
        result[name] = whole
    return result
