"""Voltage budget round a current loop: who takes which share of the volts and the watts, and what limits the current.

Kirchhoff's voltage law closes every loop: what the supplies raise, the other parts drop. The share of a part is its drop over
all drops. What limits the current is told by `lidoff.insight.limiters`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import (
    Circuit,
    Part,
    Prediction,
    Solution,
    Spreading,
    kind_of,
)
from lidoff.circuit.kind import Array
from lidoff.errors import UnknownName
from lidoff.insight.flows import Flow, flows_of, loop_of
from lidoff.insight.knowledge import Knowledge
from lidoff.insight.limiters import LEAST_ELASTICITY, Limiter, limiters_of
from lidoff.quantities import Quantity

__all__ = ["Budget", "Step", "budget_of", "main_budgets"]

LEAST_POWER_SHARE = 1e-3
"""Of the largest loop's power: loops below it are left out of the main ones; our choice."""
OWN_CURRENT = 1.05
"""A part whose current is at most this multiple of the loop's narrowest carries the loop's current alone; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One part of a loop, passed the way the current runs.

    Attributes
    ----------
    reference : str
        The part.
    start, end : str
        Nets where the loop enters and leaves it.
    volts : Quantity
        Drop from start to end; below zero where the part raises the voltage.
    amperes : Quantity
        All current that enters the part at `start`, which may be more than the loop's own.
    watts : Quantity
        Drop times that current.
    share : float
        Drop over the sum of all drops of the loop; 0 for a part that raises.
    """

    reference: str
    start: str
    end: str
    volts: Quantity
    amperes: Quantity
    watts: Quantity
    share: float

    @property
    def raises(self) -> bool:
        """Whether the part raises the voltage."""
        return self.volts.value < 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """One loop in one situation.

    Attributes
    ----------
    about : str
        The part whose current it is.
    situation : str
        Where it was solved.
    amperes : Quantity
        Current of that part along the loop.
    steps : tuple of Step
        In the order of the current, beginning after the supply where one is in the loop.
    limiters : tuple of Limiter
        Of the parameters that have a tolerance, the strongest first.
    alike : tuple of str
        Parts with a loop of the same kinds and values, told once.
    after_readings : bool
        Whether the readings have narrowed the numbers.
    """

    about: str
    situation: str
    amperes: Quantity
    steps: tuple[Step, ...]
    limiters: tuple[Limiter, ...]
    alike: tuple[str, ...] = ()
    after_readings: bool = False

    @property
    def raised(self) -> float:
        """Sum of what the supplies raise [V]."""
        return -sum(step.volts.value for step in self.steps if step.raises)

    def limits(self) -> str:
        """What limits the current, in a sentence; empty where no tolerance touches it."""
        told = [limiter for limiter in self.limiters if abs(limiter.elasticity) >= LEAST_ELASTICITY][:3]
        if not told:
            return ""
        return "; ".join(limiter.sentence(f"current of {self.about}") for limiter in told)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Teller:
    """Tells any quantity of one situation with its spread, narrowed by readings where there are any."""

    spreading: Spreading
    index: int
    knowledge: Knowledge | None

    def predicted(self, quantity: Callable[[Solution], Array]) -> Prediction:
        return self.spreading.of(quantity)

    def quantity(self, prediction: Prediction, unit: str) -> Quantity:
        value = float(prediction.value[self.index])
        shares = prediction.shares[self.index]
        if self.knowledge is None:
            return Quantity(value, unit, float(np.sqrt((shares**2).sum())))
        return Quantity(value + float(shares @ self.knowledge.moved), unit, self.knowledge.deviation(shares))

    def tell(self, quantity: Callable[[Solution], Array], unit: str) -> Quantity:
        return self.quantity(self.predicted(quantity), unit)


def budget_of(
    spreading: Spreading, situation: int, reference: str, *, knowledge: Knowledge | None = None
) -> Budget:
    """Budget of the loop that carries a part's main current.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread.
    situation : int
        Which situation.
    reference : str
        The part.
    knowledge : Knowledge, optional
        What the readings say of the parameters; the numbers are then the most likely ones and their spread is what is left.

    Returns
    -------
    Budget
        Along the widest way of the current from the part round to itself.

    Raises
    ------
    UnknownName
        There is no such part, or no current runs through it.
    NetsUnsettled
        The situation has no operating point.
    """
    solution = spreading.solution
    solution.at(situation)
    part = solution.circuit.part(reference)
    flows = flows_of(solution, situation)
    loop = loop_of(flows, part)
    if not loop:
        raise UnknownName(
            f"no current runs through {reference} in {solution.labels[situation]!r}",
            remedy="choose a situation in which it is on, or another part",
        )
    return _told(_Teller(spreading=spreading, index=situation, knowledge=knowledge), reference, loop)


