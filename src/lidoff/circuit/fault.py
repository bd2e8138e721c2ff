"""Single faults as a batch: a part open or shorted, two pins bridged, one pin off, a value drifted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from lidoff.circuit.kind import Array, Element, Parameters, kind_of
from lidoff.circuit.laws import BRANCH
from lidoff.circuit.netlist import Circuit, Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solution import Solution
from lidoff.circuit.solve.assemble import IndexedTable, System, assemble, assemble_placed, place_part
from lidoff.circuit.solve.homotopy import solve_batch
from lidoff.circuit.solve.interrupt import ALIVE, interruptible
from lidoff.errors import UnknownName

__all__ = ["Fault", "all_faults", "bridge", "drift", "open_part", "open_pin", "short", "solve_faults"]

SHORT_RESISTANCE = 1e-3  # [Ω] a solder bridge or a part alloyed through; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that goes wrong with one part.

    Attributes
    ----------
    reference : str
        The part.
    sort : str
        ``open``, ``open pin``, ``bridge`` or ``drift``.
    pins : tuple of str
        Pins that are bridged or off.
    parameter : str
        Parameter that drifts.
    factor : float
        What it is multiplied by.
    """

    reference: str
    sort: str
    pins: tuple[str, ...] = ()
    parameter: str = ""
    factor: float = 1.0

    @property
    def title(self) -> str:
        """The fault in a few words."""
        if self.sort == "open":
            return f"{self.reference} open"
        if self.sort == "open pin":
            return f"{self.reference} pin {self.pins[0]} off"
        if self.sort == "bridge":
            return f"{self.reference} {self.pins[0]} bridged to {self.pins[1]}"
        return f"{self.reference} {self.parameter.replace('_', ' ')} × {self.factor:g}"


def open_part(reference: str) -> Fault:
    """The part carries nothing any more."""
    return Fault(reference=reference, sort="open")


def open_pin(reference: str, pin: str) -> Fault:
    """One pin has come off its net."""
    return Fault(reference=reference, sort="open pin", pins=(pin,))


def bridge(reference: str, one: str, other: str) -> Fault:
    """Two pins of a part are joined."""
    return Fault(reference=reference, sort="bridge", pins=(one, other))


def short(reference: str, circuit: Circuit) -> Fault:
    """Return the bridge over a part's main path."""
    path = kind_of(circuit.part(reference)).path
    if len(path) != 2:
        raise UnknownName(f"{reference} has no single current path to short", remedy="bridge two of its pins")
    return bridge(reference, path[0], path[1])


def drift(reference: str, parameter: str, factor: float) -> Fault:
    """Value that has drifted.

    Parameters
    ----------
    reference, parameter : str
        Whose value.
    factor : float
        What it is multiplied by.

    Returns
    -------
    Fault
    """
    return Fault(reference=reference, sort="drift", parameter=parameter, factor=factor)


def all_faults(circuit: Circuit) -> tuple[Fault, ...]:
    """Every part open, every neighbouring pair of pins bridged; sources and links are left whole.

    Pins count as neighbours in the order in which the kind, or the part, names them.
    """
    faults: list[Fault] = []
    for part in circuit.parts:
        if kind_of(part).supplies and not kind_of(part).ratings:
            continue
        names = tuple(part.pins)
        faults.append(open_part(part.reference))
        faults.extend(
            bridge(part.reference, one, other)
            for one, other in pairwise(names)
            if part.pins[one] != part.pins[other]
        )
    return tuple(faults)


def solve_faults(
    circuit: Circuit, faults: Sequence[Fault], *, situations: Sequence[Situation] = ()
) -> Solution:
    """Operating points of the whole circuit and of every fault, in every situation, as one batch.

    Parameters
    ----------
    circuit : Circuit
    faults : sequence of Fault
    situations : sequence of Situation, optional
        The circuit as it stands if empty.

    Returns
    -------
    Solution
        Samples labelled ``situation: fault title``, the whole circuit's being ``situation: as it should be``, situation by
        situation.

    Raises
    ------
    UnknownName
        A fault names a part, pin or parameter that does not exist.
    """
    chosen = tuple(situations) or (Situation(name="as it stands"),)
    _check(circuit, faults)
    table = _fault_table(circuit, faults, chosen)
    system = _system(circuit, faults)
    labels = [
        f"{s.name}: {title}" for s in chosen for title in ("as it should be", *(f.title for f in faults))
    ]
    outcome = solve_batch(
        system, table, samples=len(labels), start=_whole(circuit, chosen, system, 1 + len(faults))
    )
    return Solution(
        circuit=circuit,
        system=system,
        table=table,
        outcome=outcome,
        labels=tuple(labels),
        adrift=((),) * len(labels),  # worked out by those who need it, of the few faults that they ask about
    )


