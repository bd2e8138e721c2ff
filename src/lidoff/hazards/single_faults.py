"""What happens when one part fails: what overheats, what becomes live, whether a fuse acts, what the cell sees."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import (
    Circuit,
    Fault,
    Part,
    Situation,
    Solution,
    all_faults,
    in_force,
    kind_of,
    nets_adrift,
    operating_point,
    over_time,
    solve_faults,
)
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.hazards.ample_supply import over_ample, with_ample
from lidoff.hazards.fault_effect import FaultEffect
from lidoff.hazards.fault_reach import WORSE, cells_told, fuses_told, live_nets
from lidoff.hazards.faults_over_period import seen_over_period
from lidoff.hazards.subject import Subject, alternating_supplies, is_alternating, is_connected
from lidoff.hazards.watching import Watch, watched_loads

__all__ = ["blind_situations", "fault_effects"]

MOST_WORK = 6e6  # samples × unknowns² that one look may take; about a second
MOST_SITUATIONS = 5
TOO_LARGE = 6e7  # a single situation beyond that is left to be asked for
AT_CREST = {"W": 0.5, "A": 0.5**0.5, "V": 1.0}  # mean and effective value of a sine, as shares of the crest
SEEN = 0.33  # share of a waveform's power that the crest must show for its faults to be believed
LEAST = 1e-3  # [W] below, nothing is fed: what flows is mostly the solver's least conductances
LIVE = 60.0  # [V] steady voltage above which a net is told as live: ES1 of IEC 62368-1:2018, Table 4, from memory
LIVE_CREST = 42.4  # [V] likewise the crest of an alternating one


def fault_effects(subject: Subject) -> tuple[FaultEffect, ...]:
    """Every single fault of a circuit with its worst effect.

    Parameters
    ----------
    subject : Subject
        Its situations; where there are many, those that take most power.

    Returns
    -------
    tuple of FaultEffect
        Worst first; empty where there is nothing to look at, or the circuit is too large for a quick look.
    """
    circuit = subject.circuit
    chosen = _chosen(subject)
    faults = all_faults(circuit)
    if not chosen or not faults:
        return ()
    looks = tuple(look for one in chosen for look in _looks(subject, one))
    try:
        seen = _seen(subject, faults, looks)
    except LidoffError:
        return ()
    effects = [_with_ample(subject, seen, number, fault) for number, fault in enumerate(faults)]
    effects = seen_over_period(subject, faults, effects, blind_situations(subject))
    effects += _held(subject, looks)
    return tuple(sorted(effects, key=lambda effect: (-effect.weight, effect.title)))


def _seen(subject: Subject, faults: Sequence[Fault], looks: Sequence[_Look]) -> _Seen:
    """Faults solved in every look."""
    circuit, width = subject.circuit, 1 + len(faults)
    solution = solve_faults(circuit, faults, situations=tuple(look.solved for look in looks))
    return _Seen(
        circuit=circuit,
        solution=solution,
        watched=[
            (watch, watch.sizes(solution).reshape(len(looks), width)) for watch in watched_loads(circuit)
        ],
        settled=solution.settled.reshape(len(looks), width),
        looks=looks,
    )


def _with_ample(subject: Subject, seen: _Seen, number: int, fault: Fault) -> FaultEffect:
    """Effect of a fault with supplies held to what a common one gives, where it takes more and no fuse ends it.

    Only such a fault is solved again: a resistance in every supply would move all that is well within reach.
    """
    effect = seen.effect(number, fault, subject)
    if not effect.overloads or any("opens" in words or "trips" in words for words in effect.fuses):
        return effect
    row = next(
        row
        for row, look in enumerate(seen.looks)
        if (look.situation.name, look.crest) == (effect.situation, effect.crest)
    )
    look, first = seen.looks[row], row * seen.settled.shape[1]
    most = over_ample(subject.circuit, look.solved, seen.solution, first + 1 + number, first)
    if not most:
        return effect
    held = replace(look, solved=with_ample(subject.circuit, look.solved, most))
    try:
        again = _seen(subject, (fault,), (held,))
    except LidoffError:
        return effect
    found = again.effect(0, fault, subject)
    if not found.settled:
        return effect
    return replace(found, settled=effect.settled, ample=tuple((name, most[name]) for name in sorted(most)))


def blind_situations(subject: Subject) -> tuple[str, ...]:
    """Situations whose alternating supply feeds the circuit through capacitors or windings, which the crest does not show.

    Parameters
    ----------
    subject : Subject

    Returns
    -------
    tuple of str
        Those in which the parts get less than a third of the power at the crest that they have over a period.
    """
    circuit = subject.circuit
    parts = [part.reference for part in circuit.parts if not kind_of(part).supplies]
    storing = any(_stores(part) for part in circuit.parts)
    found = []
    for repeating in subject.repeating:
        waves = repeating.waveforms
        supplies = alternating_supplies(circuit, repeating.situation)
        if waves is None or not supplies:
            continue
        # A sine that nothing stores does most at its crest.
        if not storing and all("phase" in kind_of(part).parameters_of(part) for part in supplies):
            continue
        solution = operating_point(circuit, situations=[_at_crest(circuit, repeating.situation)])
        if not solution.settled.all():
            continue
        passed = {name: max(waves.power_figures(name).real, 0.0) for name in parts if waves.has_path(name)}
        crest = {name: AT_CREST["W"] * max(float(solution.power(name)[0]), 0.0) for name in passed}
        shown = sum(min(crest[name], power) for name, power in passed.items())
        whole = sum(passed.values())
        if whole > LEAST and shown < SEEN * whole:
            found += [repeating.situation.name, *repeating.stands_for]
    return tuple(found)


def _stores(part: Part) -> bool:
    """Whether it stores charge or flux, so that it passes what alternates and nothing that stands still, or the reverse."""
    kind = kind_of(part)
    return not kind.supplies and any(one.unit in ("F", "H") for one in kind.parameters_of(part).values())


def _chosen(subject: Subject) -> tuple[Situation, ...]:
    """Situations to look at: those with a supply, hungriest first, as many as the work allows."""
    circuit = subject.circuit
    if subject.spreading is None:
        return ()
    size = subject.spreading.solution.system.size
    work = (1 + len(all_faults(circuit))) * max(size, 1) ** 2
    if work > TOO_LARGE:
        return ()
    fed = [
        one
        for one in subject.situations.values()
        if any(kind_of(part).supplies and is_connected(part, one) for part in circuit.parts)
    ]
    count = int(max(1, min(MOST_SITUATIONS, MOST_WORK // work)))
    return tuple(sorted(fed, key=lambda one: -_taken(subject, one))[:count])


def _taken(subject: Subject, situation: Situation) -> float:
    """Power that the supplies deliver at rest [W]; an alternating supply goes first."""
    if subject.spreading is None:
        return 0.0
    if subject.fed_alternating(situation):
        return float("inf")
    index = subject.place[situation.name]
    solution = subject.spreading.solution
    return float(
        sum(
            abs(solution.power(part.reference)[index])
            for part in subject.circuit.parts
            if kind_of(part).supplies
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """One way in which a situation is looked at.

    Attributes
    ----------
    situation : Situation
        As told.
    solved : Situation
        As solved.
    crest : bool
        Whether alternating supplies stand at their crest.
    away : frozenset of str
        Parts that a stand-in stands for, whose own faults do not show in this look.
    """

    situation: Situation
    solved: Situation
    crest: bool = False
    away: frozenset[str] = frozenset()


def _looks(subject: Subject, situation: Situation) -> Iterator[_Look]:
    """The crest of what alternates, and the mean where a stand-in tells it."""
    circuit = subject.circuit
    if subject.fed_alternating(situation):
        yield _Look(situation=situation, solved=_at_crest(circuit, situation), crest=True)
        standing = in_force(circuit, situation)
        if not standing:
            return
        away = frozenset(name for one in standing for name in circuit.part(one).stands_for)
        yield _Look(situation=situation, solved=situation, away=away)
    else:
        yield _Look(situation=situation, solved=situation)


def _at_crest(circuit: Circuit, situation: Situation) -> Situation:
    """Return the situation with alternating supplies standing at their crest, and no stand-in beside them."""
    plain = over_time(circuit, situation)
    settings = {reference: dict(values) for reference, values in plain.settings.items()}
    for part in circuit.parts:
        if is_alternating(part) and "phase" in kind_of(part).parameters_of(part):
            settings.setdefault(part.reference, {})["phase"] = float(np.pi / 2.0)
    return Situation(name=situation.name, settings=settings)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Seen:
    """Solved faults, look by look: arrays of shape (L, 1 + F)."""

    circuit: Circuit
    solution: Solution
    watched: Sequence[tuple[Watch, Array]]
    settled: NDArray[np.bool_]
    looks: Sequence[_Look]

    def effect(self, number: int, fault: Fault, subject: Subject) -> FaultEffect:
        column = 1 + number
        rows = [row for row, look in enumerate(self.looks) if fault.reference not in look.away]
        found = [self._in(row, column, fault, subject) for row in rows if self.settled[row, column]]
        settled = bool(self.settled[rows, column].all())
        if not found:
            return FaultEffect(
                title=_words(self.circuit, fault), reference=fault.reference, situation="", settled=False
            )
        worst = max(found, key=lambda effect: effect.weight)
        return replace(worst, settled=settled, joins=_joined(self.circuit, fault))

    def _in(self, row: int, column: int, fault: Fault, subject: Subject) -> FaultEffect:
        look, first = self.looks[row], row * self.settled.shape[1]
        overloads = []
        for watch, sizes in self.watched:
            part = watch.part
            if part.reference == fault.reference:
                continue
            scale = AT_CREST[watch.unit] if look.crest else 1.0
            load, whole = scale * float(sizes[row, column]), scale * float(sizes[row, 0])
            if watch.unit == "V" and load > watch.limit:
                # What stands on a net that nothing fixes is not known, and no effect of the fault.
                if _on_loose_net(self.solution, part, first + column):
                    continue
                whole = 0.0 if _on_loose_net(self.solution, part, first) else whole
            if load > watch.limit and load > WORSE * whole:
                overloads.append(watch.overload(load))
        sample = first + column
        return FaultEffect(
            title=_words(self.circuit, fault),
            reference=fault.reference,
            situation=look.situation.name,
            overloads=tuple(sorted(overloads, key=lambda one: -one.share)),
            fuses=tuple(
                fuses_told(
                    self.circuit,
                    self.solution,
                    sample,
                    fault.reference,
                    scale=0.5**0.5 if look.crest else 1.0,
                )
            ),
            cell=cells_told(self.circuit, self.solution, sample, first, fault.reference),
            live=live_nets(subject, self.solution, sample, LIVE_CREST if look.crest else LIVE),
            crest=look.crest,
        )


def _on_loose_net(solution: Solution, part: Part, sample: int) -> bool:
    (groups,) = nets_adrift(solution.system, solution.table, [sample])
    return any(net in nets for nets in groups for net in part.pins.values())


def _words(circuit: Circuit, fault: Fault) -> str:
    """The fault as a person says it."""
    part = circuit.part(fault.reference)
    if fault.sort != "bridge":
        return fault.title
    if len(part.pins) == 2:
        return f"{fault.reference} shorted"
    names = [part.pin_names.get(pin, pin) for pin in fault.pins]
    return f"{fault.reference} {names[0]} bridged to {names[1]}"


def _joined(circuit: Circuit, fault: Fault) -> tuple[str, ...]:
    pins = circuit.part(fault.reference).pins
    return tuple(sorted(pins[pin] for pin in fault.pins)) if fault.sort == "bridge" else ()


def _held(subject: Subject, looks: Sequence[_Look]) -> list[FaultEffect]:
    """Each button held for as long as one likes, in the situations looked at."""
    circuit = subject.circuit
    variants: list[tuple[str, _Look]] = []
    for part in circuit.parts:
        state = kind_of(part).parameters_of(part).get("state")
        if state is None or "pressed" not in state.words:
            continue
        for look in looks:
            settings = {reference: dict(values) for reference, values in look.solved.settings.items()}
            settings.setdefault(part.reference, {})["state"] = "pressed"
            solved = Situation(name=look.situation.name, settings=settings)
            variants.append((part.reference, replace(look, solved=solved)))
    if not variants:
        return []
    try:
        solution = operating_point(circuit, situations=[look.solved for _, look in variants])
    except LidoffError:
        return []
    found: dict[str, FaultEffect] = {}
    for sample, (reference, look) in enumerate(variants):
        if not solution.settled[sample]:
            continue
        index = subject.place[look.situation.name]
        before = subject.spreading.solution if subject.spreading is not None else solution
        overloads = [
            watch.overload(load)
            for watch in watched_loads(circuit)
            if (load := abs(float(watch.ask(solution)[sample]))) > watch.limit
            and load > WORSE * abs(float(watch.ask(before)[index]))
        ]
        effect = FaultEffect(
            title=f"{reference} held",
            reference=reference,
            situation=look.situation.name,
            overloads=tuple(sorted(overloads, key=lambda one: -one.share)),
            crest=look.crest,
        )
        if reference not in found or effect.weight > found[reference].weight:
            found[reference] = effect
    return list(found.values())