def main_budgets(
    spreading: Spreading, situation: int, *, knowledge: Knowledge | None = None, most: int = 12
) -> tuple[Budget, ...]:
    """Budgets of the loops that matter in a situation: every way from a supply through what uses its power.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread.
    situation : int
        Which situation; must have settled.
    knowledge : Knowledge, optional
        What the readings say of the parameters.
    most : int, optional
        Greatest number of loops.

    Returns
    -------
    tuple of Budget
        The one with the most power first. Loops over the same parts are one, named for the part that drops most
        of those that carry its current alone;
        loops of parts of the same kinds and values are told once.
    """
    solution = spreading.solution
    flows = flows_of(solution, situation)
    loops: dict[tuple[str, ...], tuple[float, str, tuple[Flow, ...]]] = {}
    for part in solution.circuit.parts:
        if kind_of(part).supplies:
            continue
        loop = loop_of(flows, part)
        if not loop or not any(kind_of(solution.circuit.part(one.reference)).supplies for one in loop):
            continue
        key = tuple(sorted({one.reference for one in loop}))
        power, about = _own_power(solution, situation, loop)
        loops.setdefault(key, (power, about, loop))
    ordered = sorted(loops.values(), key=lambda entry: (-entry[0], entry[1]))
    if not ordered:
        return ()
    told: dict[tuple[object, ...], tuple[str, tuple[Flow, ...]]] = {}
    alike: dict[tuple[object, ...], list[str]] = {}
    for power, about, loop in ordered:
        if power < LEAST_POWER_SHARE * ordered[0][0]:
            break
        look = _look_of(solution.circuit, loop)
        if look in told:
            alike[look].append(about)
        elif len(told) < most:
            told[look], alike[look] = (about, loop), []
    teller = _Teller(spreading=spreading, index=situation, knowledge=knowledge)
    return tuple(
        replace(_told(teller, about, loop), alike=tuple(dict.fromkeys(alike[look])))
        for look, (about, loop) in told.items()
    )


def _own_power(solution: Solution, sample: int, loop: Sequence[Flow]) -> tuple[float, str]:
    """Power that the loop's own current turns over, and the part that drops most among those with that current alone."""
    narrowest = min(flow.current for flow in loop)
    drops = {
        flow: float((solution.voltage(flow.start) - solution.voltage(flow.end))[sample])
        for flow in loop
        if not kind_of(solution.circuit.part(flow.reference)).supplies
    }
    own = [flow for flow in drops if flow.current <= OWN_CURRENT * narrowest] or list(drops)
    about = min(own, key=lambda flow: (-drops[flow], flow.reference))
    return narrowest * sum(max(drop, 0.0) for drop in drops.values()), about.reference


def _look_of(circuit: Circuit, loop: Sequence[Flow]) -> tuple[object, ...]:
    """Kinds and values of the loop's parts, whatever they are called."""
    parts = [circuit.part(reference) for reference in sorted({flow.reference for flow in loop})]
    return tuple(sorted((part.kind, tuple(sorted(map(str, part.values.items())))) for part in parts))


def _told(teller: _Teller, about: str, loop: Sequence[Flow]) -> Budget:
    circuit = teller.spreading.solution.circuit
    stages = _stages(loop)
    first = next(
        (n + 1 for n, (reference, _, _) in enumerate(stages) if kind_of(circuit.part(reference)).supplies), 0
    )
    stages = [*stages[first:], *stages[:first]]
    steps = [_step(teller, *stage) for stage in stages]
    dropped = sum(step.volts.value for step in steps if not step.raises)
    steps = [
        step if step.raises or not dropped else replace(step, share=step.volts.value / dropped)
        for step in steps
    ]
    # The part may stand in the loop with a current of its own, so the loop's current is asked of it by name.
    own = next(stage for stage in stages if stage[0] == about)
    current = teller.predicted(_entering(circuit.part(about), own[1]))
    return Budget(
        about=about,
        situation=teller.spreading.solution.labels[teller.index],
        amperes=teller.quantity(current, "A"),
        steps=tuple(steps),
        limiters=limiters_of(teller.spreading, teller.index, current),
        after_readings=teller.knowledge is not None,
    )


def _stages(loop: Sequence[Flow]) -> list[tuple[str, str, str]]:
    """(part, net in, net out), neighbouring flows of one part taken together."""
    stages: list[tuple[str, str, str]] = []
    for flow in loop:
        if stages and stages[-1][0] == flow.reference:
            stages[-1] = (flow.reference, stages[-1][1], flow.end)
        else:
            stages.append((flow.reference, flow.start, flow.end))
    if len(stages) > 1 and stages[0][0] == stages[-1][0]:
        last = stages.pop()
        stages[0] = (last[0], last[1], stages[0][2])
    return stages


def _entering(part: Part, net: str) -> Callable[[Solution], Array]:
    pins = [pin for pin, name in part.pins.items() if name == net]

    def current(solution: Solution) -> Array:
        return np.asarray(sum(solution.pin_current(part.reference, pin) for pin in pins))

    return current


def _step(teller: _Teller, reference: str, start: str, end: str) -> Step:
    part = teller.spreading.solution.circuit.part(reference)
    current = _entering(part, start)

    def volts(solution: Solution) -> Array:
        return solution.voltage(start) - solution.voltage(end)

    return Step(
        reference=reference,
        start=start,
        end=end,
        volts=teller.tell(volts, "V"),
        amperes=teller.tell(current, "A"),
        watts=teller.tell(lambda solution: volts(solution) * current(solution), "W"),
        share=0.0,
    )
