"""All situations of a dossier solved, each for itself as far as possible: one that fails does not take the others along."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from lidoff.circuit import (
    Circuit,
    Leaving,
    Part,
    Prediction,
    Situation,
    Solution,
    Spreading,
    bridges_islands,
    leaving,
    operating_point,
    predict_spread,
    replaced_at_rest,
    supplies_of,
)
from lidoff.dossier.analysis import (
    PartState,
    SituationResult,
    SolvedSituation,
    SupplyState,
    UnsolvedSituation,
)
from lidoff.dossier.asking import spread_quantity
from lidoff.errors import CircuitFault, NetsUnsettled
from lidoff.hazards import changing_parts
from lidoff.quantities import Quantity, format_quantity

__all__ = ["Solved", "restless_among", "solve_situations", "unrest"]


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

    def not_solved(self, name: str) -> str:
        """Why nothing is known of a situation that has no place, as a sentence in the middle of another."""
        why = next(
            (one.what for one in self.results if isinstance(one, UnsolvedSituation) and one.name == name), ""
        )
        return f"the situation {name!r} was not solved" + (f": {why}" if why else "")


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
    good, refused, solution = _set_up(circuit, situations)
    if solution is None:
        results = tuple(refused[situation.name] for situation in situations)
        return Solved(results=results, place={}, unsettled_spread={})
    spreading = predict_spread(circuit, good)
    told = _Told.of(circuit, spreading)
    place: dict[str, int] = {}
    by_name: dict[str, SituationResult] = dict(refused)
    settled = solution.settled & spreading.solution.settled[: len(good)]
    left = unrest(solution, {index: one for index, one in enumerate(good) if settled[index]})
    for index, situation in enumerate(good):
        restless = left.get(index)
        if settled[index] and restless is None:
            place[situation.name] = index
            by_name[situation.name] = told.situation(situation, index)
        else:
            error = restless or solution.unsettled(index)
            by_name[situation.name] = UnsolvedSituation(
                situation=situation,
                what=error.what,
                remedy=error.remedy,
                nets=error.nets,
                restless=restless is not None,
            )
    return Solved(
        results=tuple(by_name[situation.name] for situation in situations),
        solution=solution,
        spreading=spreading,
        place=place,
        unsettled_spread=_unsettled_spread(spreading, place),
    )


def unrest(solution: Solution, situations: Mapping[int, Situation]) -> Mapping[int, NetsUnsettled]:
    """Why operating points are no states of the circuit, as an oscillator leaves them by itself.

    Parameters
    ----------
    solution : Solution
    situations : mapping of int to Situation
        What is set in samples of the solution that settled.

    Returns
    -------
    mapping of int to NetsUnsettled
        Of the samples that do not hold; of none in which something changes with time anyway: the operating point is no state
        then, and taken for none.
    """
    circuit = solution.circuit
    still = {sample: one for sample, one in situations.items() if not changing_parts(circuit, one)}
    return {sample: _swings(found) for sample, found in leaving(solution, still).items()}


def _swings(found: Leaving) -> NetsUnsettled:
    grows = format_quantity(Quantity(float(f"{found.grows_in:.2g}"), "s"))
    return NetsUnsettled(
        f"it does not rest: at its balance the least disturbance of {', '.join(found.nets)} grows e-fold within {grows}, "
        "so it swings by itself or falls to another state",
        remedy="hold claims against readings, or look at its waveform, started off the balance",
        nets=found.nets,
    )


def restless_among(circuit: Circuit, situations: Sequence[Situation]) -> frozenset[str]:
    """Names of the situations in which the circuit leaves its operating point by itself."""
    good, _, solution = _set_up(circuit, situations) if circuit.parts and situations else ((), {}, None)
    if solution is None:
        return frozenset()
    settled = {index: one for index, one in enumerate(good) if solution.settled[index]}
    return frozenset(good[index].name for index in unrest(solution, settled))


def _set_up(
    circuit: Circuit, situations: Sequence[Situation]
) -> tuple[tuple[Situation, ...], dict[str, UnsolvedSituation], Solution | None]:
    """Situations whose equations can be set up, those that cannot with the reason, and the solution of the former."""
    try:
        return tuple(situations), {}, operating_point(circuit, situations=situations)
    except CircuitFault:
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
    return tuple(good), refused, operating_point(circuit, situations=good) if good else None


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Told:
    """Predictions of all nets and parts, each for all situations at once."""

    circuit: Circuit
    spreading: Spreading
    nets: Mapping[str, Prediction]
    voltages: Mapping[str, Prediction]
    currents: Mapping[str, Prediction]
    powers: Mapping[str, Prediction]

    @classmethod
    def of(cls, circuit: Circuit, spreading: Spreading) -> _Told:
        references = [part.reference for part in circuit.parts]
        along = [reference for reference in references if spreading.solution.has_path(reference)]
        return cls(
            circuit=circuit,
            spreading=spreading,
            nets={net: spreading.of(partial(Solution.voltage, net=net)) for net in circuit.nets},
            voltages={one: spreading.of(partial(Solution.part_voltage, reference=one)) for one in along},
            currents={one: spreading.of(partial(Solution.current, reference=one)) for one in along},
            powers={one: spreading.of(partial(Solution.power, reference=one)) for one in references},
        )

    def situation(self, situation: Situation, index: int) -> SolvedSituation:
        loose = self.spreading.solution.undetermined[index]
        replaced = replaced_at_rest(self.circuit, situation).nets
        leakage = float(self.spreading.solution.leakage()[index])
        parts = {part.reference: self.part(part, index, loose, leakage) for part in self.circuit.parts}
        return SolvedSituation(
            situation=situation,
            nets={
                net: spread_quantity(prediction, index, "V")
                for net, prediction in self.nets.items()
                if net not in loose and net not in replaced
            },
            undetermined=tuple(sorted(loose - replaced)),
            parts=parts,
            supplies={
                reference: SupplyState(
                    current=_negative(parts[reference].current), power=_turned(parts[reference].power)
                )
                for reference in supplies_of(self.circuit)
            },
        )

    def part(self, part: Part, index: int, loose: frozenset[str], leakage: float) -> PartState:
        voltage = current = None
        if part.reference in self.currents:
            current = _above(spread_quantity(self.currents[part.reference], index, "A"), leakage)
            if not loose.intersection(part.pins.values()) and not bridges_islands(
                self.spreading.solution, part.reference
            ):
                voltage = spread_quantity(self.voltages[part.reference], index, "V")
        highest = max((abs(float(one.value[index])) for one in self.nets.values()), default=0.0)
        return PartState(
            voltage=voltage,
            current=current,
            power=_above(spread_quantity(self.powers[part.reference], index, "W"), leakage * highest),
        )


def _above(quantity: Quantity, least: float) -> Quantity:
    """Quantity, or nought where it may be what the solver's least conductances take."""
    return Quantity(0.0, quantity.unit) if abs(quantity.value) <= least else quantity


def _turned(quantity: Quantity) -> Quantity:
    return Quantity(0.0 - quantity.value, quantity.unit, quantity.uncertainty)


def _negative(quantity: Quantity | None) -> Quantity | None:
    return None if quantity is None else _turned(quantity)
