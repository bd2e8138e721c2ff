"""How much current passes through a person who touches a net, by a network that stands for the person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from lidoff.circuit import Solution, Waveforms
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.evidence import titled
from lidoff.hazards.check import OUTCOMES, Hazard, HazardCheck, at_most
from lidoff.hazards.joins import dangerous_nets
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.person import touched, touched_steadily
from lidoff.hazards.subject import Subject
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

MOST_NETS = 4
"""So many nets are followed, at up to a second each where the mains feed the circuit."""
SPREAD = 0.2
"""Relative, 95 %: parts at their nominal values, against a person who is no network; common practice, no source."""


def _look(subject: Subject) -> tuple[Hazard, ...]:
    known = set(subject.circuit.nets)
    nets = [net for net in subject.accessible if net in known]
    followed, left = nets[:MOST_NETS], nets[MOST_NETS:]
    return (*(hazard for net in followed for hazard in _answers(subject, net)), *_left(left))


def _left(nets: Sequence[str]) -> Iterator[Hazard]:
    if nets:
        yield Hazard(
            check="touch current",
            title=f"touch current from {listed(nets)}",
            outcome="cannot tell",
            severity="note",
            what=f"Only the first {MOST_NETS} nets that can be touched are followed; {listed(nets)} were left out.",
            nets=tuple(nets),
            remedy="name the most exposed nets first",
        )


def _answers(subject: Subject, net: str) -> Iterator[Hazard]:
    ground = subject.circuit.ground
    if net != ground and ground in subject.circuit.nets:
        yield from _steady(subject, net, ground)
    # Either pole of the plug may be earth; the worse of the two ways counts.
    ways = [
        hazard
        for pole in dangerous_nets(subject.circuit)
        if pole != net
        for hazard in _alternating(subject, net, pole)
    ]
    yield from sorted(ways, key=_gravity)[:1]


def _gravity(hazard: Hazard) -> tuple[int, bool, float]:
    """Gravest first; of two that keep their limit the one whose current counts, then the larger."""
    size = hazard.value.value if hazard.value is not None else 0.0
    voltage = hazard.value is not None and hazard.value.unit == "V"
    return OUTCOMES.index(hazard.outcome), voltage, -size


def _steady(subject: Subject, net: str, ground: str) -> Iterator[Hazard]:
    """The highest voltage at rest; where that is high enough to count, the current it drives."""

    def against_ground(solved: Solution | Waveforms) -> Array:
        return solved.voltage(net) - solved.voltage(ground)

    loads = [one for one in loads_of(subject, against_ground, "V") if one.seen == "at rest"]
    # Where nothing fixes the net, only the current through the person tells.
    unfixed = subject.unfixed(against_ground)
    if not loads and not unfixed:
        return
    if not unfixed:
        worst = max(loads, key=lambda load: load.value.value)
        if at_most(worst.value, _voltage("steady")) == "within the limit":
            yield _low(net, ground, "steady", worst)
            return
    steady = [one for one in subject.situations.values() if not subject.alternates(one)]
    found = touched_steadily(subject.circuit, net, ground, steady)
    if found:
        situation = max(found, key=lambda name: found[name])
        yield _judged("steady", found[situation], net, ground, situation)


def _alternating(subject: Subject, net: str, pole: str) -> Iterator[Hazard]:
    """Against one pole of the mains, as either may be earth."""
    loads = [
        one
        for one in loads_of(subject, lambda solved: solved.voltage(net) - solved.voltage(pole), "V")
        if one.seen != "at rest"
    ]
    if not loads:
        return
    worst = max(loads, key=lambda load: load.value.value)
    if at_most(worst.value, _voltage("alternating")) == "within the limit":
        yield _low(net, pole, "alternating", worst)
        return
    try:
        current = touched(subject.circuit, net, pole, subject.situations[worst.situation])
    except LidoffError as error:
        yield Hazard(
            check="touch current",
            title=f"touch current from {net}",
            outcome="cannot tell",
            severity="caution",
            what=f"No waveform was found for {titled(worst.situation)} with a person between {net} and {pole}: {error.what}.",
            nets=(net,),
            situations=(worst.situation,),
            remedy="treat it as live, and measure",
        )
        return
    yield _judged("alternating", max(current.alternating, current.steady), net, pole, worst.situation)


def _voltage(sort: str) -> Quantity:
    return Quantity(limit_table("touch_current").entries[sort]["voltage"], "V")


def _low(net: str, other: str, sort: str, worst: Load) -> Hazard:
    """A voltage so low that the current it drives does not count."""
    table = limit_table("touch_current")
    return Hazard(
        check="touch current",
        title=f"voltage of {net} that can be touched",
        outcome="within the limit",
        severity="caution",
        what=f"The net {net} stands at {format_quantity(worst.value)} against {other} at most ({worst.seen} in "
        f"{titled(worst.situation)}).",
        value=worst.value,
        limit=_voltage(sort),
        limit_says=f"{'effective ' if sort == 'alternating' else 'steady '}voltage, ES1",
        source=table.words,
        from_memory=True,
        assumed=worst.assumed,
        nets=(net, other),
        situations=(worst.situation,),
    )


def _judged(sort: str, size: float, net: str, other: str, situation: str) -> Hazard:
    table = limit_table("touch_current")
    row = table.entries[sort]
    found = Quantity(size, "A", 0.5 * SPREAD * size)
    limit, holds = Quantity(row["felt"], "A"), Quantity(row["holds"], "A")
    outcome = at_most(found, limit)
    holding = at_most(found, holds)
    grave = holding != "within the limit"  # what may hold a hand fast is as grave as what does
    dangerous = " dangerous" if holding == "beyond the limit" else " may be dangerous" if grave else ""
    what = (
        f"A person between {net} and {other} in {titled(situation)} takes {format_quantity(found)}"
        + (" as the body feels it" if sort == "alternating" else "")
        + f"; from {format_quantity(limit)} it is felt, from {format_quantity(holds)} muscles may not let go"
    )
    return Hazard(
        check="touch current",
        title=f"touch current from {net}{dangerous}",
        outcome=outcome,
        severity="fault" if grave else "caution",
        what=f"{what}.",
        value=found,
        limit=limit,
        limit_says=f"{'effective ' if sort == 'alternating' else 'steady '}touch current, ES1",
        source=table.words,
        from_memory=True,
        assumed=(
            f"the other hand on {other}"
            + (", as earth, whichever way it is plugged in" if sort == "alternating" else ""),
            "a dry adult as the network has it; wet skin passes more",
            "nothing leaks but what is drawn",
        ),
        nets=(net, other),
        situations=(situation,),
        remedy="do not touch it while it is plugged in; measure with a network made for it, on an isolated bench",
    )


MEMBERS = (
    HazardCheck(
        name="touch current",
        title="Touch current",
        look=_look,
        says="How much current passes through a person who touches each accessible net.",
        source="IEC 60990:2016, Figure 4, and IEC 62368-1:2018, Table 4, from memory",
        cautions=("mains",),
        not_checked=(
            "nets that the dossier does not name as accessible",
            "leakage through insulation and between windings",
            "wet skin, children, and frequencies above 1 kHz as such",
            "single faults: they are followed apart",
        ),
    ),
)
