"""All situations of a dossier solved, each for itself as far as possible: one that fails does not take the others along."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit import (
    Circuit,
    Situation,
    Solution,
    Spreading,
    operating_point,
    predict_spread,
    supplies_of,
)
from lidoff.dossier.analysis import (
    PartState,
    SituationResult,
    SolvedSituation,
    SupplyState,
    UnsolvedSituation,
)
from lidoff.dossier.asking import quantity_at
from lidoff.errors import CircuitFault
from lidoff.quantities import Quantity

__all__ = ["Solved", "solve_situations"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Solved:
    """Situations with their solutions.

    Attributes
    ----------
    results : tuple of SituationResult
        In the order given.
    solution : Solution or None
        Nominal, of the situations whose equations could be set up.
    spreading : Spreading or None
        The same with every uncertain parameter moved.
    place : mapping of str to int
        Sample of each situation that settled.
    unsettled_spread : mapping of str to tuple of str
        For each settled situation: parameters, as ``R1.resistance``, for which it settles no more when they move.
    """

    results: tuple[SituationResult, ...]
    solution: Solution | None = None
    spreading: Spreading | None = None
    place: Mapping[str, int]
    unsettled_spread: Mapping[str, tuple[str, ...]]


def solve_situations(circuit: Circuit, situations: Sequence[Situation]) -> Solved:
    """Solve every situation, with its spread.

    Parameters
    ----------
    circuit : Circuit
        May have no parts; then nothing is solved.
    situations : sequence of Situation
        Each under its own name.

    Returns
    -------
    Solved
        Situations that cannot be solved are among the results with the reason.
    """
    if not circuit.parts:
        return Solved(results=(), place={}, unsettled_spread={})
    good, refused = _set_up(circuit, situations)
    if not good:
        results = tuple(refused[situation.name] for situation in situations)
        return Solved(results=results, place={}, unsettled_spread={})
    solution = operating_point(circuit, situations=good)
    spreading = predict_spread(circuit, good)
    place: dict[str, int] = {}
    by_name: dict[str, SituationResult] = dict(refused)
    for index, situation in enumerate(good):
        if solution.settled[index] and spreading.solution.settled[index]:
            place[situation.name] = index
            by_name[situation.name] = _solved(circuit, situation, spreading, index)
        else:
            error = solution.unsettled(index)
            by_name[situation.name] = UnsolvedSituation(
                situation=situation, what=error.what, remedy=error.remedy, nets=error.nets
            )
    return Solved(
        results=tuple(by_name[situation.name] for situation in situations),
        solution=solution,
        spreading=spreading,
        place=place,
        unsettled_spread=_unsettled_spread(spreading, place),
    )


def _set_up(
    circuit: Circuit, situations: Sequence[Situation]
) -> tuple[tuple[Situation, ...], dict[str, UnsolvedSituation]]:
    """Situations whose equations can be set up, and those that cannot, with the reason."""
    try:
        operating_point(circuit, situations=situations)
    except CircuitFault:
        pass
    else:
        return tuple(situations), {}
    good, refused = [], {}
    for situation in situations:
        try:
            operating_point(circuit, situations=[situation])
        except CircuitFault as error:
            refused[situation.name] = UnsolvedSituation(
                situation=situation, what=error.what, remedy=error.remedy
            )
        else:
            good.append(situation)
    return tuple(good), refused


def _unsettled_spread(spreading: Spreading, place: Mapping[str, int]) -> Mapping[str, tuple[str, ...]]:
    settled = spreading.solution.settled.reshape(1 + 2 * len(spreading.parameters), spreading.situations)
    found: dict[str, tuple[str, ...]] = {}
    for name, index in place.items():
        lost = tuple(
            f"{reference}.{parameter}"
            for number, (reference, parameter) in enumerate(spreading.parameters)
            if not (settled[1 + 2 * number, index] and settled[2 + 2 * number, index])
        )
        if lost:
            found[name] = lost
    return found


def _solved(circuit: Circuit, situation: Situation, spreading: Spreading, index: int) -> SolvedSituation:
    loose = spreading.solution.undetermined[index]

    def voltage(net: str) -> Quantity:
        return quantity_at(spreading, index, lambda solution: solution.voltage(net), "V")

    parts = {part.reference: _part_state(circuit, spreading, index, part.reference) for part in circuit.parts}
    return SolvedSituation(
        situation=situation,
        nets={net: voltage(net) for net in circuit.nets if net not in loose},
        undetermined=tuple(sorted(loose)),
        parts=parts,
        supplies={
            reference: SupplyState(
                current=_negative(parts[reference].current), power=_turned(parts[reference].power)
            )
            for reference in supplies_of(circuit)
        },
    )


def _part_state(circuit: Circuit, spreading: Spreading, index: int, reference: str) -> PartState:
    solution = spreading.solution
    loose = solution.undetermined[index]
    voltage = current = None
    if solution.has_path(reference):
        current = quantity_at(spreading, index, lambda one: one.current(reference), "A")
        if not loose.intersection(circuit.part(reference).pins.values()):
            voltage = quantity_at(spreading, index, lambda one: one.part_voltage(reference), "V")
    power = quantity_at(spreading, index, lambda one: one.power(reference), "W")
    return PartState(voltage=voltage, current=current, power=power)


def _turned(quantity: Quantity) -> Quantity:
    return Quantity(0.0 - quantity.value, quantity.unit, quantity.uncertainty)


def _negative(quantity: Quantity | None) -> Quantity | None:
    return None if quantity is None else _turned(quantity)
