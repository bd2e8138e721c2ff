"""From a circuit to the matrices of its equations.

The unknowns are the net voltages against each island's reference, the nodes inside parts and the laws' own
unknowns. All elements that obey one law form a group that is evaluated at once. See `lidoff.circuit.kind` for the
meaning of ports, responses and rows.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, Element, Law, Parameters, kind_of, settings_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.circuit.solve.islands import islands_of

__all__ = [
    "Group",
    "Matrices",
    "Placed",
    "System",
    "Table",
    "assemble",
    "assemble_placed",
    "dense_of",
    "place_part",
    "table_of",
]

Index = NDArray[np.intp]
Table = Mapping[tuple[str, str], Array]  # (reference, parameter) → (B,) or (1,) values
DENSE_SCATTER = 200_000  # entries up to which a scatter matrix is multiplied densely (measured: faster below)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One element at its place: which part it belongs to and which variables of the circuit it touches."""

    part: Part
    element: Element
    variables: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Matrices:
    """Incidence of a set of groups; each is applied as ``array @ matrix``.

    Attributes
    ----------
    ports : (N + 1, P)
        From unknowns (the last being the reference, at 0 V) to ports.
    outputs : (P_out, N)
        From responses to the equations they act in.
    entries : (pairs, U)
        From slopes to the distinct entries of the Jacobian.
    cells : ndarray of shape (U,)
        Flat position ``row · N + column`` of each entry.
    pair_rows : (pairs, N)
        For each slope, the equations that its response acts in.
    pair_port : ndarray of shape (pairs,)
        For each slope, its port.
    """

    ports: Any
    outputs: Any
    entries: Any
    cells: Index
    pair_rows: Any
    pair_port: Index


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """All elements of one law."""

    law: Law
    placed: tuple[Placed, ...]

    @property
    def references(self) -> list[str]:
        """References of the parts, one for each element."""
        return [placed.part.reference for placed in self.placed]

    def parameters(self, table: Table, rows: slice) -> dict[str, Array]:
        """Parameters of the law for a slice of the batch, each of shape (B, K) or (1, K)."""
        columns = [
            placed.element.derive(_part_parameters(placed.part, table, rows)) for placed in self.placed
        ]
        names = sorted(set(columns[0]).intersection(*columns[1:]))
        return {name: _stacked([column[name] for column in columns]) for name in names}


def _part_parameters(part: Part, table: Table, rows: slice) -> dict[str, Array]:
    return {
        name: values if values.shape[0] == 1 else values[rows]
        for (name, values) in parameters_of(part.reference, table)
    }


def parameters_of(reference: str, table: Table) -> Sequence[tuple[str, Array]]:
    """Parameters of one part, by name."""
    if isinstance(table, IndexedTable):
        return table.by_part.get(reference, ())
    return [(name, values) for (owner, name), values in table.items() if owner == reference]


class IndexedTable(dict[tuple[str, str], Array]):
    """A parameter table that also finds the parameters of one part at once, and keeps what laws derived from it.

    A table with a few entries changed leaves to the table it came from what groups without a changed part derive, so that
    this is worked out once for all of them.
    """

    def __init__(self, entries: Mapping[tuple[str, str], Array]) -> None:
        super().__init__(entries)
        self.by_part: dict[str, list[tuple[str, Array]]] = {}
        for (reference, name), values in entries.items():
            self.by_part.setdefault(reference, []).append((name, values))
        self._derived: dict[tuple[int, str], tuple[Group, Parameters]] = {}
        self._origin: IndexedTable | None = None
        self._changed: frozenset[str] = frozenset()

    def derived(self, group: Group) -> Parameters:
        """Parameters of a group's law for all samples, worked out once; not to be written to."""
        return self.derived_as("", group, lambda: group.parameters(self, slice(None)))

    def derived_as(self, name: str, group: Group, derive: Callable[[], Parameters]) -> Parameters:
        """What `derive` makes of the entries of a group's parts, worked out once for each name; not to be written to."""
        known = self._derived.get((id(group), name))
        if known is None:
            if self._origin is not None and self._changed.isdisjoint(group.references):
                found = self._origin.derived_as(name, group, derive)
            else:
                found = derive()
            # The group is kept beside them, so that no other one gets its number.
            known = self._derived[id(group), name] = (group, found)
        return known[1]

    def with_entries(self, changed: Mapping[tuple[str, str], Array]) -> IndexedTable:
        """Table with some entries changed or added; what parts without a change gave is kept."""
        table = IndexedTable({})
        table.update(self)
        table.update(changed)
        table.by_part = dict(self.by_part)
        own: dict[str, dict[str, Array]] = {}
        for (reference, name), values in changed.items():
            own.setdefault(reference, {})[name] = values
        for reference, values_by_name in own.items():
            table.by_part[reference] = list(
                {**dict(self.by_part.get(reference, ())), **values_by_name}.items()
            )
        table._origin, table._changed = self, frozenset(own)
        return table


