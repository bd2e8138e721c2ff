"""Operating points: of a circuit as it stands, of its situations, and of a batch of variations, in one solve."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from lidoff.circuit.check import check_circuit
from lidoff.circuit.kind import Array, Law, kind_of, settings_of
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import IndexedTable, System, Table, assemble
from lidoff.circuit.solve.homotopy import solve_batch
from lidoff.circuit.solve.islands import Union
from lidoff.circuit.standing_in import at_rest
from lidoff.errors import CircuitFault, UnknownName

__all__ = ["nets_adrift", "operating_point", "situation_table", "solve_table", "supplies_of"]

LEAST_LINK = 1e-11  # [S] a connection weaker than this does not fix a net's voltage


def situation_table(circuit: Circuit, situations: Sequence[Situation]) -> IndexedTable:
    """Parameters of all parts, one sample a situation.

    Parameters
    ----------
    circuit : Circuit
    situations : sequence of Situation

    Returns
    -------
    IndexedTable
        Arrays of shape (S,) where situations differ, else (1,). Where a stand-in is connected, the supplies that it stands
        for are not.

    Raises
    ------
    UnknownName
        A situation sets a part, parameter or word that does not exist.
    """
    known = {part.reference for part in circuit.parts}
    for situation in situations:
        for reference in situation.settings:
            if reference not in known:
                raise UnknownName(
                    f"situation {situation.name!r} sets {reference!r}, which is not a part",
                    name=reference,
                    known=known,
                )
    resting = [at_rest(circuit, situation) for situation in situations]
    entries: dict[tuple[str, str], Array] = {}
    for part in circuit.parts:
        rows = [settings_of(part, situation.settings.get(part.reference)) for situation in resting]
        for name in rows[0]:
            column = np.array([row[name] for row in rows])
            entries[part.reference, name] = column[:1] if (column == column[0]).all() else column
    return IndexedTable(entries)


def operating_point(
    circuit: Circuit,
    *,
    situations: Sequence[Situation] = (),
    variations: Mapping[tuple[str, str], ArrayLike] | None = None,
) -> Solution:
    """Solve the circuit at rest, all samples at once.

    Parameters
    ----------
    circuit : Circuit
    situations : sequence of Situation, optional
        One sample each; without any, the circuit as it stands is the only sample.
    variations : mapping of (reference, parameter) to array of shape (B,), optional
        Values by sample, in place of the situations or on top of exactly one of them.

    Returns
    -------
    Solution
        Samples that did not settle are marked in ``settled``; ``solution.at(…)`` raises for them.

    Raises
    ------
    CircuitFault
        The circuit cannot be solved as wired; says which parts.
    UnknownName, ImpossibleValue
        A name or value is not possible.
    """
    chosen = tuple(situations) or (Situation(name="as it stands"),)
    varied = {
        key: np.atleast_1d(np.asarray(values, dtype=float)) for key, values in (variations or {}).items()
    }
    depth = max([1, *(len(values) for values in varied.values())])
    if depth > 1 and len(chosen) > 1:
        raise CircuitFault(
            "variations go with one situation at a time", remedy="call once for each situation"
        )
    table = situation_table(circuit, chosen)
    for reference, name in varied:
        if (reference, name) not in table:
            raise UnknownName(
                f"{reference} has no parameter {name!r}",
                name=name,
                known=[known for owner, known in table if owner == reference],
            )
    table = IndexedTable({**table, **varied})
    labels = tuple(situation.name for situation in chosen)
    if depth > 1:
        labels = tuple(f"{labels[0]} {number + 1}" for number in range(depth))
    return solve_table(circuit, table, labels)


def solve_table(
    circuit: Circuit, table: Table, labels: Sequence[str], system: System | None = None
) -> Solution:
    """Solve one sample for each label, given the parameters of every part.

    Raises
    ------
    CircuitFault
        A loop of ideal sources, or a fault that leaves nothing to solve.
    """
    for fault in check_circuit(circuit, table):
        if fault.fatal:
            raise CircuitFault(fault.what, where=fault.where, remedy=fault.remedy)
    equations = assemble(circuit) if system is None else system
    outcome = solve_batch(equations, table, samples=len(labels))
    return Solution(
        circuit=circuit,
        system=equations,
        table=table,
        outcome=outcome,
        labels=tuple(labels),
        adrift=nets_adrift(equations, table, range(len(labels))),
    )


def nets_adrift(
    system: System, table: Table, samples: Sequence[int], *, dynamic: bool = False
) -> tuple[tuple[frozenset[str], ...], ...]:
    """Nets that no conducting element ties to their island's reference or to a supply.

    Parameters
    ----------
    system : System
    table : mapping
        Parameters of every sample.
    samples : sequence of int
        Which of them.
    dynamic : bool
        Whether what stores charge ties as well, and what conducts at other times than the first.

    Returns
    -------
    tuple of tuple of frozenset of str
        For each sample such nets, those together that conduct to each other.
    """
    nets = tuple(system.circuit.nets)
    nodes = sorted({*nets, *(name for name in system.variables if "~" in name)})
    fixed: list[tuple[str, ...]] = []  # links that hold in every sample
    switched: list[tuple[tuple[str, ...], NDArray[np.bool_]]] = []
    for group in (*system.linear, *system.curved):
        law = group.law
        alive: Sequence[NDArray[np.bool_]] | None = None  # by row: in which samples (B, K) it ties its ends
        if law.linear and not (dynamic and law.timed):
            parameters = dict(group.parameters(table, slice(None)))
            parameters["time"] = np.zeros((1, 1))
            depth = max(values.shape[0] for values in parameters.values())
            rest = tuple(np.zeros((depth, len(group.placed))) for _ in law.ports)
            strength = _link_strength(law, law.respond(rest, parameters).slopes)
            alive = [_branch_alive(law.rows, output, strength) for output in range(len(law.rows))]
        elif law.idle_without:
            working = group.parameters(table, slice(None))[law.idle_without] != 0.0
            alive = [np.broadcast_to(working, (len(working), len(group.placed)))] * len(law.rows)
        for k, placed in enumerate(group.placed):
            place = dict(zip(law.variables, placed.variables, strict=True))
            for output, row in enumerate(law.rows):
                ends = tuple(place[name] for name in row if name in law.terminals)
                if len(ends) < 2:
                    continue
                if alive is None or alive[output][:, k].all():
                    fixed.append(ends)
                elif alive[output][:, k].any():
                    switched.append((ends, alive[output][:, k]))
    if dynamic:
        fixed.extend(_stored_links(system))
    result = []
    for sample in samples:
        union = Union(nodes)
        for ends in fixed:
            _join(union, ends)
        for ends, ties in switched:
            if ties[sample if len(ties) > 1 else 0]:
                _join(union, ends)
        anchors = {union.find(reference) for reference in set(system.references.values())}
        anchors -= {
            union.find(reference)
            for reference in set(system.references.values())
            if _lonely(system, union, reference, nets)
        }
        together: dict[str, set[str]] = {}
        for net in nets:
            if union.find(net) not in anchors:
                together.setdefault(union.find(net), set()).add(net)
        result.append(tuple(frozenset(found) for found in together.values()))
    return tuple(result)


def _stored_links(system: System) -> list[tuple[str, ...]]:
    """Nets between which charge or flux is kept."""
    found: list[tuple[str, ...]] = []
    for group in system.stores:
        law = group.law
        for placed in group.placed:
            place = dict(zip(law.variables, placed.variables, strict=True))
            found.extend(
                tuple(place[name] for name in row if name in law.terminals) for row in law.store_rows
            )
    return found


def _lonely(system: System, union: Union, reference: str, nets: Sequence[str]) -> bool:
    """Whether a reference net that is not the circuit's ground stands alone, so that its 0 V means nothing."""
    root = union.find(reference)
    return reference != system.circuit.ground and sum(union.find(net) == root for net in nets) == 1