def _whole(circuit: Circuit, situations: Sequence[Situation], system: System, width: int) -> Array:
    """First guess of every sample: the whole circuit's operating point; few faults move much of it."""
    plain = assemble(circuit)
    found = solve_batch(plain, situation_table(circuit, situations), samples=len(situations)).unknowns
    place = {name: number for number, name in enumerate(plain.variables[: plain.size])}
    start = np.zeros((len(situations), system.size))
    for number, name in enumerate(system.variables[: system.size]):
        if name in place:
            start[:, number] = found[:, place[name]]
    return np.repeat(start, width, axis=0)


def _check(circuit: Circuit, faults: Sequence[Fault]) -> None:
    for fault in faults:
        part = circuit.part(fault.reference)
        for pin in fault.pins:
            if pin not in part.pins:
                raise UnknownName(f"{part.reference} has no pin {pin!r}", name=pin, known=part.pins)
        known = kind_of(part).parameters_of(part)
        if fault.sort == "drift" and fault.parameter not in known:
            raise UnknownName(
                f"{part.reference} has no parameter {fault.parameter!r}", name=fault.parameter, known=known
            )


def _fault_table(circuit: Circuit, faults: Sequence[Fault], situations: Sequence[Situation]) -> IndexedTable:
    count, width = len(situations), 1 + len(faults)
    base = situation_table(circuit, situations)
    table: dict[tuple[str, str], Array] = {
        key: values if len(values) == 1 else np.repeat(values, width) for key, values in base.items()
    }

    def marked(number: int, normal: float, faulty: float) -> Array:
        row = np.full(width, normal)
        row[1 + number] = faulty
        return np.tile(row, count)

    for part in circuit.parts:
        table[part.reference, ALIVE] = np.ones(1)
    for number, fault in enumerate(faults):
        if fault.sort == "open":
            key, column = (fault.reference, ALIVE), marked(number, 1.0, 0.0)
        elif fault.sort == "open pin":
            key, column = (fault.reference, f"on {fault.pins[0]}"), marked(number, 1.0, 0.0)
        elif fault.sort == "bridge":
            key = (fault.reference, f"bridge {fault.pins[0]} {fault.pins[1]}")
            column = marked(number, 0.0, 1.0)
        else:
            key = (fault.reference, fault.parameter)
            column = marked(number, 1.0, fault.factor)
        product = fault.sort in ("open", "drift", "open pin")
        old = table.get(key)
        if old is None:
            table[key] = column
        else:
            wide = np.broadcast_to(old, column.shape)
            table[key] = wide * column if product else wide + column
    return IndexedTable(table)


def _with_alive(derive: Callable[[Parameters], Parameters]) -> Callable[[Parameters], Parameters]:
    def both(p: Parameters) -> Parameters:
        return {**derive(p), ALIVE: p[ALIVE]}

    return both


def _bridging(one: str, other: str) -> Callable[[Parameters], Parameters]:
    # A branch with its own current, not a conductance: beside what hardly conducts, 1000 S would drown the rest.
    name = f"bridge {one} {other}"
    return lambda p: {
        "connected": p[name],
        "voltage": np.zeros(1),
        "resistance": np.full(1, SHORT_RESISTANCE),
        "inductance": np.zeros(1),
    }


def _joining(pin: str) -> Callable[[Parameters], Parameters]:
    name = f"on {pin}"
    return lambda p: {
        "connected": p[name],
        "voltage": np.zeros(1),
        "resistance": np.zeros(1),
        "inductance": np.zeros(1),
    }


def _system(circuit: Circuit, faults: Sequence[Fault]) -> System:
    """Equations in which every part can be taken out, and in which the bridges and breaks of the faults exist."""
    broken: dict[str, set[str]] = {}
    bridged: dict[str, set[tuple[str, str]]] = {}
    for fault in faults:
        if fault.sort == "open pin":
            broken.setdefault(fault.reference, set()).add(fault.pins[0])
        elif fault.sort == "bridge":
            bridged.setdefault(fault.reference, set()).add((fault.pins[0], fault.pins[1]))
    placed = []
    for part in circuit.parts:
        elements = [
            *(
                _inside(element, broken.get(part.reference, set()))
                for element in kind_of(part).elements(part)
            ),
            *(
                Element(law=BRANCH, joins=pair, derive=_bridging(*pair))
                for pair in sorted(bridged.get(part.reference, set()))
            ),
            *(
                Element(law=BRANCH, joins=(pin, f"~pin {pin}"), derive=_joining(pin))
                for pin in sorted(broken.get(part.reference, set()))
            ),
        ]
        placed.extend(place_part(part, elements))
    return assemble_placed(circuit, placed)


def _inside(element: Element, broken: set[str]) -> Element:
    joins = tuple(f"~pin {join}" if join in broken else join for join in element.joins)
    return replace(element, law=interruptible(element.law), joins=joins, derive=_with_alive(element.derive))