def _stacked(columns: Sequence[Array]) -> Array:
    arrays = [np.atleast_1d(np.asarray(column, dtype=float)) for column in columns]
    depth = max(array.shape[0] for array in arrays)
    stacked = np.empty((depth, len(arrays)))
    for k, array in enumerate(arrays):
        stacked[:, k] = array
    return stacked


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class System:
    """The equations of one circuit.

    Attributes
    ----------
    circuit : Circuit
        What was assembled.
    variables : tuple of str
        Names of the unknowns: nets, ``~`` nodes inside parts, and ``reference:law:unknown``.
    is_voltage : ndarray of bool, shape (N,)
        Which unknowns are voltages.
    references : mapping of str to str
        For each net, the net that its voltage is told against (its island's reference).
    linear, curved : tuple of Group
        Groups whose slopes are constant, and the others.
    linear_matrices, curved_matrices : Matrices
        Their incidence.
    stores : tuple of Group
        Groups that keep charge or flux.
    store_matrices : Matrices
        Incidence of these.
    """

    circuit: Circuit
    variables: tuple[str, ...]
    position: Mapping[str, int]
    is_voltage: NDArray[np.bool_]
    references: Mapping[str, str]
    linear: tuple[Group, ...]
    curved: tuple[Group, ...]
    linear_matrices: Matrices
    curved_matrices: Matrices
    stores: tuple[Group, ...]
    store_matrices: Matrices

    @property
    def size(self) -> int:
        """Number of unknowns N."""
        return len(self.variables)


def table_of(circuit: Circuit, variations: Table | None = None) -> IndexedTable:
    """Numbers of all parameters of all parts, with some varied.

    Parameters
    ----------
    circuit : Circuit
        The parts.
    variations : mapping of (reference, parameter) to ndarray of shape (B,), optional
        What goes before the parts' own values, one value a sample.

    Returns
    -------
    IndexedTable
        Arrays of shape (1,) where nothing varies.
    """
    entries: dict[tuple[str, str], Array] = {}
    for part in circuit.parts:
        for name, value in settings_of(part).items():
            entries[part.reference, name] = np.array([value])
    for key, values in (variations or {}).items():
        entries[key] = np.atleast_1d(np.asarray(values, dtype=float))
    return IndexedTable(entries)


def _scatter(rows: Index, columns: Index, weights: Array, shape: tuple[int, int]) -> Any:
    if shape[0] * shape[1] <= DENSE_SCATTER:
        dense = np.zeros(shape)
        np.add.at(dense, (rows, columns), weights)
        return dense
    from scipy.sparse import csr_array

    return csr_array((weights, (rows, columns)), shape=shape)


def _terms(
    weights: Mapping[str, float], place: Mapping[str, str], position: Mapping[str, int]
) -> list[tuple[int, float]]:
    return [(position[place[name]], weight) for name, weight in weights.items()]


def dense_of(matrix: Any) -> Array:
    """Scatter matrix as a plain array, however it is kept."""
    return np.asarray(matrix if isinstance(matrix, np.ndarray) else matrix.toarray(), dtype=np.float64)