def _join(union: Union, ends: Sequence[str]) -> None:
    for other in ends[1:]:
        union.join(ends[0], other)


def _link_strength(law: Law, slopes: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Largest slope of every response, shape (outputs, samples, K).

    A constraint counts by how it holds a voltage, not by how it holds its own current at zero.
    """
    if not slopes:
        return np.zeros((len(law.rows), 1, 1))
    strength = np.zeros((len(law.rows), *slopes[0].shape))
    for (output, port), slope in zip(law.pairs, slopes, strict=True):
        constraint = not any(name in law.terminals for name in law.rows[output])
        if constraint and not any(name in law.terminals for name in law.ports[port]):
            continue
        strength[output] = np.maximum(strength[output], np.abs(slope))
    return strength


def _branch_alive(
    rows: Sequence[Mapping[str, float]], output: int, strength: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Whether a response carries current; a branch current does so only while its constraint ties a voltage."""
    alive: NDArray[np.bool_] = strength[output] > LEAST_LINK
    constraints = [index for index, row in enumerate(rows) if index != output and len(row) == 1]
    for index in constraints:
        alive = alive & (strength[index] > LEAST_LINK)
    return alive


def supplies_of(circuit: Circuit) -> tuple[str, ...]:
    """References of the parts that drive the circuit from outside or store its energy."""
    return tuple(part.reference for part in circuit.parts if kind_of(part).supplies)
