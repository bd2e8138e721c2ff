"""How much current passes through a person who touches a net, by a network that stands for the person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Part, Solution, Waveforms, kind_of
from lidoff.circuit.kind import Array
from lidoff.errors import LidoffError
from lidoff.evidence import titled
from lidoff.hazards.check import OUTCOMES, Hazard, HazardCheck, at_most
from lidoff.hazards.falling import drawing_parts
from lidoff.hazards.joins import dangerous_nets, way_between
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.person import touched, touched_steadily
from lidoff.hazards.subject import Subject, is_connected
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

MOST_NETS = 4
"""So many nets are followed, at up to a second each where the mains feed the circuit."""
CLAMP = 100.0
"""A protecting diode of a chip beyond its rails [Ω]: little beside a person's two kilohms; common practice, no source."""
FAINT = 0.01
"""Share of the current that is felt below which none is told in digits: it may be the solver's own leakage; our choice."""
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

    fed = _fed(subject)
    loads = [
        one
        for one in loads_of(subject, against_ground, "V")
        if one.seen == "at rest" and one.situation in fed
    ]
    # Where nothing fixes the net, only the current through the person tells.
    unfixed = fed & set(subject.unfixed(against_ground))
    if not loads and not unfixed:
        return
    if not unfixed:
        worst = max(loads, key=lambda load: load.value.value)
        if at_most(worst.value, _voltage("steady")) == "within the limit":
            yield _low(subject, net, ground, "steady", worst)
            return
    steady = [one for one in subject.situations.values() if one.name in fed and not subject.alternates(one)]
    found = touched_steadily(subject.circuit, net, ground, steady)
    if found:
        situation = max(found, key=lambda name: found[name])
        yield _judged(subject, "steady", found[situation], net, ground, situation)


def _fed(subject: Subject) -> set[str]:
    """Situations with a supply; those without, such as unplugged, count only where there is no other."""
    supplies = [part for part in subject.circuit.parts if kind_of(part).supplies]
    fed = {
        name
        for name, situation in subject.situations.items()
        if any(is_connected(part, situation) for part in supplies)
    }
    return fed or set(subject.situations)


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
        yield _low(subject, net, pole, "alternating", worst)
        return
    circuit, chips = _clamped(subject.circuit, net)
    try:
        current = touched(
            circuit,
            net,
            pole,
            subject.situations[worst.situation],
            untouched=next(
                one.waveforms for one in subject.repeating if one.situation.name == worst.situation
            ),
        )
    except LidoffError as error:
        yield Hazard(
            check="touch current",
            title=f"touch current from {subject.touchable(net)}",
            outcome="cannot tell",
            severity="caution",
            what=f"No waveform was found for {titled(worst.situation)} with a person between "
            f"{subject.touchable(net)} and {pole}: {error.what}.",
            nets=(net,),
            situations=(worst.situation,),
            remedy="treat it as live, and measure",
        )
        return
    found = _judged(
        subject, "alternating", max(current.alternating, current.steady), net, pole, worst.situation
    )
    if chips:
        clamped = (
            f"{listed(chips)} conducting from {net} to the rails, as diodes that protect pins of chips do"
        )
        found = replace(found, assumed=(*found.assumed, clamped))
    yield found


def _clamped(circuit: Circuit, net: str) -> tuple[Circuit, tuple[str, ...]]:
    """The circuit with chips conducting on the way from the mains to a net, and those chips.

    Their pins are modelled as inputs of many megohms, which holds only between their rails.
    """
    way = way_between(circuit, dangerous_nets(circuit), net)
    chips = set(drawing_parts(circuit))
    if way is None or way.capacitors or not chips & set(way.parts):
        return circuit, ()
    known = set(circuit.nets)
    on_way = [net for net in way.nets if net in known]
    joined: list[Part] = []
    passed: list[str] = []
    for chip in (circuit.part(name) for name in way.parts if name in chips):
        ends = [one for one in on_way if one in chip.pins.values()]
        if len(ends) > 1:
            passed.append(chip.reference)
            joined.append(
                Part(
                    reference=f"{chip.reference}_clamp",
                    kind="resistor",
                    pins={"1": ends[0], "2": ends[-1]},
                    values={"resistance": CLAMP},
                )
            )
    return replace(circuit, parts=(*circuit.parts, *joined)), tuple(passed)


def _voltage(sort: str) -> Quantity:
    return Quantity(limit_table("touch_current").entries[sort]["voltage"], "V")


def _low(subject: Subject, net: str, other: str, sort: str, worst: Load) -> Hazard:
    """A voltage so low that the current it drives does not count."""
    table = limit_table("touch_current")
    return Hazard(
        check="touch current",
        title=f"voltage of {subject.touchable(net)} that can be touched",
        outcome="within the limit",
        severity="caution",
        what=f"{subject.the_touchable(net)} stands at {format_quantity(worst.value)} against {other} at most ({worst.seen} in "
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


def _judged(subject: Subject, sort: str, size: float, net: str, other: str, situation: str) -> Hazard:
    table = limit_table("touch_current")
    row = table.entries[sort]
    found = Quantity(size, "A", 0.5 * SPREAD * size)
    limit, holds = Quantity(row["felt"], "A"), Quantity(row["holds"], "A")
    outcome = at_most(found, limit)
    holding = at_most(found, holds)
    grave = holding != "within the limit"  # what may hold a hand fast is as grave as what does
    dangerous = " dangerous" if holding == "beyond the limit" else " may be dangerous" if grave else ""
    faint = size < FAINT * row["felt"]
    takes = "next to nothing" if faint else format_quantity(found)
    what = (
        f"A person between {subject.touchable(net)} and {other} in {titled(situation)} takes {takes}"
        + (" as the body feels it" if sort == "alternating" else "")
        + f"; from {format_quantity(limit)} it is felt, from {format_quantity(holds)} muscles may not let go"
    )
    return Hazard(
        check="touch current",
        title=f"touch current from {subject.touchable(net)}{dangerous}",
        outcome=outcome,
        severity="fault" if grave else "caution",
        what=f"{what}.",
        value=None if faint else found,
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