def _incidence(
    groups: Sequence[Group],
    position: Mapping[str, int],
    size: int,
    rows_of: Callable[[Law], tuple[Mapping[str, float], ...]],
    pairs_of: Callable[[Law], tuple[tuple[int, int], ...]],
) -> Matrices:
    """Matrices of some groups; within a group the order is port-major: all elements' first port, then all second ports."""
    port_r: list[int] = []
    port_c: list[int] = []
    port_w: list[float] = []
    out_r: list[int] = []
    out_c: list[int] = []
    out_w: list[float] = []
    pair_output: list[int] = []
    pair_port: list[int] = []
    port_terms: list[list[tuple[int, float]]] = []
    output_terms: list[list[tuple[int, float]]] = []
    for group in groups:
        law, count = group.law, len(group.placed)
        places = [dict(zip(law.variables, placed.variables, strict=True)) for placed in group.placed]
        first_port, first_output = len(port_terms), len(output_terms)
        for port in law.ports:
            port_terms.extend(_terms(port, place, position) for place in places)
        for row in rows_of(law):
            output_terms.extend(_terms(row, place, position) for place in places)
        for output, port_index in pairs_of(law):
            pair_output.extend(first_output + output * count + k for k in range(count))
            pair_port.extend(first_port + port_index * count + k for k in range(count))
    for column, terms in enumerate(port_terms):
        for variable, weight in terms:
            port_r.append(variable)
            port_c.append(column)
            port_w.append(weight)
    for line, terms in enumerate(output_terms):
        for variable, weight in terms:
            if variable < size:
                out_r.append(line)
                out_c.append(variable)
                out_w.append(weight)
    entry_r: list[int] = []
    entry_cell: list[int] = []
    entry_w: list[float] = []
    for pair, (output, port_index) in enumerate(zip(pair_output, pair_port, strict=True)):
        for row_variable, row_weight in output_terms[output]:
            for column_variable, column_weight in port_terms[port_index]:
                if row_variable < size and column_variable < size:
                    entry_r.append(pair)
                    entry_cell.append(row_variable * size + column_variable)
                    entry_w.append(row_weight * column_weight)
    cells, inverse = np.unique(np.array(entry_cell, dtype=np.intp), return_inverse=True)
    outputs = _scatter(_ints(out_r), _ints(out_c), np.array(out_w), (len(output_terms), size))
    return Matrices(
        ports=_scatter(_ints(port_r), _ints(port_c), np.array(port_w), (size + 1, len(port_terms))),
        outputs=outputs,
        entries=_scatter(
            _ints(entry_r), inverse.astype(np.intp), np.array(entry_w), (len(pair_output), len(cells))
        ),
        cells=cells,
        pair_rows=outputs[_ints(pair_output)],
        pair_port=_ints(pair_port),
    )


def _ints(values: Sequence[int]) -> Index:
    return np.array(values, dtype=np.intp)


def place_part(part: Part, elements: Sequence[Element]) -> list[Placed]:
    """Elements of one part at their places in the circuit."""
    placed: list[Placed] = []
    for number, element in enumerate(elements):
        places = [
            f"{part.reference}{join}" if join.startswith("~") else part.pins[join] for join in element.joins
        ]
        own = [f"{part.reference}:{number}:{unknown}" for unknown in element.law.unknowns]
        placed.append(Placed(part=part, element=element, variables=(*places, *own)))
    return placed


def assemble(circuit: Circuit, *, dynamic: bool = False) -> System:
    """Build the equations of a circuit.

    Parameters
    ----------
    circuit : Circuit
        Parts whose kinds and values are known.
    dynamic : bool
        Whether stored charge counts as a connection (waveforms), or not (steady state).

    Returns
    -------
    System
    """
    placed = [one for part in circuit.parts for one in place_part(part, kind_of(part).elements(part))]
    return assemble_placed(circuit, placed, dynamic=dynamic)


def assemble_placed(circuit: Circuit, placed: Sequence[Placed], *, dynamic: bool = False) -> System:
    """Build the equations of elements that are placed already."""
    nodes: dict[str, None] = {}
    unknowns: dict[str, None] = {}
    for one in placed:
        terminals = len(one.element.law.terminals)
        nodes.update(dict.fromkeys(one.variables[:terminals]))
        unknowns.update(dict.fromkeys(one.variables[terminals:]))
    for part in circuit.parts:
        nodes.update(dict.fromkeys(part.pins.values()))
    references = islands_of(circuit, placed, tuple(nodes), dynamic=dynamic)
    free_nodes = [node for node in sorted(nodes) if references[node] != node]
    variables = (*free_nodes, *sorted(unknowns))
    position = {name: index for index, name in enumerate(variables)}
    position.update({node: len(variables) for node in nodes if node not in position})
    by_law: dict[str, list[Placed]] = {}
    laws: dict[str, Law] = {}
    for one in placed:
        law = one.element.law
        if laws.setdefault(law.name, law) is not law:
            raise TypeError(f"two laws are called {law.name!r}")
        by_law.setdefault(law.name, []).append(one)
    groups = [Group(law=laws[name], placed=tuple(by_law[name])) for name in sorted(by_law)]
    linear = tuple(group for group in groups if group.law.linear)
    curved = tuple(group for group in groups if not group.law.linear)
    stores = tuple(group for group in groups if group.law.store is not None)
    size = len(variables)
    return System(
        circuit=circuit,
        variables=variables,
        position=position,
        is_voltage=np.arange(size) < len(free_nodes),
        references=references,
        linear=linear,
        curved=curved,
        linear_matrices=_incidence(linear, position, size, lambda law: law.rows, lambda law: law.pairs),
        curved_matrices=_incidence(curved, position, size, lambda law: law.rows, lambda law: law.pairs),
        stores=stores,
        store_matrices=_incidence(
            stores, position, size, lambda law: law.store_rows, lambda law: law.store_pairs
        ),
    )
